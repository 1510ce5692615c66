#include "core/advice/feeding_usual.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/suspect_words.hpp"
#include "core/record/completion.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

// When a batch is likely to be strained; nothing while that cannot be forecast.
std::optional<Instant> strained_about(const Batch& batch, const Household& household, Instant now) {
  if (latest_seen(batch) >= Sign::whey_pockets) return now;
  const Fermentation* fermentation = household.fermentation(batch);
  if (fermentation == nullptr || !fermentation->forecast()) return std::nullopt;
  const auto& opens = fermentation->forecast()->peak_opens.p50;
  return opens ? std::optional(std::max(now, *opens)) : std::nullopt;
}

const Batch* last_batch_of(const CultureId& culture, const JarBook& book) {
  const Batch* last = nullptr;
  for (const Batch& batch : book.batches()) {
    if (batch.start.culture == culture && !batch.share_of) last = &batch;
  }
  return last;
}

// Fills in from the last batch of these grains what the setup leaves open.
void as_last_time(Start& start, const JarSetup& jar, const JarBook& book) {
  const Batch* last = start.culture ? last_batch_of(*start.culture, book) : nullptr;
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
  Meaning(const PlanRequest& request, const Household& household, const JarBook& book, Instant now)
      : request_(request),
        household_(household),
        setup_(household.setup()),
        now_(now),
        earliest_(now),
        book_(book) {}

  Result<FeedingUsual> meant() {
    const auto jar = jar_requested(request_, household_);
    if (!jar) return jar.refusal();
    Start start = as_requested(*jar.value());
    if (const Outcome grains = grains_are_well(start); !grains) return grains.refusal();
    if (const Outcome free = empty(start.jar, "the jar"); !free) return free.refusal();
    if (const Outcome out = grains_out(start); !out) return out.refusal();
    as_last_time(start, *jar.value(), book_);
    if (!start.grain_g && jar.value()->grain_g) {
      start.grain_g = std::min(*jar.value()->grain_g, there_g(start));
    }
    const auto complete = completed(start, setup_, book_, household_.parameters(), earliest_);
    if (!complete) return complete.refusal();
    return settled(std::get<Start>(complete.value()));
  }

 private:
  [[nodiscard]] Start as_requested(const JarSetup& jar) const {
    Start start;
    start.jar = jar.id;
    start.culture = request_.culture ? request_.culture : jar.culture;
    if (!start.culture && setup_.cultures.size() == 1) start.culture = setup_.cultures.front().id;
    start.milk = request_.milk;
    start.treatment = request_.treatment;
    start.milk_ml = request_.milk_ml;
    start.grain_g = request_.grain_g;
    start.place = request_.place;
    start.milk_c = request_.milk_c;
    return start;
  }

  [[nodiscard]] double there_g(const Start& start) const {
    const CultureSetup* culture = start.culture ? setup_.culture(*start.culture) : nullptr;
    if (culture == nullptr) return 0.0;
    return std::max(0.0, book_.grain_g(*culture) - book_.in_jars_g(culture->id));
  }

  [[nodiscard]] Outcome grains_are_well(const Start& start) const {
    if (!start.culture) {
      return Refusal{fmt::format("{}: say culture, or give it in the jar's configuration",
                                 name_of_jar(start.jar, setup_))};
    }
    const CultureSetup* culture = setup_.culture(*start.culture);
    if (culture == nullptr) {
      return Refusal{fmt::format("culture: no culture is called \"{}\"; there are: {}",
                                 *start.culture, setup_.cultures.ids())};
    }
    const Grains& grains = book_.grains(culture->id);
    if (grains.suspected()) {
      const Suspicion why{grains.suspected()->told, grains.suspected()->said, true};
      return Refusal{
          fmt::format("{}: do not feed these grains: discard them with their milk, do not taste "
                      "it, wash the jar with hot water, and start from a reserve or new grains",
                      what_was_seen(why, setup_))};
    }
    if (grains.resting()) {
      return Refusal{fmt::format("{} is resting in the fridge since {}; wake it first (\"wake\")",
                                 culture->name,
                                 day_and_clock_text(grains.resting()->since.at, setup_))};
    }
    if (book_.grain_g(*culture) < limits::grain_g_min) {
      return Refusal{
          fmt::format("{} has no grains: about {:.1f} g by weighing and growth; weigh "
                      "them if there are some",
                      culture->name, book_.grain_g(*culture))};
    }
    return Nothing{};
  }

  // Supposes that the batch in a jar is awaited and its grains come out.
  Outcome empty(const JarId& jar, std::string_view what) {
    const Batch* batch = book_.in_jar(jar);
    if (const Suspicion* why = book_.suspicion(jar)) {
      return Refusal{suspect_text(jar, *why, book_, setup_)};
    }
    if (batch == nullptr || !batch->fermenting()) return Nothing{};
    const auto strained = strained_about(*batch, household_, now_);
    if (!strained) {
      return Refusal{fmt::format(
          "{} holds a batch since {}, whose peak is not in sight, so nobody knows when {} is free",
          name_of_jar(jar, setup_), day_and_clock_text(batch->started, setup_), what)};
    }
    earliest_ = std::max(earliest_, when_awake(*strained, setup_));
    come_out_of_ = jar;
    book_.apply({0, earliest_, now_, std::nullopt, Strain{jar, {}, {}, {}}});
    return Nothing{};
  }

  Outcome grains_out(const Start& start) {
    const double enough_g = request_.grain_g.value_or(limits::grain_g_min);
    if (there_g(start) >= enough_g) return Nothing{};
    const Batch* batch = book_.with_grains(*start.culture);
    if (batch == nullptr) return Nothing{};
    return empty(batch->jar(), "its grain");
  }

  [[nodiscard]] Result<FeedingUsual> settled(const Start& usual) const {
    const double grain_g_there = there_g(usual);
    constexpr double spoon_g = 0.05;  // what a kitchen scale does not tell apart
    if (*usual.grain_g > grain_g_there + spoon_g) {
      return Refusal{
          fmt::format("grain_g is {:.4g} g, but {} has about {:.1f} g out of jars then, by "
                      "weighing and growth; weigh them first if there are more",
                      *usual.grain_g, name_of_culture(*usual.culture, setup_), grain_g_there)};
    }
    if (setup_.place(*usual.place)->kind == PlaceKind::fridge) {
      return Refusal{fmt::format("place: \"{}\" is a fridge; name the room in which it ferments",
                                 *usual.place)};
    }
    if (request_.start_at && *request_.start_at < earliest_ - limits::ahead_of_clock_max) {
      return Refusal{fmt::format(
          "start_at is {}; allowed: from {}{}", day_and_clock_text(*request_.start_at, setup_),
          day_and_clock_text(earliest_, setup_),
          come_out_of_
              ? ", when " + name_of_jar(*come_out_of_, setup_) + " is likely to be strained"
              : ", which is now")};
    }
    if (request_.start_at && *request_.start_at > now_ + limits::forecast_ahead_max) {
      return Refusal{fmt::format("start_at is {}; allowed: until {}",
                                 day_and_clock_text(*request_.start_at, setup_),
                                 day_and_clock_text(now_ + limits::forecast_ahead_max, setup_))};
    }
    const Instant earliest =
        request_.start_at ? std::max(*request_.start_at, earliest_) : earliest_;
    return FeedingUsual{usual, earliest, come_out_of_, grain_g_there};
  }

  const PlanRequest& request_;
  const Household& household_;
  const HouseholdSetup& setup_;
  Instant now_;
  Instant earliest_;
  std::optional<JarId> come_out_of_;
  JarBook book_;
};

}  // namespace

Result<const JarSetup*> jar_requested(const PlanRequest& request, const Household& household) {
  const HouseholdSetup& setup = household.setup();
  if (request.jar) {
    if (const JarSetup* jar = setup.jar(*request.jar)) return jar;
    return Refusal{
        fmt::format("jar: no jar is called \"{}\"; there are: {}", *request.jar, setup.jars.ids())};
  }
  if (request.culture && setup.culture(*request.culture) == nullptr) {
    return Refusal{fmt::format("culture: no culture is called \"{}\"; there are: {}",
                               *request.culture, setup.cultures.ids())};
  }
  // Where its grains are, else where they were, else where the setup has them.
  if (request.culture) {
    const Batch* batch = household.book().with_grains(*request.culture);
    if (batch == nullptr) batch = last_batch_of(*request.culture, household.book());
    if (batch != nullptr && setup.jar(batch->start.jar) != nullptr) {
      return setup.jar(batch->start.jar);
    }
  }
  std::vector<const JarSetup*> fitting;
  for (const JarSetup& jar : setup.jars) {
    if (jar.culture && (!request.culture || jar.culture == request.culture))
      fitting.push_back(&jar);
  }
  if (fitting.size() == 1 || (!fitting.empty() && request.culture)) return fitting.front();
  return Refusal{fmt::format("say which jar: {}", setup.jars.ids())};
}

Result<FeedingUsual> feeding_usual(const PlanRequest& request, const Household& household,
                                   const JarBook& book, Instant now) {
  return Meaning(request, household, book, now).meant();
}

}  // namespace wheymark
