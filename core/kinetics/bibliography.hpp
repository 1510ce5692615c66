// Which published works does the computation rest on?
//
// A parameter's source is one of these keys; a formula names its key in square brackets above the
// code. A test holds that no key is missing and none is left over.
#pragma once

#include <span>
#include <string_view>

namespace wheymark {

struct Citation {
  std::string_view key;
  std::string_view full;
};

// Sorted by key.
std::span<const Citation> bibliography();

}  // namespace wheymark
