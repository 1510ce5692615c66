// Whether a fact can have happened next: one refusal, or none, for each kind of fact.
//
// What was kept before is asked again when something is told late. So nothing here is about amounts
// or about what the setup says today: that is asked once, when a fact is completed.
#include <fmt/format.h>

#include "core/record/amounts.hpp"
#include "core/record/jar_book.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {

struct JarBook::Allowing {
  const JarBook& book;
  const HouseholdSetup& setup;
  Instant at;
  bool kept;

  [[nodiscard]] std::string jar_name(const JarId& id) const { return name_of_jar(id, setup); }

  [[nodiscard]] Refusal empty(const JarId& jar, std::string_view instead) const {
    const auto& end = book.care(jar).last_end;
    std::string before;
    if (const auto& poured = book.care(jar).poured) {
      before = fmt::format("what it held was strained into {} {}; ", jar_name(poured->into),
                           day_and_clock_text(poured->at, setup));
    } else if (end && end->how != Ending::mixed) {
      before = fmt::format("what it held was {} {}; ",
                           end->how == Ending::finished ? "finished" : "discarded",
                           day_and_clock_text(end->at, setup));
    }
    return {fmt::format("{} holds nothing at {}; {}{}", jar_name(jar),
                        day_and_clock_text(at, setup), before, instead)};
  }

  [[nodiscard]] std::string culture_name(const CultureId& id) const {
    return name_of_culture(id, setup);
  }

  // Whether so many grains can leave the culture. Between two weighings the mass is an estimate.
  [[nodiscard]] Outcome has_grains(const CultureId& id, double grain_g) const {
    const CultureSetup* culture = setup.culture(id);
    const double there_g = culture == nullptr ? 0.0 : book.grain_g(*culture);
    if (grain_g <= there_g) return Nothing{};
    return Refusal{fmt::format(
        "{} has about {:.1f} g of grains by weighing and growth, fewer than {:.4g} g; weigh them "
        "first if there are more",
        culture_name(id), there_g, grain_g)};
  }

  [[nodiscard]] Outcome holds_something(const JarId& jar, std::string_view instead) const {
    if (kept && book.went_on(jar) != nullptr) return Nothing{};
    if (book.in_jar(jar) == nullptr) return empty(jar, instead);
    return Nothing{};
  }

  [[nodiscard]] Outcome holds_grains(const JarId& jar, std::string_view what) const {
    const Batch* batch = book.in_jar(jar);
    if (batch == nullptr) return empty(jar, "start a batch first");
    if (batch->strained) {
      return Refusal{fmt::format("{} was strained at {}; {} is said of a batch with its grains",
                                 jar_name(jar), day_and_clock_text(batch->strained->at, setup),
                                 what)};
    }
    return Nothing{};
  }

  [[nodiscard]] Refusal grains_in(const JarId& jar, std::string_view what) const {
    return {fmt::format("{} still has its grains in it; strain it before you {}, or discard it",
                        jar_name(jar), what)};
  }

  [[nodiscard]] Outcome has_kefir(const JarId& jar, std::string_view what) const {
    if (book.kefir_of(jar) != nullptr) return Nothing{};
    if (book.in_jar(jar) == nullptr) return empty(jar, "strain a batch into it first");
    return grains_in(jar, what);
  }

  // Fed again after hours, it was strained; sooner, somebody pressed twice.
  Outcome operator()(const Start& start) const {
    const Batch* batch = book.in_jar(start.jar);
    if (batch == nullptr) return Nothing{};
    if (!batch->strained && hours_between(batch->started, at) < fed_again_after_h) {
      return Refusal{fmt::format("{} holds a batch since {}; strain or discard it first",
                                 jar_name(start.jar), day_and_clock_text(batch->started, setup))};
    }
    if (batch->in_fridge) {
      return Refusal{
          fmt::format("{} holds kefir in the fridge since {}; finish or discard it first",
                      jar_name(start.jar), day_and_clock_text(batch->stored.back().at, setup))};
    }
    return Nothing{};
  }

  Outcome operator()(const SignSeen& seen) const {
    if (kept && (book.in_jar(seen.jar) != nullptr || book.went_on(seen.jar) != nullptr)) {
      return Nothing{};  // it then tells nothing
    }
    return holds_grains(seen.jar, "a sign");
  }
  Outcome operator()(const PhMeasured& measured) const {
    return holds_something(measured.jar, "start a batch first");
  }
  Outcome operator()(const Move& move) const {
    return holds_something(move.jar, "start a batch first");
  }
  Outcome operator()(const LidPut& lid) const {
    return holds_something(lid.jar, "start a batch first");
  }

  Outcome operator()(const Strain& strain) const {
    if (Outcome grains = holds_grains(strain.jar, "straining"); !grains) return grains;
    for (const Portion& portion : strain.into) {
      const Batch* other = book.in_jar(portion.jar);
      if (portion.jar == strain.jar || other == nullptr || other->strained) continue;
      return Refusal{fmt::format(
          "{} holds a batch with its grains since {}; strain it first, or strain into another jar",
          jar_name(portion.jar), day_and_clock_text(other->started, setup))};
    }
    return Nothing{};  // poured onto kefir: it is mixed
  }

  Outcome operator()(const StoreAway& store) const {
    if (store.from && book.kefir_of(*store.from) == nullptr) {
      return Refusal{
          fmt::format("no kefir of {} waits for a bottle; strain it first", jar_name(*store.from))};
    }
    if (Outcome free = holds_no_grains(store); !free) return free;
    if (store.from) return Nothing{};
    if (Outcome something = holds_something(store.jar, "strain a batch into it first");
        !something) {
      return something;
    }
    const Batch* batch = book.in_jar(store.jar);
    if (kept || batch == nullptr) return Nothing{};
    const bool there = batch->strained ? batch->in_fridge : batch->place() == *store.place;
    if (!there || batch->out_for_mixing) return Nothing{};
    const Instant since = batch->strained ? batch->stored.back().at : batch->stays.back().from;
    return Refusal{fmt::format("{} is in the fridge already, since {}", jar_name(store.jar),
                               day_and_clock_text(since, setup))};
  }

  // What is filled with kefir and stored.
  [[nodiscard]] Outcome holds_no_grains(const StoreAway& store) const {
    const Batch* batch = book.in_jar(store.jar);
    if (!store.from || batch == nullptr || batch->strained) return Nothing{};
    return Refusal{fmt::format("{} holds a batch with its grains since {}; strain it first",
                               jar_name(store.jar), day_and_clock_text(batch->started, setup))};
  }

  Outcome operator()(const Take& take) const {
    if (Outcome something = holds_something(take.jar, "strain a batch into it first"); !something) {
      return something;
    }
    const Batch* batch = book.in_jar(take.jar);
    if (kept || batch == nullptr || batch->in_fridge) return Nothing{};
    const PlaceSetup* place = setup.place(batch->place());
    const bool is_cooled = place != nullptr && place->kind == PlaceKind::fridge;
    if (!batch->strained && is_cooled) return Nothing{};
    return Refusal{jar_name(take.jar) + " is not in the fridge"};
  }

  Outcome operator()(const SecondBegun& second) const {
    const Batch* batch = book.in_jar(second.jar);
    if (batch == nullptr) return empty(second.jar, "strain a batch into it first");
    if (!batch->strained) return grains_in(second.jar, "sweeten it");
    if (!batch->in_fridge || batch->out_for_mixing) return Nothing{};
    return Refusal{jar_name(second.jar) +
                   " is in the fridge, where sugar hardly ferments; take it out first"};
  }

  Outcome operator()(const Pour& pour) const { return has_kefir(pour.jar, "pour from it"); }
  Outcome operator()(const Finish& finish) const { return has_kefir(finish.jar, "finish it"); }
  Outcome operator()(const Discard& discard) const {
    return holds_something(discard.jar, "there is nothing to discard");
  }
  Outcome operator()(const Weigh&) const { return Nothing{}; }

  Outcome operator()(const Rest& rest) const {
    const Batch* batch = book.with_grains(rest.culture);
    if (batch == nullptr) return Nothing{};
    return Refusal{fmt::format(
        "{} still has grains of {} in it; strain it first, or move the jar to the fridge",
        jar_name(batch->jar()), culture_name(rest.culture))};
  }
  Outcome operator()(const Wake& wake) const {
    if (book.grains(wake.culture).resting()) return Nothing{};
    return Refusal{
        fmt::format("{} is not resting; say rest when its grains go to the fridge in milk",
                    culture_name(wake.culture))};
  }
  Outcome operator()(const Inspect& said) const {
    if (!said.jar) return Nothing{};
    return holds_something(*said.jar, "what was seen is said of what a jar holds");
  }
  Outcome operator()(const Spare& spare) const {
    return has_grains(spare.culture, spare.grain_g.value_or(0.0));
  }
  Outcome operator()(const Split& split) const { return has_grains(split.culture, split.grain_g); }
  Outcome operator()(const Wash& wash) const {
    if (book.in_jar(wash.jar) == nullptr) return Nothing{};
    const Batch* batch = book.in_jar(wash.jar);
    if (batch->strained && !batch->in_fridge) return Nothing{};  // poured out without a report
    return Refusal{fmt::format("{} is not empty: it holds {} since {}", jar_name(wash.jar),
                               batch->strained ? "kefir" : "a batch",
                               day_and_clock_text(batch->started, setup))};
  }
  Outcome operator()(const Retract&) const { return Nothing{}; }
  Outcome operator()(const Undo&) const { return Nothing{}; }
  Outcome operator()(const Usual&) const { return Nothing{}; }
  Outcome operator()(const Remembered&) const { return Nothing{}; }
};

Outcome JarBook::allows(const FactRecord& record, const HouseholdSetup& setup, bool kept) const {
  return std::visit(Allowing{*this, setup, record.at, kept}, record.fact);
}

}  // namespace wheymark
