#include "plugin/wire/press.hpp"

#include <fmt/format.h>

#include "plugin/wire/instant_text.hpp"

namespace wheymark {
namespace {

Fact fact_of(Step step, const JarId& jar) {
  switch (step) {
    case Step::start: {
      Start start;
      start.jar = jar;
      return start;
    }
    case Step::strain:
      return Strain{jar, {}, {}, {}};
    case Step::store:
      return StoreAway{jar, std::nullopt};
    case Step::take:
      return Take{jar, std::nullopt};
    case Step::pour:
      return Pour{jar, std::nullopt};
    case Step::finish:
      return Finish{jar};
    case Step::undo:
      return Undo{std::nullopt, jar};
    case Step::discard:
      return Discard{jar, std::nullopt};
  }
  return Finish{jar};
}

}  // namespace

std::optional<Fact> pressed(std::string_view property, const JarId& jar, std::string_view payload) {
  if (property == "step") {
    if (const auto step = meaning_of<Step>(payload)) return fact_of(*step, jar);
  }
  if (property == "sign") {
    if (const auto sign = meaning_of<Sign>(payload)) return SignSeen{jar, *sign};
  }
  return std::nullopt;
}

std::string ref_of_press(const JarId& jar, std::string_view payload, Instant now) {
  return fmt::format("press.jar-{}.{}.{}", jar, payload,
                     rfc3339(std::chrono::floor<std::chrono::seconds>(now)));
}

std::string what_care_takes(std::string_view property) {
  if (property == "step") return "allowed: " + words_of<Step>();
  if (property == "sign") return "allowed: " + words_of<Sign>();
  return "care takes step, sign and say";
}

}  // namespace wheymark
