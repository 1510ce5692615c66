// What batches have in common, so that each need not compute or store it.
//
// An acid curve is 60 kB and a millisecond; jars that are filled alike share one. The clock's rate
// is the same for all.
#pragma once

#include <map>
#include <memory>
#include <tuple>

#include "core/forecast/rate_table.hpp"
#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

class BrewTables {
 public:
  explicit BrewTables(const Parameters& parameters) : parameters_(parameters), rates_(parameters) {}

  [[nodiscard]] const RateTable& rates() const { return rates_; }
  // Solved when it is first asked for.
  std::shared_ptr<const AcidCurve> curve(const Brew& brew);

 private:
  using Key = std::tuple<MilkKind, Treatment, double, double>;
  void forget_unused();

  Parameters parameters_;
  RateTable rates_;
  std::map<Key, std::shared_ptr<const AcidCurve>> curves_;
};

}  // namespace wheymark
