// Which timers fire when time is moved by hand?
#pragma once

#include <cstdint>
#include <functional>

#include "plugin/daemon/loaded_instance.hpp"

namespace wheymark {

// Fires every timer of the instance that is due up to and including `until_ms`, in order, each at
// its own instant. `now_ms` is moved along before each one and is `until_ms` at the end, unless
// the instance froze or `after_each`, called after each one, returned false to stop there. Throws
// WorldIsWrong when the library asks for the same instant again and again, which would be a mistake
// of its own.
void fire_timers(LoadedInstance& instance, std::int64_t& now_ms, std::int64_t until_ms,
                 const std::function<bool()>& after_each);

}  // namespace wheymark
