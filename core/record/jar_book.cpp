#include "core/record/jar_book.hpp"

#include <algorithm>

#include "core/basis/check.hpp"

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
    batch_in(measured.jar)
        .observations.push_back({record.at, measured.ph, measured.error.value_or(ph_error_usual)});
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
    batch.in_second = false;
    batch.out_for_mixing = false;
    stands_at(store.jar, *store.place);
  }

  void operator()(const Take& take) const {
    Batch& batch = batch_in(take.jar);
    batch.in_fridge = false;
    batch.lid_since = record.at;  // taken out to be opened
    stands_at(take.jar, *take.place);
  }

  void operator()(const SecondBegun& second) const {
    Batch& batch = batch_in(second.jar);
    batch.sweetened.push_back({record.number, record.at, second.sugar_g});
    batch.in_second = true;
    batch.lid = second.lid.value_or(Lid::tight);
    batch.lid_since = record.at;  // it was open
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
