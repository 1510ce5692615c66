#include "core/record/doubtful_report.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

// Twice what a household's meter or strip may be off by.
constexpr double ph_rises_by = 0.3;

std::string shown(const Observation& seen) {
  if (const Sign* sign = std::get_if<Sign>(&seen.what)) return std::string(word(*sign));
  return fmt::format("pH {:.2f}", std::get<double>(seen.what));
}

// Whether the two cannot both be right: signs come in their order, and pH falls.
bool contradict(const Observation& earlier, const Observation& later) {
  const Sign* sign_before = std::get_if<Sign>(&earlier.what);
  const Sign* sign_after = std::get_if<Sign>(&later.what);
  if (sign_before != nullptr && sign_after != nullptr) return *sign_after < *sign_before;
  const double* ph_before = std::get_if<double>(&earlier.what);
  const double* ph_after = std::get_if<double>(&later.what);
  if (ph_before != nullptr && ph_after != nullptr) return *ph_after > *ph_before + ph_rises_by;
  return false;
}

// The sign or pH in a fact.
std::optional<Observation> observation_in(const Fact& fact, Instant at) {
  if (const auto* seen = std::get_if<SignSeen>(&fact)) return Observation{at, seen->sign};
  if (const auto* measured = std::get_if<PhMeasured>(&fact)) return Observation{at, measured->ph};
  return std::nullopt;
}

std::optional<JarId> jar_of_report(const Fact& fact) {
  if (const auto* seen = std::get_if<SignSeen>(&fact)) return seen->jar;
  if (const auto* measured = std::get_if<PhMeasured>(&fact)) return measured->jar;
  return std::nullopt;
}

}  // namespace

std::string contradiction(const Fact& report, Instant at, const JarBook& book,
                          const HouseholdSetup& setup) {
  const auto said = observation_in(report, at);
  if (!said) return "";
  const Batch* batch = book.in_jar(*jar_of_report(report));
  if (batch == nullptr) return "";
  for (auto other = batch->observations.rbegin(); other != batch->observations.rend(); ++other) {
    const bool is_earlier = other->at <= at;
    if (is_earlier ? !contradict(*other, *said) : !contradict(*said, *other)) continue;
    return fmt::format(
        "though at {} you said {}, and one of the two must be wrong: both are kept and weighed, "
        "and the later one counts as the last look",
        near_clock_text(other->at, at, setup), shown(*other));
  }
  return "";
}

Result<Instant> happened_at(std::optional<Instant> said_at, Instant now,
                            const HouseholdSetup& setup) {
  if (!said_at) return now;
  if (*said_at > now + limits::ahead_of_clock_max) {
    return Refusal{fmt::format("\"at\" is {}, which is still to come; it is {}",
                               day_and_clock_text(*said_at, setup),
                               day_and_clock_text(now, setup))};
  }
  if (*said_at < now - limits::fact_age_max) {
    return Refusal{fmt::format("\"at\" is {}, longer ago than the {} days that can still be told",
                               day_and_clock_text(*said_at, setup),
                               limits::fact_age_max.count() / 24)};
  }
  return std::min(*said_at, now);
}

Outcome within_its_batch(const Fact& report, Instant at, const JarBook& book,
                         const HouseholdSetup& setup) {
  const auto jar = jar_of_report(report);
  if (!jar) return Nothing{};
  const Batch* next = nullptr;    // the first that began later
  const Batch* before = nullptr;  // the last that began before
  for (const Batch& batch : book.batches()) {
    if (batch.start.jar != *jar || batch.share_of) continue;
    if (batch.started <= at) before = &batch;
    if (batch.started > at && next == nullptr) next = &batch;
  }
  const bool of_grains = std::holds_alternative<SignSeen>(report);
  if (before != nullptr && !before->ended && !(of_grains && before->strained)) return Nothing{};
  const std::string name = name_of_jar(*jar, setup);
  const std::string then = day_and_clock_text(at, setup);
  const auto day_and_clock = [&](Instant instant) { return day_and_clock_text(instant, setup); };
  if (before != nullptr && before->ended && at > before->ended->at) {
    return Refusal{fmt::format("{} holds nothing at {}; its batch ended at {}", name, then,
                               day_and_clock(before->ended->at))};
  }
  if (before != nullptr && of_grains && before->strained && at > before->strained->at) {
    // What is in the jar is without grains, or has gone on to another jar.
    return Refusal{fmt::format("{} holds nothing {}at {}; its batch was strained at {}", name,
                               before->jar() == *jar ? "with grains " : "", then,
                               day_and_clock(before->strained->at))};
  }
  if (before == nullptr && next != nullptr) {
    return Refusal{fmt::format("{}'s batch began at {}; what was seen at {} was before it", name,
                               day_and_clock_text(next->started, setup), then)};
  }
  return Nothing{};
}

// --- what is asked about ------------------------------------------------------------------------

namespace {

// A mass that is another one than weighings and growth allow.
Outcome doubted_mass(double grain_g, const MassSpread& spread, const std::string& whose) {
  if (spread.holds(grain_g)) return Nothing{};
  return Refusal{fmt::format(
      "{} are {} now, {} to {} by the last weighing and growth, and {} does not go with that: look "
      "at the scale's unit, at the point, and whether only the drained grains lay on it{}",
      whose, grams_text(spread.there_g), grams_text(spread.least_g), grams_text(spread.most_g),
      grams_text(grain_g),
      grain_g < spread.least_g ? ", and say \"spare\" of grains that were taken away" : "")};
}

// Milk has not even warmed up by then; it was another button, or a button that was pressed twice.
constexpr std::chrono::minutes strained_too_soon{10};

struct Doubting {
  Instant at;
  const JarBook& book;
  const HouseholdSetup& setup;

  Outcome operator()(const Weigh& weigh) const {
    const CultureSetup& culture = *setup.culture(weigh.culture);
    const double elsewhere_g = weigh.out_of_jars ? book.in_jars_g(culture.id) : 0.0;
    const MassSpread all = book.grains(culture.id).believable(book.grain_g(culture));
    const MassSpread weighed{std::max(0.0, all.least_g - elsewhere_g), all.there_g - elsewhere_g,
                             all.most_g - elsewhere_g};
    return doubted_mass(weigh.grain_g, weighed,
                        fmt::format("the grains of {}{}", culture.name,
                                    weigh.out_of_jars ? " that are in no jar" : ""));
  }

  // What came out of a jar is weighed as well; what went in was often not.
  Outcome operator()(const Strain& strain) const {
    const Batch* batch = book.in_jar(strain.jar);
    if (batch == nullptr) return Nothing{};
    if (batch->fermenting() && at - batch->started < strained_too_soon && !seen_to_work(*batch)) {
      return too_soon(*batch);
    }
    if (!strain.grain_g) return Nothing{};
    const Grains& grains = book.grains(*batch->start.culture);
    const double grown_g = grains.grown_g(*batch->start.grain_g, hours_between(batch->started, at));
    return doubted_mass(*strain.grain_g, believable_unweighed(grown_g),
                        fmt::format("the grains in {}", name_of_jar(strain.jar, setup)));
  }

  // Then the start was told too late, and not the straining by mistake.
  static bool seen_to_work(const Batch& batch) {
    return std::any_of(batch.observations.begin(), batch.observations.end(),
                       [](const Observation& seen) {
                         const Sign* sign = std::get_if<Sign>(&seen.what);
                         return sign != nullptr && *sign > Sign::still_milk;
                       });
  }

  [[nodiscard]] Outcome too_soon(const Batch& batch) const {
    return Refusal{fmt::format(
        "{} was started only at {}, and milk is no kefir yet so soon; if that start was a mistake, "
        "say undo",
        name_of_jar(batch.jar(), setup), day_and_clock_text(batch.started, setup))};
  }

  // Suspect grains are thrown away, and neither passed on nor joined by others.
  Outcome operator()(const Spare& spare) const {
    if (spare.use == SpareUse::thrown_away) return Nothing{};
    return not_suspect(spare.culture, "such grains are thrown away (use \"thrown-away\")");
  }
  Outcome operator()(const Split& split) const {
    const Outcome given = not_suspect(split.culture, "such grains are thrown away, not passed on");
    if (!given) return given;
    return not_suspect(split.into, "discard those first, so that the others do not join them");
  }

  [[nodiscard]] Outcome not_suspect(const CultureId& culture, std::string_view instead) const {
    const auto& seen = book.grains(culture).suspected();
    if (!seen) return Nothing{};
    return Refusal{
        fmt::format("{} was told of the grains of {} {}, which is a reason to discard "
                    "them; {}",
                    reason_to_discard(seen->said), name_of_culture(culture, setup),
                    day_and_clock_text(seen->told.at, setup), instead)};
  }

  Outcome operator()(const auto&) const { return Nothing{}; }
};

}  // namespace

Outcome doubted(const FactRecord& record, const JarBook& book, const HouseholdSetup& setup) {
  return std::visit(Doubting{record.at, book, setup}, record.fact);
}

}  // namespace wheymark
