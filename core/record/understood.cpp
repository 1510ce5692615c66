#include "core/record/understood.hpp"

#include <fmt/format.h>

#include "core/record/amounts.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

class Understood {
 public:
  Understood(const Fact& said, Instant at, const JarBook& before, const HouseholdSetup& setup)
      : said_(said), at_(at), before_(before), setup_(setup) {}

  std::string operator()(const Start& start) const {
    const Batch* held = before_.in_jar(start.jar);
    if (held == nullptr) return "";
    const std::string ask =
        " came out of it; where is that now? Say store with its bottle, pour or finish";
    if (held->fermenting()) {
      return fmt::format("it is taken as strained and fed again, and {} of kefir{}",
                         volume_text(held->ml_now()), ask);
    }
    if (held->ml_now() <= last_drops_ml) return "";
    return fmt::format("the {} of kefir strained at {}{}", volume_text(held->ml_now()),
                       clock(held->strained->at), ask);
  }

  std::string operator()(const Strain& strain) const {
    std::string full;
    double left_ml = *strain.ml;
    bool into_another = false;
    for (const Portion& portion : strain.into) {
      if (portion.jar == strain.jar) continue;
      into_another = true;
      left_ml -= *portion.ml;
      const Batch* held = before_.in_jar(portion.jar);
      const bool had_room = *portion.ml > last_drops_ml;
      if (had_room || held == nullptr) continue;
      full += fmt::format(
          "{} is full by what was said, with {}; if it was empty, take this back, say "
          "finish of it, and say this again; ",
          name(portion.jar), volume_text(held->ml_now()));
    }
    if (!into_another || left_ml <= last_drops_ml) return "";
    return fmt::format("{}{} of kefir stay in {}", full, volume_text(left_ml), name(strain.jar));
  }

  std::string operator()(const StoreAway& store) const {
    if (store.from) return filled(store);
    const Batch* held = before_.in_jar(store.jar);
    if (held == nullptr || !held->fermenting()) return moved("store");
    return fmt::format(
        "its grains are still in it, so the jar is cooled: they work on, slowly, in {}",
        name_of_place(*store.place, setup_));
  }

  std::string operator()(const Pour& pour) const {
    const Batch* kefir = before_.kefir_of(pour.jar);
    if (kefir == nullptr) return "";
    const double left_ml = kefir->ml_now() - *pour.ml;
    if (left_ml <= last_drops_ml) {
      return fmt::format("{} was the last of it{}", volume_text(*pour.ml),
                         came_from(*kefir, pour.jar));
    }
    return fmt::format("{} poured, {} are left{}", volume_text(*pour.ml), volume_text(left_ml),
                       came_from(*kefir, pour.jar));
  }

  std::string operator()(const Finish& finish) const {
    const Batch* kefir = before_.kefir_of(finish.jar);
    if (kefir == nullptr || !kefir->without_bottle) return "";
    return "it is taken" + came_from(*kefir, finish.jar);
  }

  std::string operator()(const Take&) const { return moved("take"); }

  template <class Other>
  std::string operator()(const Other&) const {
    return "";
  }

 private:
  [[nodiscard]] std::string name(const JarId& jar) const { return name_of_jar(jar, setup_); }
  [[nodiscard]] std::string clock(Instant instant) const {
    return near_clock_text(instant, at_, setup_);
  }

  [[nodiscard]] std::string moved(std::string_view meant) const {
    return std::holds_alternative<Move>(said_) ? fmt::format("it is taken as {}", meant) : "";
  }

  [[nodiscard]] std::string came_from(const Batch& kefir, const JarId& jar) const {
    if (!kefir.without_bottle) return "";
    return fmt::format(" of the kefir that came out of {} at {}", name(jar),
                       clock(kefir.strained->at));
  }

  [[nodiscard]] std::string filled(const StoreAway& store) const {
    const Batch* kefir = before_.kefir_of(*store.from);
    if (kefir == nullptr) return "";
    const double left_ml = kefir->ml_now() - *store.ml;
    return fmt::format(
        "it is taken as filled with {} of the kefir that was strained from {} at {}{}",
        volume_text(*store.ml), name(*store.from), clock(kefir->strained->at),
        left_ml > last_drops_ml ? fmt::format("; {} are left", volume_text(left_ml)) : "");
  }

  const Fact& said_;
  Instant at_;
  const JarBook& before_;
  const HouseholdSetup& setup_;
};

}  // namespace

std::string understood(const Fact& said, const FactRecord& record, const JarBook& before,
                       const HouseholdSetup& setup) {
  return std::visit(Understood(said, record.at, before, setup), record.fact);
}

namespace {

// What tells it from another of its kind; empty where the kind is enough.
struct Telling {
  const HouseholdSetup& setup;

  std::string operator()(const SignSeen& seen) const { return std::string(word(seen.sign)); }
  std::string operator()(const PhMeasured& measured) const {
    return fmt::format("{:.2f}", measured.ph);
  }
  std::string operator()(const Move& move) const {
    return "to " + name_of_place(move.place, setup);
  }
  std::string operator()(const LidPut& lid) const { return std::string(word(lid.lid)); }
  std::string operator()(const Strain& strain) const {
    return strain.verdict ? std::string(word(*strain.verdict)) : "";
  }
  std::string operator()(const Pour& pour) const { return pour.ml ? volume_text(*pour.ml) : ""; }
  std::string operator()(const Weigh& weigh) const { return grams_text(weigh.grain_g); }
  std::string operator()(const Remembered& past) const {
    return "a batch in " + name_of_jar(past.start.jar, setup);
  }
  std::string operator()(const Usual& usual) const {
    return fmt::format("{:g} h", usual.usual.front().hours);
  }
  std::string operator()(const auto&) const { return ""; }
};

}  // namespace

std::string phrase_of(const FactRecord& record, const HouseholdSetup& setup) {
  const std::string more = std::visit(Telling{setup}, record.fact);
  const std::string whose = std::visit(
      [&](const auto& fact) -> std::string {
        if constexpr (requires { fact.jar.has_value(); }) {
          if (fact.jar) return " of " + name_of_jar(*fact.jar, setup);
        } else if constexpr (requires { fact.jar; }) {
          return " of " + name_of_jar(fact.jar, setup);
        }
        if constexpr (requires { fact.culture.has_value(); }) {
          return " of " + name_of_culture(*fact.culture, setup);
        } else if constexpr (requires { fact.culture; }) {
          return " of " + name_of_culture(fact.culture, setup);
        }
        return "";
      },
      record.fact);
  return fmt::format("{}{}{}, {}", fact_words[record.fact.index()],
                     more.empty() ? "" : " (" + more + ")", whose,
                     day_and_clock_text(record.at, setup));
}

}  // namespace wheymark
