// Numbers as text, the same in every locale: a payload that is one number, and a number as a
// payload.
#pragma once

#include <string>
#include <string_view>

#include "core/basis/result.hpp"

namespace wheymark {

// The decimal number that is the whole of `text`; ASCII white space around it is no matter, an
// exponent is fine. Refused with one sentence: empty text, nan and inf, a plus sign, a decimal
// comma, hexadecimal, anything after the number, more than a double holds.
Result<double> number_from(std::string_view text);

// `value` with `digits` (0 to 17) decimals, in fixed point: Homie's floats know no plus sign, which
// an exponent would bring. Never "-0.0". Empty for NaN and infinity: not known is an empty topic.
std::string decimal(double value, int digits);

}  // namespace wheymark
