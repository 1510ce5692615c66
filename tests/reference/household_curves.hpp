// Batches of a household that wrote them down with `export --what curves` (the columns are in
// plugin/history/curves.md), read whole, and scored as published batches are.
//
// What is compared: the hour of each sign that came between two looks, and each measured pH. The
// milk follows the air by the jar's own time constant, and the clock the milk, as in the library;
// the computation here shares its formulae but not its state. Where no thermometer was, nothing is
// scored. A file may begin with lines that begin with `#` and say where it is from.
#pragma once

#include <algorithm>
#include <fmt/format.h>
#include <optional>
#include <string>
#include <vector>

#include "core/basis/limits.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/heat.hpp"
#include "core/kinetics/signs.hpp"
#include "core/pace/culture_pace.hpp"
#include "core/pace/rested_pace.hpp"
#include "tests/reference/absolute.hpp"

namespace wheymark::published {

struct Look {
  double hours;
  Sign sign;
};

// The air from `hours` on, until the next; a straight line between two of one stay.
struct AirRead {
  double hours;
  double air_c;
  std::size_t stay;
};

struct HouseholdBatch {
  std::string batch;
  std::string culture;
  Brew brew;
  double milk_c = 0;
  double jar_ml = 0;
  std::optional<double> idle_h;
  std::optional<AfterRest> after_rest;
  std::vector<double> stays;  // the hours at which it came to each place; the first is 0
  std::vector<AirRead> air;
  std::vector<Look> looks;
  std::vector<Point> ph;
  std::optional<double> ended_h;  // strained, or given up; else it was still working
  std::optional<Verdict> verdict;
};

struct HouseholdFile {
  std::string name;
  std::vector<std::string> comments;
  std::vector<HouseholdBatch> batches;
};

// --- reading
// --------------------------------------------------------------------------------------

inline constexpr std::array household_columns{
    "batch",  "hours",   "what", "number",    "word",     "place",
    "jar",    "culture", "milk", "treatment", "milk_ml",  "grain_g",
    "milk_c", "jar_ml",  "lid",  "idle_h",    "rested_h", "batch_since_rest"};

class HouseholdReader {
 public:
  explicit HouseholdReader(const std::filesystem::path& path) : table_(table(path)) {
    if (table_.columns.size() != household_columns.size() ||
        !std::equal(table_.columns.begin(), table_.columns.end(), household_columns.begin())) {
      throw std::runtime_error(fmt::format("{}: the header is \"{}\"; it must be \"{}\"",
                                           path.filename().string(), fmt::join(table_.columns, ","),
                                           fmt::join(household_columns, ",")));
    }
  }

  HouseholdFile read() {
    HouseholdFile file{table_.name, table_.comments, {}};
    for (row_ = 0; row_ < table_.rows.size(); ++row_) {
      if (text("what") == "poured") {
        file.batches.push_back(poured());
        continue;
      }
      if (file.batches.empty() || file.batches.back().batch != text("batch")) {
        refuse("batch", "a batch begins with a row \"poured\"");
      }
      take(file.batches.back());
    }
    return file;
  }

 private:
  [[noreturn]] void refuse(const std::string& column, const std::string& allowed) const {
    throw std::runtime_error(fmt::format("{}, row {} after the header: {} is \"{}\"; {}",
                                         table_.name, row_ + 1, column, text(column), allowed));
  }
  [[nodiscard]] const std::string& text(const std::string& column) const {
    return table_.rows[row_].at(column);
  }
  [[nodiscard]] double within(const std::string& column, double least, double most) const {
    double value = 0;
    const std::string& cell = text(column);
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    const bool is_number = error == std::errc() && end == cell.data() + cell.size();
    if (!is_number || !(value >= least && value <= most)) {
      refuse(column, fmt::format("it must be a number from {} to {}", least, most));
    }
    return value;
  }
  [[nodiscard]] std::optional<double> perhaps(const std::string& column, double most) const {
    return text(column).empty() ? std::nullopt : std::optional(within(column, 0, most));
  }
  template <class Meaning>
  [[nodiscard]] Meaning one_of(const std::string& column) const {
    const auto meaning = meaning_of<Meaning>(text(column));
    if (meaning) return *meaning;
    std::string allowed = "it must be one of";
    for (const auto& word : Vocabulary<Meaning>::words) allowed += fmt::format(" {}", word.text);
    refuse(column, allowed);
  }

  [[nodiscard]] HouseholdBatch poured() const {
    HouseholdBatch batch;
    batch.batch = text("batch");
    batch.culture = text("culture");
    batch.brew = {one_of<MilkKind>("milk"), one_of<Treatment>("treatment"),
                  within("milk_ml", limits::milk_ml_min, limits::milk_ml_max),
                  within("grain_g", 0, limits::grain_g_max)};
    batch.milk_c = within("milk_c", limits::milk_c_min, limits::milk_c_max);
    batch.jar_ml = within("jar_ml", batch.brew.milk_ml, limits::capacity_ml_max);
    batch.idle_h = perhaps("idle_h", 1e6);
    if (const auto rested_h = perhaps("rested_h", 1e6)) {
      batch.after_rest = {static_cast<int>(within("batch_since_rest", 1, 3)), *rested_h};
    }
    batch.stays = {within("hours", 0, 0)};
    return batch;
  }

  void take(HouseholdBatch& batch) const {
    const double hours = within("hours", last_hour(batch), 1e6);
    if (batch.ended_h) refuse("what", "nothing comes after a batch has ended");
    const std::string& what = text("what");
    if (what == "air") {
      batch.air.push_back({hours,
                           within("number", limits::plausible_c_min, limits::plausible_c_max),
                           batch.stays.size() - 1});
    } else if (what == "moved") {
      batch.stays.push_back(hours);
    } else if (what == "sign") {
      batch.looks.push_back({hours, one_of<Sign>("word")});
    } else if (what == "ph") {
      batch.ph.push_back({hours, within("number", limits::ph_min, limits::ph_max)});
    } else if (what == "strained" || what == "given-up") {
      batch.ended_h = hours;
      if (!text("word").empty()) batch.verdict = one_of<Verdict>("word");
    } else {
      refuse("what", "it must be one of poured, moved, air, sign, ph, strained, given-up");
    }
  }

  // Rows come in the order of time.
  static double last_hour(const HouseholdBatch& batch) {
    double last = batch.stays.back();
    if (!batch.air.empty()) last = std::max(last, batch.air.back().hours);
    if (!batch.looks.empty()) last = std::max(last, batch.looks.back().hours);
    if (!batch.ph.empty()) last = std::max(last, batch.ph.back().time_h);
    return last;
  }

  Table table_;
  std::size_t row_ = 0;
};

// Throws, with row, value and what is allowed, when the file is not as curves.md describes it.
inline HouseholdFile household_file(const std::filesystem::path& path) {
  return HouseholdReader(path).read();
}

inline std::vector<HouseholdFile> household_files() {
  std::vector<std::filesystem::path> paths;
  for (const auto& file : std::filesystem::directory_iterator(folder() / "households")) {
    if (file.path().extension() == ".csv") paths.push_back(file.path());
  }
  std::sort(paths.begin(), paths.end());
  std::vector<HouseholdFile> files;
  for (const auto& path : paths) files.push_back(household_file(path));
  return files;
}

// --- computing
// ------------------------------------------------------------------------------------

// Hours on the acid clock by hours since pouring, at pace 1.
class ClockOf {
 public:
  // Nothing when some stay of half an hour or more had no thermometer, or nothing was read at all.
  static std::optional<ClockOf> made(const HouseholdBatch& batch, double until_h,
                                     const Parameters& p) {
    ClockOf clock;
    clock.tau_h_ = jar_time_constant_h(batch.brew.milk_ml, batch.jar_ml, p);
    clock.at_ = {Instant{}, Celsius(batch.milk_c), 0.0, 0.0};
    for (std::size_t stay = 0; stay < batch.stays.size(); ++stay) {
      const double from_h = batch.stays[stay];
      const double to_h = stay + 1 < batch.stays.size() ? batch.stays[stay + 1] : until_h;
      std::vector<AirRead> air;
      for (const AirRead& read : batch.air) {
        if (read.stay == stay) air.push_back(read);
      }
      if (air.empty() && to_h - from_h >= 0.5) return std::nullopt;
      if (air.empty()) continue;
      air.insert(air.begin(), {from_h, air.front().air_c, stay});
      air.push_back({std::max(to_h, air.back().hours), air.back().air_c, stay});
      for (std::size_t i = 1; i < air.size(); ++i) clock.advance(air[i - 1], air[i], p);
    }
    if (clock.points_.size() < 2) return std::nullopt;
    return clock;
  }

  [[nodiscard]] double clock_h_at(double hours) const {
    return between(
        hours, [](const Knot& k) { return k.hours; }, [](const Knot& k) { return k.clock_h; });
  }
  [[nodiscard]] double hours_at(double clock_h) const {
    return between(
        clock_h, [](const Knot& k) { return k.clock_h; }, [](const Knot& k) { return k.hours; });
  }

 private:
  struct Knot {
    double hours;
    double clock_h;
  };
  static Instant instant(double hours) {
    return Instant{Milliseconds(std::llround(hours * 3'600'000.0))};
  }
  void advance(const AirRead& from, const AirRead& to, const Parameters& p) {
    const Instant begins = at_.at;
    const Instant ends = instant(to.hours);
    if (ends <= begins) return;
    at_ = advanced(at_, {begins, ends, Celsius(from.air_c), Celsius(to.air_c)}, tau_h_, p);
    points_.push_back({to.hours, at_.acid_clock_h});
  }
  // Linear between knots, and on by the last stretch that advanced.
  template <class From, class To>
  double between(double value, From from, To to) const {
    const auto after = std::find_if(points_.begin() + 1, points_.end() - 1,
                                    [&](const Knot& knot) { return from(knot) >= value; });
    const Knot& right = *after;
    const Knot& left = *std::prev(after);
    const double width = std::max(from(right) - from(left), 1e-12);
    return to(left) + (value - from(left)) / width * (to(right) - to(left));
  }

  double tau_h_ = 0;
  Condition at_{Instant{}, Celsius(0.0), 0.0, 0.0};
  std::vector<Knot> points_{{0.0, 0.0}};
};

inline std::optional<double> clock_h_of(Sign sign, const Milestones& at) {
  switch (sign) {
    case Sign::thickened:
      return at.thickened_h;
    case Sign::set:
      return at.set_h;
    case Sign::whey_pockets:
      return at.peak_opens_h;
    case Sign::whey_layer:
      return at.peak_closes_h;
    case Sign::still_milk:
    case Sign::separated:
      break;
  }
  return std::nullopt;
}

// Above this the curve is so flat that a meter's error is hours.
inline constexpr double ph_that_tells = 6.0;

// What is scored of one batch; empty when no thermometer was near it.
inline std::vector<Foretold> scores_of(const std::string& source, const HouseholdBatch& batch,
                                       const Parameters& p) {
  std::vector<Foretold> all;
  const double until_h = std::max(48.0, batch.ended_h.value_or(0.0));
  const auto clock = ClockOf::made(batch, until_h, p);
  if (!clock) return all;
  const AcidCurve curve = AcidCurve::solved(batch.brew, p);
  const PaceBelief awake = CulturePace(p).of_a_batch(Instant{});
  const PaceBelief belief =
      batch.after_rest ? believed_after_rest(awake, rested_pace(*batch.after_rest, p)) : awake;
  const auto add = [&](const std::string& what, bool ended, double hours, double ph,
                       double clock_h) {
    if (!std::isfinite(clock_h) || hours <= 0) return;
    all.push_back(scored(
        {source, what, Use::sealed, true, ended, hours, ph}, belief,
        [&](double pace) { return clock->hours_at(clock_h / pace); },
        clock_h / clock->clock_h_at(hours)));
  };
  const Milestones at = milestones(curve, p);
  for (std::size_t i = 1; i < batch.looks.size(); ++i) {
    const Look& before = batch.looks[i - 1];
    const Look& seen = batch.looks[i];
    if (seen.sign <= before.sign) continue;
    // As a published range of hours: its middle.
    const double hours = 0.5 * (before.hours + seen.hours);
    if (const auto clock_h = clock_h_of(seen.sign, at)) {
      add(fmt::format("batch {}, {}", batch.batch, word(seen.sign)), true, hours,
          curve.at(*clock_h).ph, *clock_h);
    }
  }
  for (const Point& point : batch.ph) {
    if (point.ph > ph_that_tells) continue;
    add(fmt::format("batch {}, measured", batch.batch), false, point.time_h, point.ph,
        curve.clock_h_at_ph(point.ph));
  }
  return all;
}

// All of one file; the batches of one culture are one source.
inline std::vector<Foretold> scores_of(const HouseholdFile& file, const Parameters& p) {
  std::vector<Foretold> all;
  for (const HouseholdBatch& batch : file.batches) {
    for (Foretold& row :
         scores_of(fmt::format("{}, culture {}", file.name, batch.culture), batch, p)) {
      all.push_back(std::move(row));
    }
  }
  return all;
}

// The pace that follows the measured pH of a batch best, and how far off it stays; nothing with
// fewer than two measurements.
inline std::optional<Fit> fitted(const HouseholdBatch& batch, const Parameters& p) {
  std::vector<Point> on_the_clock;
  const auto clock = ClockOf::made(batch, std::max(48.0, batch.ended_h.value_or(0.0)), p);
  if (!clock || batch.ph.size() < 2) return std::nullopt;
  for (const Point& point : batch.ph) {
    on_the_clock.push_back({clock->clock_h_at(point.time_h), point.ph});
  }
  const AcidCurve curve = AcidCurve::solved(batch.brew, p);
  return fitted([&](double clock_h) { return curve.at(clock_h).ph; }, on_the_clock, 1.0);
}

}  // namespace wheymark::published
