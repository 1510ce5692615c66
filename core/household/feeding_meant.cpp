#include "core/household/feeding_meant.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "core/household/completion.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/local_time.hpp"
#include "core/household/names.hpp"
#include "core/household/waking.hpp"

namespace wheymark {
namespace {

std::string ids_of_jars(const Plan& plan) {
  std::string list;
  for (const PlannedJar& jar : plan.jars) list += (list.empty() ? "" : ", ") + jar.id;
  return list.empty() ? "none" : list;
}

std::string ids_of_cultures(const Plan& plan) {
  std::string list;
  for (const PlannedCulture& culture : plan.cultures) {
    list += (list.empty() ? "" : ", ") + culture.id;
  }
  return list.empty() ? "none" : list;
}

// When a batch is likely to be strained; nothing while that cannot be forecast.
std::optional<Instant> strained_about(const Batch& batch, const Household& household, Instant now) {
  if (latest_seen(batch) >= Sign::whey_pockets) return now;
  const Ferment* ferment = household.ferment(batch);
  if (ferment == nullptr || !ferment->forecast()) return std::nullopt;
  const auto& opens = ferment->forecast()->peak_opens.p50;
  return opens ? std::optional(std::max(now, *opens)) : std::nullopt;
}

const Batch* last_batch_of(const CultureId& culture, const Kitchen& kitchen) {
  const Batch* last = nullptr;
  for (const Batch& batch : kitchen.batches()) {
    if (batch.start.culture == culture) last = &batch;
  }
  return last;
}

// What was usual of the last batch of these grains, where the plan does not say.
void as_last_time(Start& start, const PlannedJar& jar, const Kitchen& kitchen) {
  const Batch* last = start.culture ? last_batch_of(*start.culture, kitchen) : nullptr;
  if (last == nullptr) return;
  if (!start.milk_c) start.milk_c = last->start.milk_c;
  if (!start.milk && !jar.milk) {
    start.milk = last->start.milk;
    if (!start.treatment) start.treatment = last->start.treatment;
  }
  const double fits_ml = std::min(*last->start.milk_ml, jar.capacity_ml);
  if (!start.milk_ml && !jar.milk_ml) start.milk_ml = fits_ml;
  if (!start.grain_g && !jar.grain_g) start.grain_g = last->start.grain_g;
}

class Meaning {
 public:
  Meaning(const Wish& wish, const Household& household, Instant now)
      : wish_(wish), household_(household), plan_(household.plan()), now_(now), earliest_(now) {}

  Result<FeedingMeant> meant() {
    const auto jar = jar_meant(wish_, household_);
    if (!jar) return jar.refusal();
    Start start = as_wished(*jar.value());
    if (const Outcome grains = grains_are_well(start); !grains) return grains.refusal();
    if (const Outcome free = empty(start.jar, "the jar"); !free) return free.refusal();
    if (const Outcome out = grains_out(start); !out) return out.refusal();
    as_last_time(start, *jar.value(), kitchen_);
    if (!start.grain_g && jar.value()->grain_g) {
      start.grain_g = std::min(*jar.value()->grain_g, there_g(start));
    }
    const auto complete = completed(start, plan_, kitchen_, household_.parameters());
    if (!complete) return complete.refusal();
    return settled(std::get<Start>(complete.value()));
  }

 private:
  [[nodiscard]] Start as_wished(const PlannedJar& jar) const {
    Start start;
    start.jar = jar.id;
    start.culture = wish_.culture ? wish_.culture : jar.culture;
    if (!start.culture && plan_.cultures.size() == 1) start.culture = plan_.cultures.front().id;
    start.milk = wish_.milk;
    start.treatment = wish_.treatment;
    start.milk_ml = wish_.milk_ml;
    start.grain_g = wish_.grain_g;
    start.place = wish_.place;
    start.milk_c = wish_.milk_c;
    return start;
  }

  [[nodiscard]] double there_g(const Start& start) const {
    const PlannedCulture* culture = start.culture ? plan_.culture(*start.culture) : nullptr;
    if (culture == nullptr) return 0.0;
    return std::max(0.0, kitchen_.grain_g(*culture) - kitchen_.in_jars_g(culture->id));
  }

  [[nodiscard]] Outcome grains_are_well(const Start& start) const {
    if (!start.culture) {
      return Refusal{fmt::format("{}: say culture, or give it in the jar's configuration",
                                 name_of_jar(start.jar, plan_))};
    }
    const PlannedCulture* culture = plan_.culture(*start.culture);
    if (culture == nullptr) {
      return Refusal{fmt::format("culture: no culture is called \"{}\"; there are: {}",
                                 *start.culture, ids_of_cultures(plan_))};
    }
    const Grains& grains = household_.kitchen().grains(culture->id);
    if (grains.suspected()) {
      return Refusal{fmt::format(
          "{}: what was seen of its grains at {} is a reason to discard them; do not feed them",
          culture->name, day_and_clock_text(grains.suspected()->told.at, plan_))};
    }
    if (grains.resting()) {
      return Refusal{fmt::format("{} is resting in the fridge since {}; wake it first (\"wake\")",
                                 culture->name,
                                 day_and_clock_text(grains.resting()->since.at, plan_))};
    }
    if (household_.kitchen().grain_g(*culture) < limits::grain_g_min) {
      return Refusal{
          fmt::format("{} has no grains: about {:.1f} g by weighing and growth; weigh "
                      "them if there are some",
                      culture->name, household_.kitchen().grain_g(*culture))};
    }
    return Nothing{};
  }

  // Waits for the batch in a jar and takes its grains out, in thought.
  Outcome empty(const JarId& jar, std::string_view what) {
    const Batch* batch = kitchen_.in_jar(jar);
    if (batch == nullptr || !batch->fermenting()) return Nothing{};
    const auto strained = strained_about(*batch, household_, now_);
    if (!strained) {
      return Refusal{fmt::format(
          "{} holds a batch since {}, whose peak is not in sight, so nobody knows when {} is free",
          name_of_jar(jar, plan_), day_and_clock_text(batch->started, plan_), what)};
    }
    earliest_ = std::max(earliest_, when_awake(*strained, plan_));
    come_out_of_ = jar;
    kitchen_.take({0, earliest_, now_, std::nullopt, Strain{jar, {}, {}, {}}});
    return Nothing{};
  }

  Outcome grains_out(const Start& start) {
    const double enough_g = wish_.grain_g.value_or(limits::grain_g_min);
    if (there_g(start) >= enough_g) return Nothing{};
    const Batch* batch = kitchen_.with_grains(*start.culture);
    if (batch == nullptr) return Nothing{};
    return empty(batch->jar(), "its grain");
  }

  [[nodiscard]] Result<FeedingMeant> settled(const Start& usual) const {
    const double grain_g_there = there_g(usual);
    constexpr double spoon_g = 0.05;  // what a kitchen scale does not tell apart
    if (*usual.grain_g > grain_g_there + spoon_g) {
      return Refusal{
          fmt::format("grain_g is {:.4g} g, but {} has about {:.1f} g out of jars then, by "
                      "weighing and growth; "
                      "weigh them first if there are more",
                      *usual.grain_g, name_of_culture(*usual.culture, plan_), grain_g_there)};
    }
    if (plan_.place(*usual.place)->kind == PlaceKind::fridge) {
      return Refusal{fmt::format("place: \"{}\" is a fridge; name the room in which it ferments",
                                 *usual.place)};
    }
    if (wish_.start_at && *wish_.start_at < earliest_ - limits::ahead_of_clock_max) {
      return Refusal{fmt::format(
          "start_at is {}; allowed: from {}{}", day_and_clock_text(*wish_.start_at, plan_),
          day_and_clock_text(earliest_, plan_),
          come_out_of_ ? ", when " + name_of_jar(*come_out_of_, plan_) + " is likely to be strained"
                       : ", which is now")};
    }
    if (wish_.start_at && *wish_.start_at > now_ + limits::forecast_ahead_max) {
      return Refusal{fmt::format("start_at is {}; allowed: until {}",
                                 day_and_clock_text(*wish_.start_at, plan_),
                                 day_and_clock_text(now_ + limits::forecast_ahead_max, plan_))};
    }
    const Instant earliest = wish_.start_at ? std::max(*wish_.start_at, earliest_) : earliest_;
    return FeedingMeant{usual, earliest, come_out_of_, grain_g_there};
  }

  const Wish& wish_;
  const Household& household_;
  const Plan& plan_;
  Instant now_;
  Instant earliest_;
  std::optional<JarId> come_out_of_;
  Kitchen kitchen_ = household_.kitchen();
};

}  // namespace

Result<const PlannedJar*> jar_meant(const Wish& wish, const Household& household) {
  const Plan& plan = household.plan();
  if (wish.jar) {
    if (const PlannedJar* jar = plan.jar(*wish.jar)) return jar;
    return Refusal{
        fmt::format("jar: no jar is called \"{}\"; there are: {}", *wish.jar, ids_of_jars(plan))};
  }
  if (wish.culture && plan.culture(*wish.culture) == nullptr) {
    return Refusal{fmt::format("culture: no culture is called \"{}\"; there are: {}", *wish.culture,
                               ids_of_cultures(plan))};
  }
  // Where its grains are, else where they were, else where they are planned.
  if (wish.culture) {
    const Batch* batch = household.kitchen().with_grains(*wish.culture);
    if (batch == nullptr) batch = last_batch_of(*wish.culture, household.kitchen());
    if (batch != nullptr && plan.jar(batch->start.jar) != nullptr) {
      return plan.jar(batch->start.jar);
    }
  }
  std::vector<const PlannedJar*> fitting;
  for (const PlannedJar& jar : plan.jars) {
    if (jar.culture && (!wish.culture || jar.culture == wish.culture)) fitting.push_back(&jar);
  }
  if (fitting.size() == 1 || (!fitting.empty() && wish.culture)) return fitting.front();
  return Refusal{fmt::format("say which jar: {}", ids_of_jars(plan))};
}

Result<FeedingMeant> feeding_meant(const Wish& wish, const Household& household, Instant now) {
  return Meaning(wish, household, now).meant();
}

}  // namespace wheymark
