// Prints the parameters, the milks and two hundred computed batches for scipy_check.py, which
// solves the same equations from their text with another solver.
#include <fmt/format.h>

#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/milk.hpp"
#include "tests/reference/random_batches.hpp"

int main() {
  using namespace wheymark;
  const Parameters& p = default_parameters();
  for (const ParameterRow& row : parameter_table()) {
    fmt::print("parameter {} {}\n", row.name, row.value(p));
  }
  for (const MilkRow& row : milk_table()) {
    const MilkComposition& m = row.composition;
    fmt::print("milk {} {} {} {} {}\n", word(row.kind), m.protein_g_per_100_g,
               m.lactose_g_per_100_g, m.density_g_per_ml, m.ph);
  }
  for (const published::RandomBatch& b : published::random_batches()) {
    fmt::print("batch {} {} {} {} {} {} {} {} {} {}\n", word(b.brew.milk), word(b.brew.treatment),
               b.brew.milk_ml, b.brew.grain_g, b.pace, b.milk_c, b.room_from_c, b.room_to_c,
               b.tau_h, published::random_batch_h);
    const AcidCurve curve = AcidCurve::solved(b.brew, p);
    const auto room = [&](double h) {
      return Celsius(b.room_from_c + (b.room_to_c - b.room_from_c) * h / published::random_batch_h);
    };
    Condition now{Instant{}, Celsius(b.milk_c), 0, 0};
    for (double h = 3; h <= published::random_batch_h; h += 3) {
      const Instant next = after_hours(Instant{}, h);
      now = advanced(now, {now.at, next, room(hours_between(Instant{}, now.at)), room(h)}, b.tau_h,
                     p);
      const AcidState s = curve.at(b.pace * now.acid_clock_h);
      fmt::print("state {} {} {} {} {} {} {} {} {}\n", h, now.milk.degrees(), now.acid_clock_h,
                 now.gas_clock_h, s.ph, s.acid_g_per_l, s.biomass_g_per_l, s.lactose_g_per_l,
                 s.acidity_percent);
    }
  }
}
