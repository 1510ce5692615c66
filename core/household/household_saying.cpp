// What there is to say of the household and has not been said.
#include <algorithm>

#include "core/household/happenings.hpp"
#include "core/household/household.hpp"
#include "core/household/sentences.hpp"

namespace wheymark {
namespace {

// What makes a warning pointless once it has come; nothing for what is no warning.
std::optional<Happening> warned_of(Happening kind) {
  if (kind == Happening::peak_near) return Happening::peak_open;
  if (kind == Happening::peak_closing) return Happening::over_fermented;
  if (kind == Happening::best_by_near) return Happening::best_by_passed;
  if (kind == Happening::last_day_near) return Happening::last_day_passed;
  return std::nullopt;
}

// Whether a row of moments has one of this kind that makes `condition` true.
template <class Condition>
bool any_of_kind(const std::vector<Moment>& moments, Happening kind, Condition condition) {
  return std::any_of(moments.begin(), moments.end(),
                     [&](const Moment& m) { return m.kind == kind && condition(m); });
}

}  // namespace

std::vector<Household::Saying> Household::unsaid(Instant overtaken_at) const {
  std::vector<Saying> sayings;
  const auto said = [this](const std::string& id) { return said_.contains(id); };
  const auto add = [&](const std::vector<Moment>& moments, About about) {
    for (const Moment& moment : moments) {
      const auto coming = warned_of(moment.kind);
      const bool overtaken = coming && any_of_kind(moments, *coming, [&](const Moment& m) {
                               return m.time <= overtaken_at || said(m.id);
                             });
      if (!overtaken && !said(moment.id)) sayings.push_back({moment, about});
    }
  };
  for (const Batch& batch : kitchen().batches()) {
    // Whatever there was to say of it was said before it ended, unless it was told later still.
    if (batch.ended && !told_after_the_end_.contains(batch.number)) continue;
    add(moments_of(batch, ferment(batch), plan_.notice), &batch);
    add(moments_after_peak(batch, *this), &batch);
    // But for one that was strained onto this one: that was its end.
    if (batch.mixed.empty()) continue;
    const Batch* younger = kitchen().numbered(batch.mixed.back().batch);
    if (told_after_the_end_.contains(younger->number)) continue;  // above
    add(moments_of(*younger, nullptr, plan_.notice), younger);
  }
  for (const auto& [id, learned] : learning_) {
    const std::vector<Moment> moments = moments_of(id, learned.health());
    for (std::size_t i = 0; i < moments.size(); ++i) {
      if (said(moments[i].id)) continue;
      sayings.push_back({moments[i], Changed{id, learned.health().changes()[i]}});
    }
  }
  for (const PlannedCulture& culture : plan_.cultures) add(moments_of(culture, *this), &culture);
  for (const PlannedJar& jar : plan_.jars) add(moments_of(jar, *this), &jar);
  for (const PlannedPlace& place : plan_.places) {
    add(moments_of(place, *this), &place);
    add(moments_of(place.id, thermometer(place.id), listening_since_, said), &place);
  }
  return sayings;
}

std::vector<Announcement> Household::due(Instant now) const {
  std::vector<Saying> sayings = unsaid(now);
  std::erase_if(sayings, [&](const Saying& saying) { return saying.moment.time > now; });
  std::stable_sort(sayings.begin(), sayings.end(),
                   [](const Saying& a, const Saying& b) { return a.moment.time < b.moment.time; });
  std::vector<Announcement> announcements;
  for (const Saying& saying : sayings) {
    announcements.push_back(std::visit(
        [&](const auto& about) {
          if constexpr (std::is_same_v<std::decay_t<decltype(about)>, Changed>) {
            return told(saying.moment, about.culture, about.change, *this);
          } else {
            return told(saying.moment, *about, *this, now);
          }
        },
        saying.about));
  }
  return announcements;
}

std::optional<Instant> Household::next_due() const {
  std::optional<Instant> next;
  for (const Saying& saying : unsaid(Instant::min())) {
    if (!next || saying.moment.time < *next) next = saying.moment.time;
  }
  return next;
}

}  // namespace wheymark
