// What a function returns when the world may be wrong: a value, or a refusal that says why.
//
// A refusal holds one sentence for a person, with the value found and what is allowed. Our own
// mistakes do not travel this way: see check.hpp.
#pragma once

#include <string>
#include <utility>
#include <variant>

#include "core/basis/check.hpp"

namespace wheymark {

// Why something was not done, as one sentence that a person can act on.
struct Refusal {
  std::string why;
};

template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : outcome_(std::move(value)) {}            // NOLINT: return it as it is
  Result(Refusal refusal) : outcome_(std::move(refusal)) {}  // NOLINT

  [[nodiscard]] bool ok() const { return outcome_.index() == 0; }
  explicit operator bool() const { return ok(); }

  // The value; asking a refusal for it is a mistake of ours.
  [[nodiscard]] const T& value() const& {
    check(ok(), "a refused result has no value");
    return std::get<0>(outcome_);
  }
  [[nodiscard]] T&& value() && {
    check(ok(), "a refused result has no value");
    return std::get<0>(std::move(outcome_));
  }
  [[nodiscard]] const std::string& why() const {
    check(!ok(), "an accepted result has no refusal");
    return std::get<1>(outcome_).why;
  }
  [[nodiscard]] Refusal refusal() const { return Refusal{why()}; }

 private:
  std::variant<T, Refusal> outcome_;
};

struct Nothing {};
using Outcome = Result<Nothing>;

}  // namespace wheymark
