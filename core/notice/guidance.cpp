#include "core/notice/guidance.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <utility>

#include "core/advice/advice_sentences.hpp"
#include "core/announce/cautions.hpp"
#include "core/announce/occurrence_ids.hpp"
#include "core/household/jar_state.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

// A chance below this is told as such.
constexpr double likely = 0.6;
// A jar that is left alone and is this likely in time needs no word.
constexpr double good_enough = 0.8;
// What a step in the evening must gain to be worth carrying a jar.
constexpr double worth_a_move = 0.15;

class Guide {
 public:
  Guide(const Household& household, Instant now)
      : household_(household), setup_(household.setup()), now_(now) {}

  [[nodiscard]] std::string clock(Instant instant) const {
    return near_clock_text(instant, now_, setup_);
  }
  [[nodiscard]] std::string jar_name(const JarId& jar) const { return name_of_jar(jar, setup_); }
  [[nodiscard]] std::string place_name(const PlaceId& place) const {
    return name_of_place(place, setup_);
  }

  [[nodiscard]] NoticeStep feeding_step(const FeedingAdvice& advice) const {
    const Feeding& best = advice.best.front();
    const JarSetup* jar = setup_.jar(advice.jar);
    Start start;
    start.jar = advice.jar;
    start.grain_g = best.grain_g;
    start.milk_ml = best.milk_ml;
    if (jar == nullptr || jar->place != best.place) start.place = best.place;
    if (jar == nullptr || jar->culture != advice.culture) start.culture = advice.culture;
    return {
        best.start,
        fmt::format("Feed {} at {}: {:.4g} g of {} in {:.5g} mL of milk{}", jar_name(advice.jar),
                    clock(best.start), best.grain_g, name_of_culture(advice.culture, setup_),
                    best.milk_ml, start.place ? " (" + place_name(best.place) + ")" : ""),
        start};
  }

  void add_straining(Matter& matter, const Batch& batch) const {
    const std::string name = jar_name(batch.jar());
    const auto add = [&](const char* what, Verdict verdict) {
      matter.steps.push_back({now_, fmt::format("{} is strained: {}", name, what),
                              Strain{batch.jar(), {}, verdict, std::nullopt}});
    };
    add("it was just right (small whey pockets)", Verdict::right);
    add("it was early (no whey yet)", Verdict::early);
    add("it was late (clear whey below or above)", Verdict::late);
  }

  void add_next_feeding(Matter& matter, const Batch& batch) const {
    PlanRequest request;
    request.about = About::feeding;
    request.jar = batch.start.jar;
    request.culture = batch.start.culture;
    // As if it were strained now.
    const FactRecord strained{0, now_, now_, std::nullopt, Strain{batch.jar(), {}, {}, {}}};
    const auto advice = advise_feeding(request, household_, household_.book_with(strained), now_);
    if (!advice || advice.value().best.empty()) return;
    matter.steps.push_back(feeding_step(advice.value()));
    matter.text += fmt::format(" Then: {}.", matter.steps.back().text);
  }

 private:
  const Household& household_;
  const HouseholdSetup& setup_;
  Instant now_;
};

// "20270301": the local day.
std::string day_stamp(Instant now, const HouseholdSetup& setup) {
  const auto day = std::chrono::floor<std::chrono::days>(now + setup.utc_offset(now));
  const std::chrono::year_month_day date{day};
  return fmt::format("{}{:02}{:02}", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

Matter about_jar(const Batch& batch, std::string_view what) {
  Matter matter;
  matter.about = about_batch(batch);
  matter.key = matter.about + "." + std::string(what);
  matter.jars = {batch.jar()};
  return matter;
}

}  // namespace

std::string about_batch(const Batch& batch) {
  return fmt::format("jar-{}.{}", batch.start.jar.text(), batch.number);
}

Matter strain_matter(const Batch& batch, const Straining& straining, int round,
                     const Household& household, Instant now) {
  const Guide guide(household, now);
  const bool seen = latest_seen(batch) >= Sign::whey_pockets;
  Matter matter = about_jar(batch, round == 0 ? "strain" : fmt::format("strain-{}", round + 1));
  matter.urgency = Urgency::now;
  matter.until = std::max(straining.until, now + std::chrono::hours{1});
  const std::string name = guide.jar_name(batch.jar());
  const auto closes = household.fermentation(batch)->forecast()->peak_closes.p50;
  const bool over = !seen && closes && *closes <= now;
  if (seen) {
    matter.text = fmt::format("{}: whey pockets were seen. Strain it now.", name);
  } else if (over) {
    matter.text = fmt::format("{}: strain it now; its peak is likely over since {}.", name,
                              guide.clock(*closes));
    matter.caution = cautions::over_fermented;
  } else if (straining.chance >= likely) {
    matter.text = fmt::format("{}: strain it now; small whey pockets should show.", name);
  } else {
    const auto& opens = household.fermentation(batch)->forecast()->peak_opens.p50;
    matter.text = fmt::format(
        "{}: its peak {}. Look at it now, and strain it if small whey pockets "
        "show.",
        name,
        opens && *opens > now ? "may open from now on, most likely near " + guide.clock(*opens)
                              : "may be open");
  }
  guide.add_straining(matter, batch);
  if (!seen && !over) {
    const Instant again_at =
        straining.again_at.value_or(when_awake(now + std::chrono::hours{2}, household.setup()));
    matter.steps.push_back({again_at,
                            fmt::format("{} is not ready: set, no whey yet. Look again at {}", name,
                                        guide.clock(again_at)),
                            SignSeen{batch.jar(), Sign::set}});
    matter.text += fmt::format(" If not, look again at {}.", guide.clock(again_at));
  }
  guide.add_next_feeding(matter, batch);
  return matter;
}

Matter closing_matter(const Batch& batch, const Household& household, Instant now) {
  const Guide guide(household, now);
  Matter matter = about_jar(batch, "closing");
  matter.urgency = Urgency::now;
  matter.until = now + std::chrono::hours{12};
  matter.text = fmt::format(
      "{}: still not strained, and its peak is likely over. Strain it now: the grains want fresh "
      "milk.",
      guide.jar_name(batch.jar()));
  matter.caution = cautions::over_fermented;
  guide.add_straining(matter, batch);
  return matter;
}

std::optional<Matter> night_matter(const Batch& batch, const Household& household, Instant now) {
  const HouseholdSetup& setup = household.setup();
  const Guide guide(household, now);
  PlanRequest request;
  request.about = About::batch;
  request.jar = batch.jar();
  const auto asked = advise_steering(request, household, now);
  if (!asked || asked.value().best.empty()) return std::nullopt;
  const SteeringAdvice& advice = asked.value();
  const Way& best = advice.best.front();
  if (best.step == Remedy::leave || best.step == Remedy::strain || !best.at) return std::nullopt;
  if (advice.left.chance >= good_enough || best.chance < advice.left.chance + worth_a_move) {
    return std::nullopt;
  }
  const std::string name = guide.jar_name(batch.jar());
  Matter matter = about_jar(batch, "night-" + day_stamp(now, setup));
  matter.urgency = Urgency::today;
  matter.text = fmt::format(
      "{}: left where it is, it would peak near {}{}. {}.", name,
      guide.clock(advice.left.opens.p50.value_or(*best.at)),
      advice.left.opens.p50 && !awake_at(*advice.left.opens.p50, setup) ? ", at night" : "",
      advice_text(best, now, setup));
  matter.steps.push_back({std::max(*best.at, now),
                          fmt::format("{} is in {} now", name, guide.place_name(best.place)),
                          Move{batch.jar(), best.place}});
  if (best.until) {
    matter.back_at = best.until;
    matter.steps.push_back({*best.until,
                            fmt::format("{} is back in {}", name, guide.place_name(batch.place())),
                            Move{batch.jar(), batch.place()}});
  }
  matter.until = best.until.value_or(*best.at + std::chrono::hours{2});
  matter.text += " If small whey pockets show by then, strain it instead.";
  guide.add_straining(matter, batch);
  return matter;
}

std::optional<Matter> leaving_matter(const Batch& batch, Instant until, const Household& household,
                                     Instant now) {
  const HouseholdSetup& setup = household.setup();
  const PlaceSetup* fridge = setup.first_fridge();
  const Fermentation* fermentation = household.fermentation(batch);
  if (fermentation == nullptr || !fermentation->forecast()) return std::nullopt;
  const auto& opens = fermentation->forecast()->peak_opens.p50;
  const auto& closes = fermentation->forecast()->peak_closes.p50;
  if (!opens || *opens >= until || (closes && *closes <= now)) return std::nullopt;
  const Guide guide(household, now);
  const std::string name = guide.jar_name(batch.jar());
  Matter matter = about_jar(batch, "leaving-" + day_stamp(now, setup));
  matter.urgency = Urgency::now;
  matter.until = closes.value_or(until);
  matter.text =
      *opens <= now
          ? fmt::format("{}: its peak is likely open, and nobody is at home.", name)
          : fmt::format("{}: it peaks near {}, and nobody is at home.", name, guide.clock(*opens));
  if (fridge != nullptr && fridge->id != batch.place()) {
    matter.text += fmt::format(" If nobody is back by {}, put it in {} before you go.",
                               guide.clock(closes.value_or(until)), fridge->name);
    matter.steps.push_back(
        {now, fmt::format("{} is in {} now", name, fridge->name), Move{batch.jar(), fridge->id}});
  }
  guide.add_straining(matter, batch);
  return matter;
}

Matter take_out_matter(const Batch& batch, const std::string& key, const PlaceId& to,
                       const Household& household, Instant now) {
  const Guide guide(household, now);
  Matter matter = about_jar(batch, "out");
  matter.key = key;
  matter.urgency = Urgency::now;
  matter.until = now + std::chrono::hours{6};
  matter.text = fmt::format("{}: take it out of {} now, back to {}, and it goes on.",
                            guide.jar_name(batch.jar()), guide.place_name(batch.place()),
                            guide.place_name(to));
  matter.steps.push_back(
      {now, fmt::format("{} is back in {}", guide.jar_name(batch.jar()), guide.place_name(to)),
       Move{batch.jar(), to}});
  return matter;
}

Matter forgotten_matter(const Batch& batch, Instant since, const Household& household,
                        Instant now) {
  const Guide guide(household, now);
  Matter matter = about_jar(batch, "forgotten");
  matter.urgency = Urgency::today;
  matter.text = fmt::format(
      "{}: a batch with its grains stands in {} since {}. Take it out to go on, or strain it.",
      guide.jar_name(batch.jar()), guide.place_name(batch.place()),
      day_and_clock_text(since, household.setup()));
  const JarSetup* jar = household.setup().jar(batch.jar());
  if (jar != nullptr && jar->place != batch.place()) {
    matter.steps.push_back({now,
                            fmt::format("{} is out in {}", jar->name, guide.place_name(jar->place)),
                            Move{batch.jar(), jar->place}});
  }
  guide.add_straining(matter, batch);
  return matter;
}

std::optional<Matter> feed_matter(const CultureSetup& culture, const FactRef& out,
                                  const Household& household, Instant now) {
  const Guide guide(household, now);
  PlanRequest request;
  request.about = About::feeding;
  request.culture = culture.id;
  const auto asked = advise_feeding(request, household, now);
  if (!asked || asked.value().best.empty()) return std::nullopt;
  const FeedingAdvice& advice = asked.value();
  Matter matter;
  matter.about = fmt::format("culture-{}.{}", culture.id.text(), out.fact);
  matter.key = matter.about + ".feed";
  matter.urgency = Urgency::today;
  matter.jars = {advice.jar};
  matter.steps.push_back(guide.feeding_step(advice));
  matter.until = advice.best.front().start + std::chrono::hours{12};
  matter.text =
      fmt::format("{} is out of milk since {}. {}; {}.", culture.name,
                  near_clock_text(out.at, now, household.setup()), matter.steps.back().text,
                  ready_text(advice.best.front(), now, household.setup()));
  return matter;
}

std::vector<NoticeStep> steps_after_straining(const FactRecord& record,
                                              const Household& household) {
  const Strain& strain = std::get<Strain>(record.fact);
  const Batch* batch = household.book().in_jar(strain.jar);
  if (batch == nullptr || !batch->start.culture) return {};
  PlanRequest request;
  request.about = About::feeding;
  request.jar = batch->start.jar;
  request.culture = batch->start.culture;
  const JarBook book = household.book_with(record);
  const auto advice = advise_feeding(request, household, book, record.told_at);
  if (!advice || advice.value().best.empty()) return {};
  return {Guide(household, record.told_at).feeding_step(advice.value())};
}

}  // namespace wheymark
