// How long has strained kefir stood out of the fridge, and is that too long?
//
// It is the kefir's own temperature that counts, by the clock of 4 degC (condition.hpp): an hour in
// a hot kitchen is longer than one in a cold larder. The hours for which it stood out before it was
// last in the fridge are not counted here; its dates count them. A room without readings is taken
// as 20 degC.
#pragma once

#include <optional>
#include <string_view>

#include "core/kinetics/condition.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// h at 20 degC (12 to 48), common practice: kefir stays on the table for a day at most. Plain milk
// is given two hours above 5 degC [fsis2017]; kefir is sour, below the pH of 4.6 at which food
// codes no longer ask for the cold [foodcode2022], but goes on souring and making gas.
inline constexpr double on_the_table_h = 24.0;
// As much on the clock of 4 degC.
double on_the_table_cold_h(const Parameters& parameters);

struct LeftOut {
  Instant since;
  Instant too_long;  // when it was too long, or will be
  Instant too_old;   // when it is as old as in the fridge on its last day: see last_day_after

  // What is to be done with it, once it is too long.
  [[nodiscard]] std::string_view what_to_do(Instant now) const {
    return now >= too_old ? "throw it out" : "store it or throw it out";
  }
};

// When it came out of the fridge for the last time, or else out of its grains. Nothing of kefir
// that is in the fridge, and of a second fermentation, which stands there on purpose and is told
// of by its own clock.
std::optional<Instant> out_of_fridge_since(const Batch& batch, const HouseholdSetup& setup);

// Kefir that is out of the fridge since an instant, followed along its settled steps.
class OutOfFridge {
 public:
  // The condition at that instant.
  OutOfFridge(const Condition& then, const Parameters& parameters);

  // A settled step that ended after that instant.
  void add(const Condition& from, const Condition& to);
  // With the kefir staying as warm as it is in the last condition.
  [[nodiscard]] LeftOut going_on_from(const Condition& last, const Parameters& parameters) const;

  [[nodiscard]] Instant since() const { return since_; }

 private:
  Instant since_;
  double too_long_cold_h_;
  double too_old_cold_h_;
  std::optional<Instant> too_long_;
  std::optional<Instant> too_old_;
};

}  // namespace wheymark
