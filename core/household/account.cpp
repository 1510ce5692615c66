#include "core/household/account.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/household/local_time.hpp"
#include "core/household/names.hpp"

namespace wheymark {
namespace {

ReadingsUsed readings_of(const Batch& batch, std::size_t stay, const Household& household,
                         Instant now) {
  const bool is_last = stay + 1 == batch.stays.size();
  const PlaceId& place = batch.stays[stay].place;
  ReadingsUsed used{
      place,      batch.stays[stay].from, is_last ? now : batch.stays[stay + 1].from, 0, {}, {},
      Trust::none};
  if (household.plan().place(place) == nullptr) return used;
  used.thermometer = household.thermometer(place).trust(now);
  const TemperatureHistory* history = household.air(place);
  if (history == nullptr) return used;
  // Every reading breaks the air; but for the two ends, each stretch begins at one.
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
  const PlaceAir* air = household.place_air(place);
  if (air == nullptr || !air->history().last()) return std::nullopt;
  const Reading last = *air->history().last();
  const AirAhead ahead = air->ahead(household.plan());
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
  return fmt::format("{:.2f} (80 %: {:.2f} to {:.2f})", pace.p50, pace.p10, pace.p90);
}

class Lines {
 public:
  Lines(const Account& account, const Household& household, Instant now)
      : account_(account), household_(household), plan_(household.plan()), now_(now) {}

  std::vector<std::string> all() {
    add("{}: {}.", name_of_jar(account_.jar, plan_), word(account_.state.stage));
    const Batch* batch = account_.state.batch;
    if (batch != nullptr) tell_of_batch(*batch);
    for (const ReadingsUsed& used : account_.readings) tell_of_readings(used);
    tell_of_milk();
    if (account_.air) tell_of_air(*account_.air);
    if (account_.culture.empty()) return std::move(lines_);
    add("{} has shown its pace in {} {}; 1 is the published reference.",
        name_of_culture(account_.culture, plan_), account_.batches_learned_from,
        account_.batches_learned_from == 1 ? "batch" : "batches");
    add("Pace {}: {}.", batch == nullptr ? "of a batch that starts now" : "before this batch",
        range_text(account_.pace_before));
    for (const WeighedReport& report : account_.reports) tell_of_report(report);
    if (batch != nullptr) add("Pace of this batch: {}.", range_text(account_.pace_now));
    tell_of_peak();
    return std::move(lines_);
  }

 private:
  template <class... Values>
  void add(fmt::format_string<Values...> text, Values&&... values) {
    lines_.push_back(fmt::format(text, std::forward<Values>(values)...));
  }
  [[nodiscard]] std::string clock(Instant instant) const {
    return near_clock_text(instant, now_, plan_);
  }
  [[nodiscard]] std::string range_text(const PaceSpread& pace) const {
    return wheymark::range_text(pace);
  }
  [[nodiscard]] std::string spread_text(const InstantSpread& spread) const {
    const auto text = [&](const std::optional<Instant>& instant) {
      return instant ? clock(*instant) : std::string("not in sight");
    };
    return fmt::format("{} (80 %: {} to {})", text(spread.p50), text(spread.p10), text(spread.p90));
  }

  void tell_of_batch(const Batch& batch) {
    add("Started {}: {:.4g} g of {} in {:.5g} mL of milk at {:.1f} °C.",
        day_and_clock_text(batch.started, plan_), *batch.start.grain_g,
        name_of_culture(*batch.start.culture, plan_), *batch.start.milk_ml, *batch.start.milk_c);
  }

  void tell_of_readings(const ReadingsUsed& used) {
    const std::string where = name_of_place(used.place, plan_);
    if (used.readings == 0) {
      return add("{} from {}: no reading; its thermometer is {}.", where, clock(used.from),
                 word(used.thermometer));
    }
    add("{} from {}: {} readings, the first of {} ({:.1f} °C), the last of {} ({:.1f} °C); its "
        "thermometer is {}.",
        where, clock(used.from), used.readings, clock(used.first->at), used.first->air.degrees(),
        clock(used.last->at), used.last->air.degrees(), word(used.thermometer));
  }

  void tell_of_milk() {
    if (!account_.condition) return;
    add("The milk is at {:.1f} °C by the room and the jar's lag; its clock shows {:.1f} h at "
        "25 °C.",
        account_.condition->milk.degrees(), account_.condition->acid_clock_h);
    if (!account_.acid_g_per_l || !account_.state.ph) return;
    add("That makes {:.1f} g/L of lactic acid, pH {:.2f}.", *account_.acid_g_per_l,
        *account_.state.ph);
  }

  void tell_of_air(const AirExpected& air) {
    add("{} ahead: from {:.1f} °C now; coolest {:.1f} °C near {}, warmest {:.1f} °C near {}; its "
        "days were {:.1f} °C of late; give or take {:.1f} K a day ahead.",
        name_of_place(air.place, plan_), air.last_c, air.coolest_c, clock(air.coolest_at),
        air.warmest_c, clock(air.warmest_at), air.level_c, air.sd_k);
  }

  void tell_of_report(const WeighedReport& report) {
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
    std::string line =
        fmt::format("{} at {}: pace {} became {}", said, clock(report.at),
                    range_text(spread_of(report.before)), range_text(spread_of(report.after)));
    if (report.opens_before && report.opens_after) {
      line += fmt::format("; the peak's opening {} became {}", spread_text(*report.opens_before),
                          spread_text(*report.opens_after));
    }
    add("{}.", line);
  }

  void tell_of_peak() {
    const Batch* batch = account_.state.batch;
    if (batch == nullptr || !batch->fermenting()) return;
    if (!account_.state.forecast.peak_opens.p50) {
      return add("{}.", account_.condition ? "No peak is in sight for days"
                                           : "No thermometer was read there, so there is no "
                                             "forecast");
    }
    add("The peak opens {}, and closes {}.", spread_text(account_.state.forecast.peak_opens),
        spread_text(account_.state.forecast.peak_closes));
  }

  const Account& account_;
  const Household& household_;
  const Plan& plan_;
  Instant now_;
  std::vector<std::string> lines_;
};

}  // namespace

PaceSpread spread_of(const PaceBelief& pace) {
  return {pace.quantile(0.1), pace.quantile(0.5), pace.quantile(0.9)};
}

Result<Account> account_of(const JarId& jar, const Household& household, Instant now) {
  const Plan& plan = household.plan();
  const PlannedJar* planned = plan.jar(jar);
  if (planned == nullptr) {
    std::string ids;
    for (const PlannedJar& one : plan.jars) ids += (ids.empty() ? "" : ", ") + one.id;
    return Refusal{fmt::format("jar: no jar is called \"{}\"; there are: {}", jar, ids)};
  }
  Account account;
  account.jar = jar;
  account.state = jar_state(household, jar, now);
  const Batch* batch = account.state.batch;
  account.culture = batch != nullptr ? *batch->start.culture : planned->culture.value_or("");
  account.air = air_expected(batch != nullptr ? batch->place() : planned->place, household, now);
  if (!account.culture.empty()) {
    account.batches_learned_from = household.batches_learned_from(account.culture);
    account.pace_before = spread_of(household.pace_of_next_batch(account.culture, now));
    account.pace_now = account.pace_before;
  }
  if (batch == nullptr) return account;
  for (std::size_t stay = 0; stay < batch->stays.size(); ++stay) {
    account.readings.push_back(readings_of(*batch, stay, household, now));
  }
  const Ferment* ferment = household.ferment(*batch);
  if (ferment == nullptr) return account;
  account.condition = household.condition(*batch, now);
  if (account.condition) account.acid_g_per_l = ferment->acid(*account.condition).acid_g_per_l;
  account.pace_before = spread_of(ferment->prior());
  account.pace_now = spread_of(ferment->pace());
  account.reports = household.reports_weighed(*batch);
  return account;
}

std::vector<std::string> lines_of(const Account& account, const Household& household, Instant now) {
  return Lines(account, household, now).all();
}

}  // namespace wheymark
