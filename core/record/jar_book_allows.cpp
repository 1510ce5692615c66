// Whether a fact can have happened next, and if not, what would make sense.
#include <fmt/format.h>

#include "core/record/jar_book.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {

// One refusal, or none, for each kind of fact.
struct JarBook::Allowing {
  const JarBook& book;
  const HouseholdSetup& setup;
  Instant at;

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

  [[nodiscard]] Outcome holds_kefir(const JarId& jar, std::string_view what) const {
    const Batch* batch = book.in_jar(jar);
    if (batch == nullptr) return empty(jar, "strain a batch into it first");
    if (!batch->strained) {
      return Refusal{
          fmt::format("{} still has its grains in it; strain it before you {} it, or discard it",
                      jar_name(jar), what)};
    }
    return Nothing{};
  }

  Outcome operator()(const Start& start) const {
    const Batch* batch = book.in_jar(start.jar);
    if (batch == nullptr) return Nothing{};
    if (!batch->strained) {
      return Refusal{fmt::format("{} holds a batch since {}; strain or discard it first",
                                 jar_name(start.jar), day_and_clock_text(batch->started, setup))};
    }
    if (batch->in_fridge) {
      return Refusal{
          fmt::format("{} holds kefir in the fridge since {}; finish or discard it first",
                      jar_name(start.jar), day_and_clock_text(batch->stored.back().at, setup))};
    }
    return Nothing{};  // strained kefir that was poured out without a report
  }

  Outcome operator()(const SignSeen& seen) const { return holds_grains(seen.jar, "a sign"); }
  Outcome operator()(const PhMeasured& measured) const {
    return holds_something(measured.jar, "start a batch first");
  }
  Outcome operator()(const Move& move) const {
    if (Outcome something = holds_something(move.jar, "start a batch first"); !something) {
      return something;
    }
    const Batch* batch = book.in_jar(move.jar);
    const PlaceSetup* to = setup.place(move.place);
    const bool to_a_fridge = to != nullptr && to->kind == PlaceKind::fridge;
    // Kefir goes in and out of the fridge by its own facts, which begin and end its storing.
    if (batch->in_fridge && !to_a_fridge) {
      return Refusal{fmt::format("{} is kefir in the fridge since {}; take it out instead",
                                 jar_name(move.jar),
                                 day_and_clock_text(batch->stored.back().at, setup))};
    }
    if (batch->strained && !batch->in_fridge && to_a_fridge) {
      return Refusal{jar_name(move.jar) + " holds kefir; store it instead"};
    }
    return Nothing{};
  }
  Outcome operator()(const LidPut& lid) const {
    return holds_something(lid.jar, "start a batch first");
  }

  Outcome operator()(const Strain& strain) const {
    if (Outcome grains = holds_grains(strain.jar, "straining"); !grains) return grains;
    if (!strain.into || *strain.into == strain.jar) return Nothing{};
    const Batch* other = book.in_jar(*strain.into);
    if (other == nullptr || other->strained) return Nothing{};  // poured onto kefir: it is mixed
    return Refusal{fmt::format(
        "{} holds a batch with its grains since {}; strain it first, or strain into another jar",
        jar_name(*strain.into), day_and_clock_text(other->started, setup))};
  }

  Outcome operator()(const StoreAway& store) const {
    if (Outcome kefir = holds_kefir(store.jar, "store"); !kefir) return kefir;
    const Batch* batch = book.in_jar(store.jar);
    if (!batch->in_fridge || batch->out_for_mixing) return Nothing{};
    return Refusal{fmt::format("{} is in the fridge already, since {}", jar_name(store.jar),
                               day_and_clock_text(batch->stored.back().at, setup))};
  }
  Outcome operator()(const Take& take) const {
    if (Outcome kefir = holds_kefir(take.jar, "take"); !kefir) return kefir;
    if (book.in_jar(take.jar)->in_fridge) return Nothing{};
    return Refusal{jar_name(take.jar) + " is not in the fridge"};
  }
  Outcome operator()(const SecondBegun& second) const {
    if (Outcome kefir = holds_kefir(second.jar, "sweeten"); !kefir) return kefir;
    const Batch* batch = book.in_jar(second.jar);
    if (!batch->in_fridge || batch->out_for_mixing) return Nothing{};
    return Refusal{jar_name(second.jar) +
                   " is in the fridge, where sugar hardly ferments; take it out first"};
  }
  Outcome operator()(const Finish& finish) const { return holds_kefir(finish.jar, "finish"); }
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
};

Outcome JarBook::allows(const FactRecord& record, const HouseholdSetup& setup) const {
  return std::visit(Allowing{*this, setup, record.at}, record.fact);
}

}  // namespace wheymark
