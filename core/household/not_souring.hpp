// Milk with grains in it that does not sour: whatever the forecast says, it is plain milk that
// stands warm, and that is what spoils.
//
// Only a look says so: the sign `still-milk`, or a pH that was measured. Within a day in the warm
// such a look is usual; a later look that shows it sour takes it back.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/household/household.hpp"
#include "core/record/batch.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

// h at 20 degC (12 to 48): grains sour milk to the curd within a day at room warmth (common
// practice). Colder hours count as less, by the acid's clock.
inline constexpr double sour_within_h = 24.0;
inline constexpr double room_warmth_c = 20.0;
// pH (5.0 to 6.0): milk begins at 6.6 to 6.7. Food that needs the cold is told from other food at
// 4.6 and at 5.6 [foodcode2022]; perishable food is given two hours above 5 degC [fsis2017], which
// holds for plain milk and not for milk that is sour. A household's strip may be off by 0.1.
inline constexpr double not_sour_above_ph = 5.5;

// What it is, and what is to be done with it.
inline constexpr std::string_view plain_milk_text =
    "that is plain milk that stood warm. Do not taste it, throw it out, and follow local "
    "food-safety advice";

struct NotSouring {
  Observation seen;  // the first look that showed it after all these hours
  double hours;      // since the start
};

// Nothing while it sours, and while nobody has looked.
std::optional<NotSouring> not_souring(const Household& household, const Batch& batch);

// For the answer to a look that shows it; empty for any other fact.
std::string remark_on_souring(const FactRecord& record, const Household& household);

}  // namespace wheymark
