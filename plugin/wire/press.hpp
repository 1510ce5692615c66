// One button each: the steps of a jar's care, done now and with the jar's own defaults.
//
// A button cannot say into which bottle the kefir went or how it was. So `strain` leaves the kefir
// in its jar: `store` then puts that jar into the fridge, or fills and puts there the empty bottle
// whose button it was. After `start` the kefir is somewhere else, because there is fresh milk in
// the jar now: the answer asks where.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/basis/units.hpp"
#include "core/basis/words.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

enum class Step { start, strain, store, take, pour, finish, discard, undo };

template <>
struct Vocabulary<Step> {
  static constexpr std::array words{
      Word<Step>{Step::start, "start"},     Word<Step>{Step::strain, "strain"},
      Word<Step>{Step::store, "store"},     Word<Step>{Step::take, "take"},
      Word<Step>{Step::pour, "pour"},       Word<Step>{Step::finish, "finish"},
      Word<Step>{Step::discard, "discard"}, Word<Step>{Step::undo, "undo"}};
};

// What a press of `care/PROPERTY` with this payload reports of the jar: a step's fact with
// everything else left to the jar's own defaults, or a sign. Nothing for an unknown payload.
std::optional<Fact> pressed(std::string_view property, const JarId& jar, std::string_view payload);

// A ref, so that a press by mistake can be taken back, and so that a press which a network brings
// twice within a second counts once. "press.jar-blue.strain.2027-03-01T08:10:00Z"
std::string ref_of_press(const JarId& jar, std::string_view payload, Instant now);

// What `care/PROPERTY` accepts, to end a sentence with.
std::string what_care_takes(std::string_view property);

}  // namespace wheymark
