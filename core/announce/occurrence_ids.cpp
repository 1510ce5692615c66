#include "core/announce/occurrence_ids.hpp"

#include <fmt/format.h>

namespace wheymark {
namespace {

// "20270301T081000Z", or "never".
std::string stamp(std::optional<Instant> instant) {
  if (!instant) return "never";
  const auto day = std::chrono::floor<std::chrono::days>(*instant);
  const std::chrono::year_month_day date{day};
  const std::chrono::hh_mm_ss time{std::chrono::floor<std::chrono::seconds>(*instant - day)};
  return fmt::format("{:04}{:02}{:02}T{:02}{:02}{:02}Z", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                     time.hours().count(), time.minutes().count(), time.seconds().count());
}

Occurrence by_fact(std::string subject, EventKind kind, Instant time, Instant since,
                   std::uint64_t fact) {
  std::string id = fmt::format("{}.{}.{}.{}", subject, stamp(since), fact, word(kind));
  return {kind, time, std::move(subject), std::move(id)};
}

}  // namespace

Occurrence of_jar(const JarId& jar, EventKind kind, Instant time, Instant since,
                  std::uint64_t fact) {
  return by_fact("jar-" + jar.text(), kind, time, since, fact);
}

Occurrence of_culture(const CultureId& culture, EventKind kind, Instant time, Instant since,
                      std::uint64_t fact) {
  return by_fact("culture-" + culture.text(), kind, time, since, fact);
}

Occurrence of_place(const PlaceId& place, EventKind kind, Instant time,
                    std::optional<Instant> since) {
  const std::string subject = "place-" + place.text();
  return {kind, time, subject, fmt::format("{}.{}.{}", subject, stamp(since), word(kind))};
}

std::optional<PlaceId> place_of_id(const std::string& id) {
  constexpr std::string_view before = "place-";
  if (!id.starts_with(before)) return std::nullopt;
  return PlaceId(id.substr(before.size(), id.find('.') - before.size()));
}

}  // namespace wheymark
