// What every jar holds and how much grain there is, after a row of facts in the order of time.
//
// Bookkeeping only: nothing here knows of temperatures or clocks. A fact that cannot have happened
// (straining an empty jar) is refused with what would make sense.
#pragma once

#include <map>
#include <optional>
#include <vector>

#include "core/basis/result.hpp"
#include "core/household/batch.hpp"
#include "core/household/facts.hpp"
#include "core/household/plan.hpp"

namespace wheymark {

class Kitchen {
 public:
  // Whether this fact can have happened next. The fact is complete (see completion.hpp).
  [[nodiscard]] Outcome allows(const FactRecord& record, const Plan& plan) const;

  // Takes a fact that is allowed.
  void take(const FactRecord& record);

  // In the order of their starts.
  [[nodiscard]] const std::vector<Batch>& batches() const { return batches_; }
  // What the jar holds, or null.
  [[nodiscard]] const Batch* in_jar(const JarId& jar) const;
  // The batch with this number, or null.
  [[nodiscard]] const Batch* numbered(std::uint64_t number) const;
  // The number of the batch that the last fact was about; 0 when it was about none.
  [[nodiscard]] std::uint64_t last_touched() const { return last_touched_; }
  // The mass of a culture's grains as last weighed; nothing when nobody has.
  [[nodiscard]] std::optional<double> weighed_grain_g(const CultureId& culture) const;

 private:
  struct Allowing;
  struct Taking;

  std::vector<Batch> batches_;
  std::map<JarId, std::size_t> contents_;  // index into batches_
  std::map<CultureId, double> weighed_g_;
  std::uint64_t last_touched_ = 0;
};

}  // namespace wheymark
