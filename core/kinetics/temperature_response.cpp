#include "core/kinetics/temperature_response.hpp"

namespace wheymark {

// [rosso1993] equation 3, for Tmin < T < Tmax:
//
//   gamma = (T - Tmax) (T - Tmin)^2
//           / ((Topt - Tmin) ((Topt - Tmin)(T - Topt) - (Topt - Tmax)(Topt + Tmin - 2 T)))
double relative_rate(Celsius t, const CardinalTemperatures& cardinal) {
  if (t <= cardinal.min || t >= cardinal.max) return 0.0;
  const double T = t.degrees();
  const double Tmin = cardinal.min.degrees();
  const double Topt = cardinal.best.degrees();
  const double Tmax = cardinal.max.degrees();
  const double above = T - Tmin;
  const double span = Topt - Tmin;
  return (T - Tmax) * above * above /
         (span * (span * (T - Topt) - (Topt - Tmax) * (Topt + Tmin - 2 * T)));
}

CardinalTemperatures acid_temperatures(const Parameters& p) {
  return {Celsius(p.acid_min_c), Celsius(p.acid_best_c), Celsius(p.acid_max_c)};
}

CardinalTemperatures gas_temperatures(const Parameters& p) {
  return {Celsius(p.gas_min_c), Celsius(p.gas_best_c), Celsius(p.gas_max_c)};
}

double acid_rate(Celsius t, const Parameters& p) {
  const CardinalTemperatures acid = acid_temperatures(p);
  return relative_rate(t, acid) / relative_rate(Celsius(p.reference_c), acid);
}

}  // namespace wheymark
