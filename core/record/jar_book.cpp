#include "core/record/jar_book.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/check.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {

const Batch* JarBook::in_jar(const JarId& jar) const {
  const auto found = contents_.find(jar);
  return found == contents_.end() ? nullptr : &batches_[found->second];
}

const Batch* JarBook::numbered(std::uint64_t number) const {
  const auto found = by_number_.find(number);
  return found == by_number_.end() ? nullptr : &batches_[found->second];
}

const Grains& JarBook::grains(const CultureId& culture) const {
  static const Grains untouched;
  const auto found = grains_.find(culture);
  return found == grains_.end() ? untouched : found->second;
}

std::optional<double> JarBook::weighed_grain_g(const CultureId& culture) const {
  return grains(culture).last_weighed_g();
}

double JarBook::grain_g(const CultureSetup& culture) const {
  return std::max(grains(culture.id).grams(culture.grain_g), in_jars_g(culture.id));
}

double JarBook::in_jars_g(const CultureId& culture) const {
  double grain_g = 0.0;
  const auto batches = with_grains_.find(culture);
  if (batches == with_grains_.end()) return 0.0;
  for (const std::size_t index : batches->second) grain_g += *batches_[index].start.grain_g;
  return grain_g;
}

const Batch* JarBook::with_grains(const CultureId& culture) const {
  const auto batches = with_grains_.find(culture);
  if (batches == with_grains_.end() || batches->second.empty()) return nullptr;
  return &batches_[*batches->second.rbegin()];  // they are in the order of their starts
}

std::vector<const Batch*> JarBook::fermenting_of(const CultureId& culture) const {
  std::vector<const Batch*> all;
  const auto batches = with_grains_.find(culture);
  if (batches == with_grains_.end()) return all;
  for (const std::size_t index : batches->second) all.push_back(&batches_[index]);
  return all;
}

const JarCare& JarBook::care(const JarId& jar) const {
  static const JarCare unused;
  const auto found = care_.find(jar);
  return found == care_.end() ? unused : found->second;
}

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

// What each kind of fact changes.
struct JarBook::Taking {
  JarBook& book;
  const FactRecord& record;

  [[nodiscard]] Batch& batch_in(const JarId& jar) const {
    const auto found = book.contents_.find(jar);
    check(found != book.contents_.end(), "a fact about a jar's contents was allowed");
    mark_changed(book.batches_[found->second].number);
    return book.batches_[found->second];
  }

  void mark_changed(std::uint64_t number) const {
    std::erase(book.changed_, number);
    book.changed_.push_back(number);
  }

  void grains_are_out(const Batch& batch) const {
    book.with_grains_[*batch.start.culture].erase(book.by_number_.at(batch.number));
  }

  void end(const JarId& jar, Ending how) const {
    Batch& batch = batch_in(jar);
    if (batch.fermenting()) grains_are_out(batch);
    batch.ended = Ended{record.at, how};
    book.care_[jar].last_end = batch.ended;
    book.contents_.erase(jar);
  }

  [[nodiscard]] FactRef told() const { return {record.number, record.at}; }
  [[nodiscard]] Grains& grains(const CultureId& culture) const { return book.grains_[culture]; }

  void stands_at(const JarId& jar, const PlaceId& place) const {
    batch_in(jar).stays.push_back({record.at, jar, place});
  }

  void operator()(const Start& start) const {
    if (book.in_jar(start.jar) != nullptr) end(start.jar, Ending::finished);
    const std::size_t index = book.batches_.size();
    book.contents_[start.jar] = index;
    book.by_number_[record.number] = index;
    book.with_grains_[*start.culture].insert(index);
    mark_changed(record.number);
    book.batches_.push_back(Batch{record.number,
                                  record.at,
                                  start,
                                  {{record.at, start.jar, *start.place}},
                                  {},
                                  *start.lid,
                                  record.at,
                                  std::nullopt,
                                  {},
                                  false,
                                  std::nullopt});
    Grains& fed = grains(*start.culture);
    fed.start(told(), *start.grain_g, book.in_jars_g(*start.culture));
    Batch& batch = batch_in(start.jar);
    batch.after_rest = fed.after_rest();
    JarCare& care = book.care_[start.jar];
    batch.fullest_yet = *start.milk_ml > care.fullest_ml;
    care.start(*start.milk_ml);
  }

  void operator()(const SignSeen& seen) const {
    batch_in(seen.jar).observations.push_back({record.at, seen.sign});
  }
  void operator()(const PhMeasured& measured) const {
    batch_in(measured.jar).observations.push_back({record.at, measured.ph});
  }
  void operator()(const Move& move) const { stands_at(move.jar, move.place); }

  void operator()(const LidPut& lid) const {
    Batch& batch = batch_in(lid.jar);
    batch.lid = lid.lid;
    batch.lid_since = record.at;
  }

  void operator()(const Strain& strain) const {
    Batch& batch = batch_in(strain.jar);
    grains_are_out(batch);
    batch.strained = Strained{record.number, record.at, strain};
    const CultureId& culture = *batch.start.culture;
    grains(culture).strain(told(), *batch.start.grain_g, hours_between(batch.started, record.at),
                           strain.grain_g, book.in_jars_g(culture));
    book.care_[strain.jar].strain(told());
    batch.lid = strain.lid.value_or(batch.lid);
    batch.lid_since = record.at;
    if (!strain.into || *strain.into == strain.jar) return;
    book.care_[strain.jar].poured = {record.at, *strain.into};
    if (book.in_jar(*strain.into) != nullptr) return mix(strain, batch);
    const std::size_t index = book.contents_.at(strain.jar);
    book.contents_.erase(strain.jar);
    book.contents_[*strain.into] = index;
    book.care_[strain.jar].last_end.reset();  // it went on, elsewhere
    stands_at(*strain.into, batch.place());
  }

  // The older kefir's batch goes on with both, and with its dates.
  void mix(const Strain& strain, const Batch& younger) const {
    end(strain.jar, Ending::mixed);
    Batch& older = batch_in(*strain.into);
    older.mixed.push_back({record.at, younger.number, *younger.start.milk_ml});
    older.out_for_mixing = older.in_fridge;
    older.lid = strain.lid.value_or(older.lid);
    older.lid_since = record.at;
  }

  void operator()(const StoreAway& store) const {
    Batch& batch = batch_in(store.jar);
    batch.stored.push_back({record.number, record.at, store.jar});
    batch.in_fridge = true;
    batch.out_for_mixing = false;
    stands_at(store.jar, *store.place);
  }

  void operator()(const Take& take) const {
    Batch& batch = batch_in(take.jar);
    batch.in_fridge = false;
    batch.lid_since = record.at;  // taken out to be opened
    stands_at(take.jar, *take.place);
  }

  void operator()(const Finish& finish) const { end(finish.jar, Ending::finished); }
  void operator()(const Discard& discard) const {
    const Batch& batch = batch_in(discard.jar);
    const bool had_grains = batch.fermenting();
    const CultureId culture = *batch.start.culture;
    const double went_in_g = *batch.start.grain_g;
    end(discard.jar, Ending::discarded);
    if (had_grains) grains(culture).batch_discarded(told(), went_in_g, book.in_jars_g(culture));
  }
  void operator()(const Weigh& weigh) const {
    const double elsewhere_g = weigh.out_of_jars ? book.in_jars_g(weigh.culture) : 0.0;
    grains(weigh.culture).weigh(told(), weigh.grain_g + elsewhere_g);
  }
  void operator()(const Rest& rest) const { grains(rest.culture).rest(told(), *rest.place); }
  void operator()(const Wake& wake) const { grains(wake.culture).wake(told()); }
  void operator()(const Inspect& said) const {
    const Batch* batch = said.jar ? book.in_jar(*said.jar) : nullptr;
    const bool of_kefir = batch != nullptr && batch->strained;
    if (!of_kefir) grains(*said.culture).inspect(told(), said);
  }
  void operator()(const Spare& spare) const { grains(spare.culture).spare(told(), spare); }
  void operator()(const Split& split) const {
    grains(split.culture).give_to(told(), split.grain_g);
    grains(split.into)
        .take_from(told(), split.culture, split.grain_g, grains(split.culture).suspected());
  }
  void operator()(const Wash& wash) const { book.care_[wash.jar].wash(); }
  void operator()(const Retract&) const {}  // the ledger folds again without the other fact
};

void JarBook::apply(const FactRecord& record) {
  changed_.clear();
  std::visit(Taking{*this, record}, record.fact);
  for (const std::uint64_t number : suspicions_.apply(record, *this)) {
    std::erase(changed_, number);
    changed_.push_back(number);
  }
}

}  // namespace wheymark
