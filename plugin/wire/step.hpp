// One button each: the steps of a jar's care, done now and with the jar's own defaults.
#pragma once

#include "core/basis/words.hpp"
#include "core/household/facts.hpp"

namespace wheymark {

enum class Step { start, strain, store, take, finish, discard };

template <>
struct Vocabulary<Step> {
  static constexpr std::array words{
      Word<Step>{Step::start, "start"},   Word<Step>{Step::strain, "strain"},
      Word<Step>{Step::store, "store"},   Word<Step>{Step::take, "take"},
      Word<Step>{Step::finish, "finish"}, Word<Step>{Step::discard, "discard"}};
};

// The fact that a press of this button says.
inline Fact fact_of(Step step, const JarId& jar) {
  switch (step) {
    case Step::start: {
      Start start;
      start.jar = jar;
      return start;
    }
    case Step::strain:
      return Strain{jar, std::nullopt, std::nullopt, std::nullopt};
    case Step::store:
      return StoreAway{jar, std::nullopt};
    case Step::take:
      return Take{jar, std::nullopt};
    case Step::finish:
      return Finish{jar};
    case Step::discard:
      return Discard{jar, std::nullopt};
  }
  return Discard{jar, std::nullopt};
}

}  // namespace wheymark
