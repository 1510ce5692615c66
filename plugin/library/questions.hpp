// Questions about this household are answered from its present state, and change nothing.
//
// A plan costs some fifteen milliseconds: somebody who asks without a pause shall not keep the
// thermometers waiting. A program that asks through the C boundary waits for its own answer, so it
// may ask as often as it wants.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "core/basis/result.hpp"
#include "core/household/household.hpp"
#include "plugin/library/allowance.hpp"
#include "plugin/library/host_clock.hpp"
#include "plugin/wire/question.hpp"

namespace wheymark {

class Questions {
 public:
  explicit Questions(const Household& household);

  // Answers a message. Refused with one sentence also when too much is asked or the clock is not
  // set.
  Result<Answered> answer(const nlohmann::json& asked, const std::optional<JarId>& implied_jar,
                          const HostTime& time);
  // Answers a question's JSON text (see plugin/wire/question.hpp) with JSON text.
  [[nodiscard]] Result<std::string> answer(std::string_view question, Instant as_of) const;

 private:
  const Household& household_;
  Allowance allowance_;
};

}  // namespace wheymark
