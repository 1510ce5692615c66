// Kefir that ferments by other laws than Wheymark's, to judge it by.
//
// pH falls along a modified Gompertz or a logistic curve in time (Wheymark: growth and acid
// formation with inhibition); the rate follows Ratkowsky's square root in temperature (Wheymark: a
// cardinal model); milk warms with a time constant of its own; grains for the milk act by a power
// law. What a household calls thickened, set, pockets and whey layer are pH thresholds of its own.
//
// Zwietering and others 1990 (modified Gompertz and logistic), Ratkowsky and others 1982.
#pragma once

#include <functional>
#include <vector>

#include "core/basis/units.hpp"
#include "core/record/facts.hpp"
#include "tests/simulation/dice.hpp"

namespace wheymark::simulation {

// The true values of one household, which it never knows.
struct TrueGrains {
  bool gompertz;
  double hours_to_open;  // at 22 degC from warm milk, 20 g in 950 mL
  double lag_share;      // of these hours
  double ph_end;
  double no_growth_c;  // Ratkowsky's notional minimum
  double load_power;
  double tau_h;  // of 950 mL
  double batch_log_sd;
  double drift_log_sd;  // from batch to batch
  double thickened_ph, set_ph, opens_ph, closes_ph;
  double threshold_sd_ph;  // from batch to batch

  static TrueGrains drawn(Dice& dice);
};

// When each sign came in one batch.
struct TrueBatch {
  Instant started;
  Instant thickened, set, opens, closes;

  [[nodiscard]] Sign shows(Instant instant) const;
  [[nodiscard]] double ph_at(Instant instant) const;

  // pH every ten minutes.
  std::vector<double> ph;
};

// Degrees Celsius round a jar.
using AirThen = std::function<double(Instant)>;

// `speed` is that of this batch against the household's usual.
TrueBatch fermented(const TrueGrains& grains, double speed, double grain_g, double milk_ml,
                    double milk_c, const AirThen& air, Instant started, Dice& dice);

}  // namespace wheymark::simulation
