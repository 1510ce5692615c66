// What may be written in the configuration?
//
// One table; the manual page wheymark.json(5) is made of it. The library's reader decides:
// tests/daemon/manual_test.cpp asks it for the keys that it knows and compares.
#pragma once

#include <string>
#include <string_view>

namespace wheymark {

// wheymark.json(5), as roff.
[[nodiscard]] std::string configuration_manual(std::string_view version);

}  // namespace wheymark
