// Text from outside inside XML and HTML: it can be anything and must stay text.
#pragma once

#include <string>
#include <string_view>

namespace wheymark {

// With & < > " and ' as references, for content and for attributes in either kind of quote. What
// XML does not allow at all (control characters, U+FFFE and U+FFFF) becomes U+FFFD.
std::string escaped(std::string_view utf8);

// The first characters of a text, with an ellipsis when it is longer than `chars_max`; never cut
// within a character.
std::string shortened(std::string_view utf8, std::size_t chars_max);

// How many characters a text has.
std::size_t char_count(std::string_view utf8);

}  // namespace wheymark
