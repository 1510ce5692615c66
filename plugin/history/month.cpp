#include "plugin/history/month.hpp"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>

namespace wheymark {
namespace {

std::chrono::year_month month_at(Instant instant, const HouseholdSetup& setup) {
  const auto day = std::chrono::floor<std::chrono::days>(instant + setup.utc_offset(instant));
  const std::chrono::year_month_day date{day};
  return date.year() / date.month();
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::string range_of(std::vector<double> values, std::string_view unit) {
  const auto [least, most] = std::minmax_element(values.begin(), values.end());
  return fmt::format("{:.1f} to {:.1f} {}", *least, *most, unit);
}

// Nothing when nothing was reported of them in this month. The first weighing replaces the setup's
// mass: the difference is no growth.
std::optional<Month::Grown> growth_in(std::chrono::year_month month, const CultureSetup& culture,
                                      const Household& household) {
  const auto grams = [&](const MassPoint& point) { return point.mass.grams(culture.grain_g); };
  const MassPoint* first = nullptr;
  const MassPoint* last = nullptr;
  for (const MassPoint& point : household.book().grains(culture.id).masses()) {
    const auto when = month_at(point.at, household.setup());
    if (when > month) break;
    if (when == month) last = &point;
    const bool first_weighed = point.mass.weighed_g && (first == nullptr || !first->mass.weighed_g);
    if (when < month || first_weighed) first = &point;
  }
  if (last == nullptr) return std::nullopt;
  const double first_g = first == nullptr ? culture.grain_g : grams(*first);
  const double moved_g = last->moved_g - (first == nullptr ? 0.0 : first->moved_g);
  return Month::Grown{culture.name, first_g, grams(*last), moved_g};
}

}  // namespace

Result<std::chrono::year_month> month_from(std::string_view text, Instant now,
                                           const HouseholdSetup& setup) {
  if (text.empty()) return month_at(now, setup);
  int year = 0;
  unsigned month = 0;
  const char* const end = text.data() + text.size();
  const auto read_year = std::from_chars(text.data(), end, year);
  const bool has_hyphen =
      read_year.ec == std::errc{} && read_year.ptr != end && *read_year.ptr == '-';
  const auto read_month = has_hyphen ? std::from_chars(read_year.ptr + 1, end, month)
                                     : std::from_chars_result{end, std::errc::invalid_argument};
  const std::chrono::year_month found = std::chrono::year{year} / std::chrono::month{month};
  if (read_month.ec == std::errc{} && read_month.ptr == end && found.ok() && text.size() == 7 &&
      year >= 1970) {
    return found;
  }
  return Refusal{
      fmt::format("\"{}\" is no month; one is written like 2027-03", text.substr(0, 20))};
}

Month month_of(std::chrono::year_month month, const Household& household, const Records& records) {
  const HouseholdSetup& setup = household.setup();
  const auto in_month = [&](Instant instant) { return month_at(instant, setup) == month; };
  Month out;
  out.month = month;
  for (const BatchRecord& record : batch_records(household, records)) {
    const Batch& batch = *record.batch;
    if (!batch.stored.empty() && in_month(batch.stored.front().at)) ++out.bottles;
    if (!batch.stored.empty() && batch.ended && batch.ended->how == Ending::discarded &&
        in_month(batch.ended->at)) {
      ++out.thrown_away;
    }
    if (!in_month(batch.started)) continue;
    ++out.batches;
    if (batch.strained) ++out.strained;
    if (record.over_fermented) ++out.over_fermented;
    if (record.peak_h && record.room_c) {
      out.peaks.push_back({*record.room_c, *record.peak_h, record.over_fermented});
    }
  }
  for (const CultureSetup& culture : setup.cultures) {
    if (const auto grown = growth_in(month, culture, household)) out.grains.push_back(*grown);
  }
  return out;
}

std::string text_of(const Month& month, const HouseholdSetup& setup) {
  std::string text =
      fmt::format("{}, {:04}-{:02}\n", setup.home_name, static_cast<int>(month.month.year()),
                  static_cast<unsigned>(month.month.month()));
  text += fmt::format("Batches: {}, {} strained", month.batches, month.strained);
  if (month.batches > 0) {
    text += fmt::format("; over-fermented {} ({:.0f} %)", month.over_fermented,
                        100.0 * month.over_fermented / month.batches);
  }
  text += "\n";
  if (!month.peaks.empty()) {
    std::vector<double> hours;
    std::vector<double> rooms;
    for (const Month::Peak& peak : month.peaks) {
      hours.push_back(peak.hours);
      rooms.push_back(peak.room_c);
    }
    text += hours.size() == 1
                ? fmt::format("Hours to the peak: {:.1f} h, in a room of {:.1f} °C\n", hours[0],
                              rooms[0])
                : fmt::format("Hours to the peak: {}, median {:.1f} h, in rooms of {}\n",
                              range_of(hours, "h"), median(hours), range_of(rooms, "°C"));
  }
  text += fmt::format("Bottles: {} stored, {} thrown away\n", month.bottles, month.thrown_away);
  for (const Month::Grown& grown : month.grains) {
    text += fmt::format("Grains of {}: {:.1f} g, then {:.1f} g", grown.culture, grown.first_g,
                        grown.last_g);
    if (grown.moved_g < 0.0) text += fmt::format(" and {:.1f} g taken away", -grown.moved_g);
    if (grown.moved_g > 0.0) text += fmt::format(", {:.1f} g of it joined", grown.moved_g);
    text += fmt::format(": grown by {:.1f} g\n", grown.last_g - grown.moved_g - grown.first_g);
  }
  return text;
}

}  // namespace wheymark
