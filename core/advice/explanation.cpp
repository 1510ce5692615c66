#include "core/advice/explanation.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/household/not_souring.hpp"
#include "core/household/pace_words.hpp"
#include "core/household/suspect_words.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

ReadingsUsed readings_of(const Batch& batch, std::size_t stay, const Household& household,
                         Instant now) {
  const bool is_last = stay + 1 == batch.stays.size();
  const PlaceId& place = batch.stays[stay].place;
  ReadingsUsed used{
      place, batch.stays[stay].from, is_last ? now : batch.stays[stay + 1].from, 0, {},
      {},    ThermometerStatus::none};
  if (household.setup().place(place) == nullptr) return used;
  used.thermometer = household.places().thermometer(place).status(now);
  const TemperatureHistory* history = household.places().history(place);
  if (history == nullptr) return used;
  // The air is broken at every reading; so each stretch but perhaps the first begins at one.
  for (const RoomStretch& stretch : history->between(used.from, used.until)) {
    if (stretch.from > used.from || history->first()->at == stretch.from) {
      ++used.readings;
      if (!used.first) used.first = Reading{stretch.from, stretch.at_from};
      used.last = Reading{stretch.from, stretch.at_from};
    }
  }
  return used;
}

std::optional<AirExpected> air_expected(const PlaceId& place, const Household& household,
                                        Instant now) {
  const PlaceAir* air = household.places().air(place);
  if (air == nullptr || !air->history().last()) return std::nullopt;
  const Reading last = *air->history().last();
  const AirAhead ahead = air->ahead(household.setup());
  AirExpected expected{place, last.air.degrees(), ahead.level.degrees(), 0, 0, now,
                       now,   ahead.sd_k};
  const Instant from = std::max(now, last.at);
  expected.coolest_c = expected.warmest_c = ahead.at(from).degrees();
  for (int hour = 1; hour <= 24; ++hour) {
    const Instant at = from + std::chrono::hours{hour};
    const double air_c = ahead.at(at).degrees();
    if (air_c < expected.coolest_c) expected.coolest_c = air_c, expected.coolest_at = at;
    if (air_c > expected.warmest_c) expected.warmest_c = air_c, expected.warmest_at = at;
  }
  return expected;
}

std::string range_text(const PaceSpread& pace) {
  return pace_words(pace.p10, pace.p50, pace.p90);
}

class Lines {
 public:
  Lines(const Explanation& explanation, const Household& household, Instant now)
      : explanation_(explanation), household_(household), setup_(household.setup()), now_(now) {}

  std::vector<std::string> all() {
    add("{}: {}.", name_of_jar(explanation_.jar, setup_), word(explanation_.state.stage));
    const Batch* batch = explanation_.state.batch;
    if (const Suspicion* why = explanation_.state.suspicion) {
      add("It is suspect: {}; {}.", what_was_seen(*why, setup_), what_to_do(batch));
    } else if (explanation_.state.not_souring) {
      add("It was not sour after a day in the warm: {}.", plain_milk_text);
    } else if (const auto& out = explanation_.state.left_out; out && out->too_long <= now_) {
      add("It stands out of the fridge since {}, longer than a day at room warmth: {}, and follow "
          "local food-safety advice.",
          day_and_clock_text(out->since, setup_), out->what_to_do(now_));
    }
    if (batch != nullptr) describe_batch(*batch);
    for (const ReadingsUsed& used : explanation_.readings) describe_readings(used);
    describe_milk();
    if (explanation_.air) describe_air(*explanation_.air);
    if (explanation_.culture.empty()) return std::move(lines_);
    if (explanation_.grains) {
      add("{}: {}.", name_of_culture(explanation_.culture, setup_),
          text_of(*explanation_.grains, setup_));
    }
    describe_pace(batch);
    describe_peak();
    return std::move(lines_);
  }

 private:
  template <class... Values>
  void add(fmt::format_string<Values...> text, Values&&... values) {
    lines_.push_back(fmt::format(text, std::forward<Values>(values)...));
  }
  [[nodiscard]] std::string clock(Instant instant) const {
    return near_clock_text(instant, now_, setup_);
  }
  [[nodiscard]] std::string range_text(const PaceSpread& pace) const {
    return wheymark::range_text(pace);
  }
  [[nodiscard]] std::string spread_text(const InstantSpread& spread) const {
    const auto text = [&](const std::optional<Instant>& instant) {
      return instant ? clock(*instant) : std::string("not in sight");
    };
    return fmt::format("{} (likely between {} and {})", text(spread.p50), text(spread.p10),
                       text(spread.p90));
  }

  void describe_batch(const Batch& batch) {
    add("Started {}: {:.4g} g of {} in {:.5g} mL of milk at {:.1f} °C.",
        day_and_clock_text(batch.started, setup_), *batch.start.grain_g,
        name_of_culture(*batch.start.culture, setup_), *batch.start.milk_ml, *batch.start.milk_c);
  }

  void describe_pace(const Batch* batch) {
    const std::string name = name_of_culture(explanation_.culture, setup_);
    if (explanation_.batches_learned_from == 0) {
      add("How fast {} is, no batch has shown yet.", name);
    } else {
      add("How fast {} is, {} {} shown.", name, explanation_.batches_learned_from,
          explanation_.batches_learned_from == 1 ? "batch has" : "batches have");
    }
    for (const UsualBatch& told : household_.usual(explanation_.culture).told) {
      add("You know of it that it usually takes {}.", text_of(told));
    }
    add("{} expected to take {}.",
        batch == nullptr ? "A batch that starts now is" : "This batch was",
        range_text(explanation_.pace_before));
    for (const WeighedReport& report : explanation_.reports) describe_report(report);
    if (batch != nullptr && !explanation_.reports.empty()) {
      add("By now it is expected to take {}.", range_text(explanation_.pace_now));
    }
  }

  void describe_readings(const ReadingsUsed& used) {
    const std::string where = name_of_place(used.place, setup_);
    if (used.readings == 0) {
      return add("{} from {}: no reading; its thermometer is {}.", where, clock(used.from),
                 word(used.thermometer));
    }
    add("{} from {}: {} readings, the first of {} ({:.1f} °C), the last of {} ({:.1f} °C); its "
        "thermometer is {}.",
        where, clock(used.from), used.readings, clock(used.first->at), used.first->air.degrees(),
        clock(used.last->at), used.last->air.degrees(), word(used.thermometer));
  }

  void describe_milk() {
    if (!explanation_.condition) return;
    add("The milk is at {:.1f} °C by the room and the jar's lag; so far it has had what {:.1f} h "
        "at "
        "25 °C would do.",
        explanation_.condition->milk.degrees(), explanation_.condition->acid_clock_h);
    if (!explanation_.acid_g_per_l || !explanation_.state.ph) return;
    add("That makes {:.1f} g/L of lactic acid, pH {:.2f}.", *explanation_.acid_g_per_l,
        *explanation_.state.ph);
  }

  void describe_air(const AirExpected& air) {
    add("{} ahead: from {:.1f} °C now; coolest {:.1f} °C near {}, warmest {:.1f} °C near {}; its "
        "days were {:.1f} °C of late; give or take {:.1f} K a day ahead.",
        name_of_place(air.place, setup_), air.last_c, air.coolest_c, clock(air.coolest_at),
        air.warmest_c, clock(air.warmest_at), air.level_c, air.sd_k);
  }

  void describe_report(const WeighedReport& report) {
    const std::string said = std::visit(
        [](const auto& what) {
          using What = std::decay_t<decltype(what)>;
          if constexpr (std::is_same_v<What, double>) return fmt::format("pH {:.2f}", what);
          if constexpr (std::is_same_v<What, Sign>) return fmt::format("\"{}\"", word(what));
          if constexpr (std::is_same_v<What, Verdict>) {
            return fmt::format("strained, \"{}\"", word(what));
          }
        },
        report.said);
    std::string line = fmt::format("{} at {}: it was expected to take {}, and after that {}", said,
                                   clock(report.at), time_at_pace(report.before.quantile(0.5)),
                                   range_text(spread_of(report.after)));
    if (report.opens_before && report.opens_after) {
      line += fmt::format("; the peak's opening {} became {}", spread_text(*report.opens_before),
                          spread_text(*report.opens_after));
    }
    add("{}.", line);
  }

  void describe_peak() {
    const Batch* batch = explanation_.state.batch;
    if (batch == nullptr || !batch->fermenting()) return;
    if (explanation_.state.suspicion != nullptr) return;
    if (!explanation_.state.forecast.peak_opens.p50) {
      return add("{}.", explanation_.condition ? "No peak is in sight for days"
                                               : "No thermometer was read there, so there is no "
                                                 "forecast");
    }
    add("The peak opens {}, and closes {}.", spread_text(explanation_.state.forecast.peak_opens),
        spread_text(explanation_.state.forecast.peak_closes));
  }

  const Explanation& explanation_;
  const Household& household_;
  const HouseholdSetup& setup_;
  Instant now_;
  std::vector<std::string> lines_;
};

}  // namespace

PaceSpread spread_of(const PaceBelief& pace) {
  return {pace.quantile(0.1), pace.quantile(0.5), pace.quantile(0.9)};
}

Result<Explanation> explanation_of(const JarId& jar, const Household& household, Instant now) {
  const HouseholdSetup& setup = household.setup();
  const JarSetup* of_jar = setup.jar(jar);
  if (of_jar == nullptr) {
    return Refusal{
        fmt::format("jar: no jar is called \"{}\"; there are: {}", jar, setup.jars.ids())};
  }
  Explanation explanation;
  explanation.jar = jar;
  explanation.state = jar_state(household, jar, now);
  const Batch* batch = explanation.state.batch;
  explanation.culture = batch != nullptr ? *batch->start.culture : of_jar->culture.value_or("");
  explanation.air = air_expected(batch != nullptr ? batch->place() : of_jar->place, household, now);
  if (const CultureSetup* culture = setup.culture(explanation.culture)) {
    explanation.grains =
        grain_sums(*culture, household.book(), household.wanted_grain_g(culture->id));
  }
  if (!explanation.culture.empty()) {
    explanation.batches_learned_from = household.paces().batches(explanation.culture);
    explanation.pace_before = spread_of(household.pace_of_next_batch(explanation.culture, now));
    explanation.pace_now = explanation.pace_before;
  }
  if (batch == nullptr) return explanation;
  for (std::size_t stay = 0; stay < batch->stays.size(); ++stay) {
    explanation.readings.push_back(readings_of(*batch, stay, household, now));
  }
  const Fermentation* fermentation = household.fermentation(*batch);
  if (fermentation == nullptr) return explanation;
  explanation.condition = household.condition(*batch, now);
  if (explanation.condition)
    explanation.acid_g_per_l = fermentation->acid(*explanation.condition).acid_g_per_l;
  explanation.pace_before = spread_of(fermentation->prior());
  explanation.pace_now = spread_of(fermentation->pace());
  explanation.reports = household.reports_weighed(*batch);
  return explanation;
}

std::vector<std::string> lines_of(const Explanation& explanation, const Household& household,
                                  Instant now) {
  return Lines(explanation, household, now).all();
}

}  // namespace wheymark
