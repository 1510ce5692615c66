// What a person may ask, on the wire or through the C boundary: `plan` and `explain`.
//
// A question is sent like a fact and answered like one, but it is none: nothing is kept, nothing
// changes, and the same `ref` asked again is answered anew.
#pragma once

#include <array>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>

#include "core/basis/result.hpp"
#include "core/basis/words.hpp"
#include "core/household/household.hpp"

namespace wheymark {

enum class QuestionKind { plan, explain };

template <>
struct Vocabulary<QuestionKind> {
  static constexpr std::array words{Word<QuestionKind>{QuestionKind::plan, "plan"},
                                    Word<QuestionKind>{QuestionKind::explain, "explain"}};
};

// The question that its "fact" names, if it names one.
std::optional<QuestionKind> question_in(const nlohmann::json& said);

struct Answered {
  std::string sentence;  // to read aloud
  std::string fields;    // a JSON object: the same in numbers
};

// Refused with one sentence that names the field, what was found and what is allowed.
Result<Answered> answer_question(const nlohmann::json& asked,
                                 const std::optional<JarId>& implied_jar,
                                 const Household& household, Instant now);

}  // namespace wheymark
