#include "core/household/usual_batches.hpp"

#include <cmath>
#include <fmt/format.h>

#include "core/jar/milk_course.hpp"
#include "core/jar/vessel.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/signs.hpp"
#include "core/record/amounts.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

double square(double x) {
  return x * x;
}

class Showing {
 public:
  Showing(const UsualBatch& batch, const CultureId& culture, const HouseholdSetup& setup,
          BrewTables& tables, const Parameters& parameters)
      : batch_(batch), parameters_(parameters) {
    const JarSetup* jar = usual_jar(culture, setup);
    const MilkKind milk = jar == nullptr ? MilkKind::cow_whole : jar->milk.value_or(MilkKind{});
    const Treatment treatment =
        jar == nullptr ? Treatment::pasteurised : jar->treatment.value_or(Treatment::pasteurised);
    const auto curve = tables.curve({milk, treatment, *batch.milk_ml, *batch.grain_g});
    opens_h_ = milestones(*curve, parameters).peak_opens_h;
    tau_h_ = jar == nullptr ? jar_time_constant_h(*batch.milk_ml, *batch.milk_ml, parameters)
                            : time_constant_h(setup, jar->id, *batch.milk_ml, parameters);
  }

  [[nodiscard]] double log_pace(double air_c) const {
    const Instant poured{};
    const RoomStretch room{poured, after_hours(poured, batch_.hours), Celsius(air_c),
                           Celsius(air_c)};
    const Condition then =
        advanced({poured, Celsius(*batch_.milk_c), 0.0, 0.0}, room, tau_h_, parameters_);
    return std::log(opens_h_ / then.acid_clock_h);
  }

 private:
  const UsualBatch& batch_;
  const Parameters& parameters_;
  double opens_h_;
  double tau_h_;
};

}  // namespace

std::vector<UsualShown> shown_by(const UsualBatches& usual, const CultureId& culture,
                                 const HouseholdSetup& setup, BrewTables& tables,
                                 const Parameters& p) {
  const UsualBatch as_ever = as_set_up({0.0}, culture, setup, p);
  std::vector<UsualShown> all;
  for (const UsualBatch& batch : usual.told) {
    const Showing showing(batch, culture, setup, tables, p);
    const bool is_known = batch.air_c || usual.own_days_c;
    const double air_c = batch.air_c.value_or(usual.own_days_c.value_or(room_without_readings_c));
    const double air_sd_k = is_known ? p.usual_air_sd_k : p.usual_air_unknown_sd_k;
    const double log_pace = showing.log_pace(air_c);
    const double by_air = showing.log_pace(air_c - 0.5) - showing.log_pace(air_c + 0.5);
    const double other_room_k = usual.own_days_c.value_or(air_c) - air_c;
    const double other_load =
        std::log(*batch.grain_g / *batch.milk_ml * *as_ever.milk_ml / *as_ever.grain_g);
    const double log_sd = std::sqrt(square(p.usual_log_sd) + square(by_air * air_sd_k) +
                                    square(p.another_room_log_sd_a_k * other_room_k) +
                                    square(p.another_load_log_sd * other_load));
    // A curve that never opens shows nothing.
    if (std::isfinite(log_pace) && std::isfinite(log_sd)) all.push_back({log_pace, log_sd});
  }
  return all;
}

std::string text_of(const UsualBatch& batch) {
  std::string text = fmt::format("{:g} h", batch.hours);
  if (batch.air_c) text += fmt::format(" at {:g} °C", *batch.air_c);
  return text +
         fmt::format(" with {} in {}", grams_text(*batch.grain_g), volume_text(*batch.milk_ml));
}

}  // namespace wheymark
