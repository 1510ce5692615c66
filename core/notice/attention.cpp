#include "core/notice/attention.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <utility>

#include "core/advice/plan_request.hpp"
#include "core/announce/cautions.hpp"
#include "core/announce/occurrence_ids.hpp"
#include "core/announce/refuted.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/not_souring.hpp"
#include "core/notice/care.hpp"
#include "core/notice/guidance.hpp"
#include "core/record/names.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

using std::chrono::hours;
using std::chrono::minutes;

constexpr minutes looks_every{10};
// The evening's word comes so long before bedtime, the morning's so long after getting up.
constexpr minutes evening_before{75};
constexpr minutes morning_after{10};
// Later than this the morning's word would be none.
constexpr hours morning_lasts{4};
// Told together: what must be done within the hour; in a home of many jars within three.
constexpr hours grouped{1};
constexpr hours grouped_of_many{3};
constexpr std::size_t many_jars = 4;
// Whoever reads it needs a moment to go there.
constexpr minutes ahead_of_straining{15};
// What was told and refuted is told again so often.
constexpr int rounds_max = 3;
constexpr hours closing_after{2};
constexpr minutes step_is_late_after{30};
constexpr hours forgotten_after{24 * 4};
// Who leaves is likely back by then: a day's work with the way.
constexpr hours away_for{10};
// Beyond this a notice is no longer read.
constexpr std::size_t matters_told_max = 5;
// Jars whose night is planned one by one; each costs some milliseconds.
constexpr std::size_t nights_planned_max = 40;

Instant slot_of(Instant now) {
  return std::chrono::floor<minutes>(now) -
         std::chrono::floor<minutes>(now).time_since_epoch() % looks_every;
}

}  // namespace

// --- what it hears ------------------------------------------------------------------------------

void Attention::apply(const Entry& entry) {
  if (const auto* noticed = std::get_if<Noticed>(&entry)) told_.apply(*noticed);
  if (std::holds_alternative<FactRecord>(entry)) safety_may_have_changed_ = true;
}

void Attention::presence(bool somebody_is_home) {
  just_left_ = !somebody_is_home && somebody_is_home_.value_or(true);
  somebody_is_home_ = somebody_is_home;
}

void Attention::could_not_be_kept() {
  if (looked_at_) *looked_at_ -= looks_every;
  safety_may_have_changed_ = true;
  evening_of_.reset();
  morning_of_.reset();
}

void Attention::clock_went_back(Instant now) {
  if (looked_at_ && *looked_at_ > now) looked_at_ = slot_of(now);
  evening_of_.reset();
  morning_of_.reset();
}

// --- when ---------------------------------------------------------------------------------------

std::optional<Attention::Moment> Attention::moment(Instant now) const {
  const HouseholdSetup& setup = household_.setup();
  const auto nights = nights_between(now - hours{24}, now + hours{48}, setup);
  const auto next = std::find_if(nights.begin(), nights.end(),
                                 [&](const Night& night) { return night.until > now; });
  if (next == nights.end() || next->from <= now) return std::nullopt;  // they sleep
  if (somebody_is_home_ && !*somebody_is_home_) return std::nullopt;
  Moment moment{NoticeKind::now, next->from, next->until};
  if (now >= moment.bedtime - evening_before) {
    if (evening_of_ != moment.bedtime) moment.kind = NoticeKind::in_the_evening;
  } else if (next != nights.begin() && morning_of_ != moment.bedtime) {
    const Instant got_up = std::prev(next)->until;
    if (now < got_up + morning_after) return std::nullopt;
    if (now < got_up + morning_lasts) moment.kind = NoticeKind::in_the_morning;
  }
  return moment;
}

std::optional<Instant> Attention::next_due() const {
  if (household_.book().batches().empty()) return std::nullopt;
  return looked_at_ ? std::optional(*looked_at_ + looks_every) : std::nullopt;
}

std::vector<Notice> Attention::due(Instant now) {
  std::vector<Notice> notices;
  if (household_.book().batches().empty()) return notices;
  const Instant slot = slot_of(now);
  if (!looked_at_) looked_at_ = slot;  // the next look is on the clock's ten minutes, as in a life
  const bool looks = slot > *looked_at_;
  if (!looks && !safety_may_have_changed_ && !just_left_) return notices;
  looked_at_ = slot;
  safety_may_have_changed_ = false;
  if (auto at_risk = safety(now); !at_risk.empty()) {
    notices.push_back(notice_of(NoticeKind::safety, std::move(at_risk), now));
  }
  if (std::exchange(just_left_, false) && told_.on_day_of(now, household_.setup()) < budget()) {
    if (auto matters = leaving(now); !matters.empty()) {
      notices.push_back(notice_of(NoticeKind::leaving, std::move(matters), now));
    }
  }
  const auto when = looks ? moment(now) : std::nullopt;
  if (!when) return notices;
  if (auto matters = chosen(*when, now); may_tell(*when, matters, now)) {
    notices.push_back(notice_of(when->kind, std::move(matters), now));
  }
  return notices;
}

// At most two a day for one jar, three for three, four for a class of thirty.
int Attention::budget() const {
  std::size_t jars = 0;
  for (const JarSetup& jar : household_.setup().jars) {
    const Batch* batch = household_.book().in_jar(jar.id);
    if (batch != nullptr && batch->fermenting()) ++jars;
  }
  if (jars <= 1) return 2;
  return jars <= 3 ? 3 : 4;
}

// The last of the day is kept for the evening, but for a peak that nobody was told of yet: what was
// refuted comes again by then, and must not take the word of another jar.
bool Attention::may_tell(const Moment& moment, const std::vector<Matter>& matters,
                         Instant now) const {
  if (matters.empty()) return false;
  const int left = budget() - told_.on_day_of(now, household_.setup());
  if (left != 1 || moment.kind == NoticeKind::in_the_evening || evening_of_ == moment.bedtime) {
    return left > 0;
  }
  return std::any_of(matters.begin(), matters.end(),
                     [](const Matter& matter) { return matter.key.ends_with(".strain"); });
}

// --- what ---------------------------------------------------------------------------------------

std::vector<Matter> Attention::safety(Instant now) const {
  return safety_matters(household_, {now, now, listening_since_,
                                     [this](const std::string& key) { return is_told(key); }});
}

// What must be thrown out is a matter of safety, and is not spoken of as kefir.
bool Attention::is_to_be_strained(const Batch& batch) const {
  return batch.fermenting() && household_.book().suspicion(batch) == nullptr &&
         !not_souring(household_, batch);
}

std::vector<Matter> Attention::chosen(const Moment& moment, Instant now) {
  const bool evening = moment.kind == NoticeKind::in_the_evening;
  const bool morning = moment.kind == NoticeKind::in_the_morning;
  if (evening) evening_of_ = moment.bedtime;
  if (morning) morning_of_ = moment.bedtime;
  const auto attended = attended_for(std::nullopt, now, household_.setup());
  std::vector<Matter> matters;
  peaks_today_ = false;
  std::size_t nights = 0;
  for (const JarSetup& jar : household_.setup().jars) {
    const Batch* batch = household_.book().in_jar(jar.id);
    if (batch == nullptr || !is_to_be_strained(*batch)) continue;
    if (evening && nights++ < nights_planned_max) {
      auto night = night_matter(*batch, household_, now);
      if (night && !is_told(night->key)) {
        matters.push_back(std::move(*night));
        continue;
      }
    }
    add_of_batch(matters, *batch, moment, now, attended);
  }
  add_feedings(matters, moment, now);
  const bool urgent = !matters.empty();
  // Nobody is disturbed for what can wait; but whoever is told something hears the rest as well.
  const auto told = [this](const std::string& key) { return is_told(key); };
  for (Matter& care :
       care_matters(household_, {now, evening ? moment.getting_up : now, listening_since_, told})) {
    const bool at_once = care.urgency == Urgency::now;
    const bool in_time = care.urgency == Urgency::today && (evening || morning);
    if (at_once || in_time || urgent || (morning && !peaks_today_)) {
      matters.push_back(std::move(care));
    }
  }
  std::stable_sort(matters.begin(), matters.end(),
                   [](const Matter& a, const Matter& b) { return a.urgency < b.urgency; });
  return matters;
}

void Attention::add_of_batch(std::vector<Matter>& matters, const Batch& batch, const Moment& moment,
                             Instant now, std::span<const Attended> attended) {
  if (auto straining = straining_of(batch, moment, now, attended)) {
    matters.push_back(std::move(*straining));
  } else if (auto cooled = cooled_of(batch, moment, now)) {
    matters.push_back(std::move(*cooled));
  }
}

std::optional<Matter> Attention::straining_of(const Batch& batch, const Moment& moment, Instant now,
                                              std::span<const Attended> attended) {
  const Fermentation* fermentation = household_.fermentation(batch);
  if (fermentation == nullptr || !fermentation->forecast()) return std::nullopt;
  const Forecast& forecast = *fermentation->forecast();
  // Its chances are computed only where they may matter.
  const auto seen = first_seen(batch, Sign::whey_pockets);
  if (seen && now < *seen + closing_after) return std::nullopt;  // whoever saw it knows
  if (!seen && (!forecast.peak_opens.p10 || *forecast.peak_opens.p10 > moment.getting_up)) {
    return std::nullopt;
  }
  const std::string key = about_batch(batch) + ".strain";
  const ToldNotices::Telling* last = told_.matter(key);
  int round = 0;
  while (last != nullptr && round < rounds_max &&
         is_refuted(batch, EventKind::peak_open, last->at, household_.parameters())) {
    ++round;
    last = told_.matter(fmt::format("{}-{}", key, round + 1));
  }
  if (last != nullptr || round == rounds_max) {
    const auto& closes = forecast.peak_closes.p50;
    if (last == nullptr) return std::nullopt;
    const bool closing =
        closes && *closes > last->at && now >= *closes && now >= last->at + closing_after;
    if (!closing || is_told(about_batch(batch) + ".closing")) return std::nullopt;
    return closing_matter(batch, household_, now);
  }
  const auto best = best_straining(batch, household_, now, attended);
  if (!best) return std::nullopt;
  const bool many = household_.setup().jars.size() >= many_jars;
  Instant due_by = now + (many ? grouped_of_many : grouped);
  if (moment.kind == NoticeKind::now) due_by = now + ahead_of_straining;
  if (moment.kind == NoticeKind::in_the_evening) due_by = moment.bedtime;
  if (!seen && best->at > due_by) {
    peaks_today_ = peaks_today_ || best->at < moment.bedtime;
    return std::nullopt;
  }
  return strain_matter(batch, *best, round, household_, now);
}

std::optional<Matter> Attention::cooled_of(const Batch& batch, const Moment& moment,
                                           Instant now) const {
  const PlaceSetup* place = household_.setup().place(batch.place());
  if (place == nullptr || place->kind != PlaceKind::fridge) return std::nullopt;
  const auto keys = told_.keys_below(about_batch(batch) + ".back-");
  const PlaceId from =
      batch.stays.size() > 1 ? batch.stays[batch.stays.size() - 2].place : batch.place();
  if (!keys.empty() && from != batch.place()) {
    const std::string& last = keys.back();
    const std::string out = about_batch(batch) + ".out-" + last.substr(last.rfind('-') + 1);
    const std::string late = id_stamp(now - step_is_late_after);
    if (late >= last.substr(last.rfind('-') + 1) && !is_told(out)) {
      return take_out_matter(batch, out, from, household_, now);
    }
  }
  const Instant since = batch.stays.back().from;
  const bool words = moment.kind != NoticeKind::now;
  if (!words || now < since + forgotten_after || is_told(about_batch(batch) + ".forgotten")) {
    return std::nullopt;
  }
  return forgotten_matter(batch, since, household_, now);
}

std::vector<Matter> Attention::leaving(Instant now) const {
  std::vector<Matter> matters;
  if (!awake_at(now, household_.setup())) return matters;
  for (const JarSetup& jar : household_.setup().jars) {
    const Batch* batch = household_.book().in_jar(jar.id);
    if (batch == nullptr || !is_to_be_strained(*batch)) continue;
    auto peaks = leaving_matter(*batch, now + away_for, household_, now);
    if (peaks && !is_told(peaks->key)) matters.push_back(std::move(*peaks));
  }
  return matters;
}

void Attention::add_feedings(std::vector<Matter>& matters, const Moment& moment,
                             Instant now) const {
  if (moment.kind == NoticeKind::now) return;
  for (const CultureSetup& culture : household_.setup().cultures) {
    const Grains& grains = household_.book().grains(culture.id);
    const auto& out = grains.out_of_milk();
    if (!out || grains.suspected() || grains.resting()) continue;
    if (now < out->at + grouped) continue;  // it was told when they came out
    auto feed = feed_matter(culture, *out, household_, now);
    if (feed && !is_told(feed->key)) matters.push_back(std::move(*feed));
  }
}

// --- how it is told -----------------------------------------------------------------------------

Notice Attention::notice_of(NoticeKind kind, std::vector<Matter> matters, Instant now) const {
  if (matters.size() > matters_told_max) matters.resize(matters_told_max);
  Notice notice;
  notice.kind = kind;
  notice.id = fmt::format("notice.{}.{}.{}", id_stamp(now), word(kind), matters.front().about);
  notice.time = now;
  notice.urgency = matters.front().urgency;
  std::set<std::string> cautions;
  std::set<JarId> jars;
  std::string caution;
  for (Matter& matter : matters) {
    if (!notice.text.empty()) notice.text += " ";
    notice.text += matter.text;
    if (matter.caution && cautions.insert(*matter.caution).second) {
      cautions::add(caution, *matter.caution);
    }
    for (const JarId& jar : matter.jars) {
      if (jars.insert(jar).second) notice.jars.push_back(jar);
    }
    if (matter.until) notice.until = std::max(notice.until.value_or(*matter.until), *matter.until);
    if (const ToldNotices::Telling* before = told_.latest_about(matter.about);
        before != nullptr && !notice.replaces && !matter.is_safety) {
      notice.replaces = before->id;
    }
    notice.matters.push_back(matter.key);
    if (matter.back_at) {
      std::string back = matter.about + ".back-" + id_stamp(*matter.back_at);
      if (!is_told(back)) notice.matters.push_back(std::move(back));
    }
    for (NoticeStep& step : matter.steps) notice.steps.push_back(std::move(step));
  }
  if (!caution.empty()) notice.caution = caution;
  return notice;
}

}  // namespace wheymark
