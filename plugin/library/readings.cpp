#include "plugin/library/readings.hpp"

#include <fmt/format.h>
#include <span>

#include "plugin/wire/reading_text.hpp"

namespace wheymark {

Readings::Readings(const Configuration& configuration, Household& household, Journal& journal,
                   Remarks& remarks)
    : household_(household), journal_(journal), remarks_(remarks) {
  for (const PlaceSetup& place : configuration.setup.places) {
    const auto thermometer = configuration.thermometers.find(place.id);
    if (thermometer == configuration.thermometers.end()) continue;
    heard_at_[thermometer->second.topic].push_back({place.id, &thermometer->second});
  }
}

void Readings::subscribe(const Host& host) const {
  for (const auto& [topic, places] : heard_at_) host.subscribe(topic, 1);
}

const std::vector<Readings::HeardAt>* Readings::heard_on(std::string_view topic) const {
  const auto heard = heard_at_.find(topic);
  return heard == heard_at_.end() ? nullptr : &heard->second;
}

void Readings::receive(const std::vector<HeardAt>& places, std::string_view payload, bool retained,
                       Instant now) {
  for (const HeardAt& at : places) receive(at, payload, retained, now);
}

void Readings::receive(const HeardAt& at, std::string_view payload, bool retained, Instant now) {
  const PlaceId& place = at.place;
  const auto read = reading_from(payload, *at.thermometer);
  if (!read) {
    return remarks_.remark(WHEYMARK_WARNING, fmt::format("{}: {}", place, read.why()), now);
  }
  if (retained && !read.value().at) {
    // Retained by the broker for an unknown time: it must not count as of now.
    return remarks_.remark(
        WHEYMARK_NOTICE,
        fmt::format("{}: a retained reading without an instant is not used", place), now);
  }
  const auto entry =
      household_.decide(place, read.value().temperature, read.value().at.value_or(now), now);
  if (!entry) return remarks_.remark(WHEYMARK_NOTICE, entry.why(), now);
  const Outcome kept =
      journal_.record_and_apply(std::span(&entry.value(), 1), {}, Durable::soon, now);
  if (!kept) return remarks_.remark(WHEYMARK_WARNING, kept.why(), now);
  if (!retained) household_.hear(place, now);
}

}  // namespace wheymark
