#include "core/household/report_answer.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <type_traits>

#include "core/household/grain_needs.hpp"
#include "core/household/grain_sums.hpp"
#include "core/household/not_souring.hpp"
#include "core/household/pace_words.hpp"
#include "core/household/suspect_words.hpp"
#include "core/record/doubtful_report.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "core/record/understood.hpp"

namespace wheymark {
namespace {

double millilitres(double grain_g) {
  return 50.0 * std::round(milk_ml_for(grain_g) / 50.0);
}

class Answering {
 public:
  Answering(const FactRecord& record, const Household& household)
      : record_(record), household_(household), setup_(household.setup()) {}

  // A weighing that is believed is used at once, so it says for what.
  std::string operator()(const Weigh& weigh) const {
    const CultureSetup& culture = *setup_.culture(weigh.culture);
    if (const auto& seen = household_.book().grains(culture.id).suspected()) {
      return stays_suspect({seen->told, seen->said, true});
    }
    const double wanted_g = household_.wanted_grain_g(culture.id);
    const double before_g = household_.book().grain_g(culture);
    const JarBook after = household_.book_with(record_);
    const GrainSums sums = grain_sums(culture, after, wanted_g);
    std::string text = fmt::format("{}: {}", culture.name, text_of(sums, setup_));
    if (weigh.out_of_jars) {
      text += fmt::format("; the {} on the scale count as those that are in no jar",
                          grams_text(weigh.grain_g));
    }
    if (before_g >= 1.0 && std::abs(sums.all_g - before_g) >= 0.1 * before_g) {
      text += fmt::format("; {} were expected", grams_text(before_g));
    }
    return text + what_to_do(sums) + next_starts(culture, sums);
  }

  std::string operator()(const Inspect& said) const {
    const JarBook after = household_.book_with(record_);
    const Batch* batch = said.jar ? after.in_jar(*said.jar) : nullptr;
    if (batch != nullptr && batch->strained) return of_jar(*said.jar, after);
    const auto& seen = after.grains(*said.culture).suspected();
    if (!seen) return "";
    const Suspicion why{seen->told, seen->said, true};
    if (seen->told.fact != record_.number) return stays_suspect(why);
    const std::vector<std::string> kefir = affected_kefir(why, after, setup_);
    return fmt::format("{}: discard them with their milk, do not taste it{}",
                       what_was_seen(why, setup_), kefir.empty() ? "" : "; throw out as well: ") +
           fmt::format("{}", fmt::join(kefir, ", "));
  }

  std::string operator()(const Start& start) const {
    const auto& seen = household_.book().grains(*start.culture).suspected();
    if (!seen) return "";
    return stays_suspect({seen->told, seen->said, true}) +
           "; if other grains went in, say \"spare\" with \"all\" and an \"at\" before this start";
  }

  // Suspect grains go with their milk. What is out of jars is told of by itself.
  std::string operator()(const Discard& discard) const {
    const Batch* batch = household_.book().in_jar(discard.jar);
    if (batch == nullptr || household_.book().suspicion(*batch) == nullptr) return "";
    const JarBook after = household_.book_with(record_);
    const CultureId& culture = *batch->start.culture;
    const CultureSetup* known = setup_.culture(culture);
    std::string text = of_jar(discard.jar, after);
    if (batch->strained || known == nullptr) return text;
    if (!after.grains(culture).suspected()) {
      return text + fmt::format(
                        "; the grains of {} are gone with it, and what comes next under that "
                        "name are other grains",
                        known->name);
    }
    return text + fmt::format(
                      "; {} of {} are left, and stay suspect: throw them away as well, and "
                      "say \"spare\" with \"all\" and use \"thrown-away\"",
                      grams_text(after.grain_g(*known)), known->name);
  }

  std::string operator()(const Retract&) const { return taken_back(); }
  std::string operator()(const Undo&) const { return taken_back(); }

  // What no longer counts, and how things stand without it.
  [[nodiscard]] std::string taken_back() const {
    const FactRecord& other = *household_.taken_back_by(record_.fact);
    const JarBook after = household_.book_with(record_);
    std::string text = "taken back is " + phrase_of(other, setup_);
    for (const JarSetup& jar : setup_.jars) {
      const std::string holds = contents(jar.id, after);
      if (holds != contents(jar.id, household_.book())) {
        text += fmt::format("; {} {}", jar.name, holds);
      }
    }
    for (const CultureSetup& culture : setup_.cultures) {
      const bool was = household_.book().grains(culture.id).suspected().has_value();
      if (!was || after.grains(culture.id).suspected()) continue;
      text += fmt::format("; {} is no longer suspect", culture.name);
    }
    return text;
  }

  // Perhaps it was drunk.
  std::string operator()(const Finish& finish) const {
    const Suspicion* why = household_.book().suspicion(finish.jar);
    if (why == nullptr) return "";
    return fmt::format(
        "{}: whoever drank of it and feels unwell asks a doctor; wash {} with hot "
        "water",
        what_was_seen(*why, setup_), name_of_jar(finish.jar, setup_));
  }
  std::string operator()(const Wash&) const { return ""; }

  // What it is taken as, and how it goes with the rest.
  std::string operator()(const Usual& told) const {
    const std::string name = name_of_culture(told.culture, setup_);
    const UsualBatches all = household_.usual_with(told.culture, told.usual);
    const auto shows = household_.shown_by_usual(told.culture, all);
    if (!shows) return "";
    std::vector<std::string> texts;
    for (const UsualBatch& batch : all.told) texts.push_back(text_of(batch));
    std::string text = fmt::format("{}: {} is taken as {} the average culture's", name,
                                   fmt::join(texts, ", "), time_against(std::exp(shows->log_pace)));
    if (shows->contradict) {
      text +=
          "; these do not go together, so that one must be of another room or amount: all are "
          "weighed, and forecasts stay wide until batches show more";
    }
    const std::size_t batches = household_.paces().batches(told.culture);
    if (batches > 0) {
      text += batches == 1 ? "; the batch that has shown it here counts more"
                           : "; batches that have shown it here count more";
    }
    return text;
  }

  template <class Fact>
  std::string operator()(const Fact& fact) const {
    if constexpr (requires { fact.jar.text(); }) return of_jar(fact.jar, household_.book());
    if constexpr (requires { fact.culture.text(); }) {
      const auto& seen = household_.book().grains(fact.culture).suspected();
      if (seen && !std::is_same_v<Fact, Spare>)
        return stays_suspect({seen->told, seen->said, true});
    }
    return "";
  }

 private:
  [[nodiscard]] std::string contents(const JarId& jar, const JarBook& book) const {
    const Batch* batch = book.in_jar(jar);
    if (batch == nullptr) return "is empty";
    return fmt::format(
        "holds {} {}", batch->strained ? "the kefir strained" : "the batch started",
        day_and_clock_text(batch->strained ? batch->strained->at : batch->started, setup_));
  }

  [[nodiscard]] std::string of_jar(const JarId& jar, const JarBook& book) const {
    const Suspicion* why = book.suspicion(jar);
    return why == nullptr ? "" : "suspect: " + suspect_text(jar, *why, book, setup_);
  }

  [[nodiscard]] std::string stays_suspect(const Suspicion& why) const {
    return fmt::format(
        "{}, and they stay suspect until they are discarded; looking well later does not "
        "clear them, only taking that report back (\"retract\") if it was a mistake",
        what_was_seen(why, setup_));
  }

  static std::string what_to_do(const GrainSums& sums) {
    if (sums.all_g >= surplus_begins_share * sums.wanted_g) {
      return fmt::format(
          "; {} are more than the jars want: give some away, eat them, freeze or dry "
          "a reserve, or start another jar",
          grams_text(sums.surplus_g()));
    }
    if (sums.all_g * surplus_ends_share < sums.wanted_g) {
      return fmt::format(
          "; {} too few for that: take less milk until they have grown, about "
          "{:.0f} mL for all of them",
          grams_text(sums.wanted_g - sums.all_g), millilitres(sums.all_g));
    }
    return "";
  }

  // What each of its jars is given when nobody says how much.
  [[nodiscard]] std::string next_starts(const CultureSetup& culture, const GrainSums& sums) const {
    std::string text;
    for (const JarSetup& jar : setup_.jars) {
      if (jar.culture != culture.id) continue;
      const double grain_g = jar.grain_g.value_or(sums.all_g);
      text += fmt::format("{} {} takes {}", text.empty() ? "; the next start of" : ",", jar.name,
                          grams_text(std::min(grain_g, sums.all_g)));
      if (jar.grain_g && *jar.grain_g <= sums.all_g) {
        text += ", as set up";
      } else {
        text += ", all there are";
      }
    }
    return text;
  }

  const FactRecord& record_;
  const Household& household_;
  const HouseholdSetup& setup_;
};

}  // namespace

std::string answer_to(const FactRecord& record, const Household& household) {
  std::string text = contradiction(record.fact, record.at, household.book(), household.setup());
  for (const std::string& more : {std::visit(Answering(record, household), record.fact),
                                  remark_on_souring(record, household)}) {
    if (!text.empty() && !more.empty()) text += "; ";
    text += more;
  }
  return text;
}

}  // namespace wheymark
