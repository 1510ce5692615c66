#include "core/announce/occurrence_ids.hpp"

#include <fmt/format.h>

#include "core/basis/rfc3339.hpp"

namespace wheymark {
namespace {

Occurrence by_fact(std::string subject, EventKind kind, Instant time, Instant since,
                   std::uint64_t fact) {
  std::string id = fmt::format("{}.{}.{}.{}", subject, id_stamp(since), fact, word(kind));
  return {kind, time, std::move(subject), std::move(id)};
}

}  // namespace

std::string id_stamp(Instant instant) {
  std::string text = rfc3339(std::chrono::floor<std::chrono::seconds>(instant));
  std::erase_if(text, [](char letter) { return letter == '-' || letter == ':'; });
  return text;
}

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
  return {kind, time, subject,
          fmt::format("{}.{}.{}", subject, since ? id_stamp(*since) : "never", word(kind))};
}

std::optional<PlaceId> place_of_id(const std::string& id) {
  constexpr std::string_view before = "place-";
  if (!id.starts_with(before)) return std::nullopt;
  return PlaceId(id.substr(before.size(), id.find('.') - before.size()));
}

}  // namespace wheymark
