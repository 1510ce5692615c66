#include "core/record/jar_book.hpp"

#include <algorithm>

#include "core/basis/check.hpp"
#include "core/record/amounts.hpp"

namespace wheymark {

const Batch* JarBook::in_jar(const JarId& jar) const {
  const auto found = contents_.find(jar);
  return found == contents_.end() ? nullptr : &batches_[found->second];
}

const Batch* JarBook::without_bottle(const JarId& jar) const {
  const auto found = without_bottle_.find(jar);
  return found == without_bottle_.end() ? nullptr : &batches_[found->second];
}

const Batch* JarBook::kefir_of(const JarId& jar) const {
  const Batch* held = in_jar(jar);
  return held != nullptr && held->strained ? held : without_bottle(jar);
}

const Batch* JarBook::went_on(const JarId& jar) const {
  const auto& poured = care(jar).poured;
  const Batch* there = poured ? in_jar(poured->into) : nullptr;
  return there != nullptr && there->start.jar == jar ? there : nullptr;
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

const std::vector<UsualBatch>& JarBook::usual(const CultureId& culture) const {
  static const std::vector<UsualBatch> none;
  const auto found = usual_.find(culture);
  return found == usual_.end() ? none : found->second;
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

  [[nodiscard]] Batch& changed(const Batch* batch) const {
    check(batch != nullptr, "a fact about a jar's contents was allowed");
    mark_changed(batch->number);
    return book.batches_[book.by_number_.at(batch->number)];
  }
  [[nodiscard]] Batch& batch_in(const JarId& jar) const { return changed(book.in_jar(jar)); }
  // What was said of a jar that had been emptied is said of what had come out of it.
  [[nodiscard]] Batch& meant_by(const JarId& jar) const {
    return book.in_jar(jar) != nullptr ? batch_in(jar) : changed(book.went_on(jar));
  }

  void mark_changed(std::uint64_t number) const {
    std::erase(book.changed_, number);
    book.changed_.push_back(number);
  }

  void grains_are_out(const Batch& batch) const {
    book.with_grains_[*batch.start.culture].erase(book.by_number_.at(batch.number));
  }

  void end(Batch& batch, Ending how) const {
    if (batch.fermenting()) grains_are_out(batch);
    batch.ended = Ended{record.at, how};
    if (batch.without_bottle) {
      book.without_bottle_.erase(batch.jar());
    } else {
      book.care_[batch.jar()].last_end = batch.ended;
      book.contents_.erase(batch.jar());
    }
  }

  [[nodiscard]] FactRef told() const { return {record.number, record.at}; }
  [[nodiscard]] Grains& grains(const CultureId& culture) const { return book.grains_[culture]; }

  void stands_at(Batch& batch, const JarId& jar, const PlaceId& place) const {
    batch.stays.push_back({record.at, jar, place});
  }

  // Its kefir is somewhere, until more comes out of the same jar.
  void set_aside(const JarId& jar) const {
    Batch& kefir = batch_in(jar);
    if (kefir.ml_now() <= last_drops_ml) return end(kefir, Ending::finished);
    if (const Batch* before = book.without_bottle(jar)) end(changed(before), Ending::untold);
    kefir.without_bottle = true;
    book.without_bottle_[jar] = book.contents_.at(jar);
    book.contents_.erase(jar);
  }

  void operator()(const Start& start) const {
    const Batch* held = book.in_jar(start.jar);
    if (held != nullptr && held->fermenting()) (*this)(Strain{start.jar, {}, {}, {}});
    if (held != nullptr) set_aside(start.jar);
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
    meant_by(seen.jar).observations.push_back(
        {record.at, seen.sign, 0.0, record.told_at, record.not_before});
  }
  void operator()(const PhMeasured& measured) const {
    meant_by(measured.jar)
        .observations.push_back({record.at, measured.ph, measured.error.value_or(ph_error_usual),
                                 record.told_at, record.not_before});
  }
  void operator()(const Move& move) const {
    Batch& batch = meant_by(move.jar);
    stands_at(batch, batch.jar(), move.place);
  }

  void operator()(const LidPut& lid) const {
    Batch& batch = meant_by(lid.jar);
    batch.lid = lid.lid;
    batch.lid_since = record.at;
  }

  void operator()(const Strain& strain) const {
    Batch& batch = batch_in(strain.jar);
    grains_are_out(batch);
    batch.strained = Strained{record.number, record.at, strain, record.not_before};
    batch.strained_ml = strain.ml.value_or(*batch.start.milk_ml);
    const CultureId& culture = *batch.start.culture;
    grains(culture).strain(told(), *batch.start.grain_g, hours_between(batch.started, record.at),
                           strain.grain_g, book.in_jars_g(culture));
    book.care_[strain.jar].strain(told());
    batch.lid = strain.lid.value_or(batch.lid);
    batch.lid_since = record.at;
    go_into(strain.into, batch);
  }

  // Kefir is distributed. Onto older kefir it is mixed; in the first of the other bottles its batch
  // goes on, and each further one holds a share of it, as does the jar when something is left.
  void go_into(const std::vector<Portion>& into, Batch& source) const {
    const Batch all = source;
    const JarId& from = all.jar();
    const std::size_t index = book.by_number_.at(all.number);
    double left_ml = all.ml_now();
    std::vector<Portion> onto_older;
    std::vector<Portion> apart;
    for (const Portion& portion : into) {
      const double ml = std::min(portion.ml.value_or(left_ml), left_ml);
      if (portion.jar == from || ml <= 0.0) continue;
      left_ml -= ml;
      const Portion goes{portion.jar, ml, portion.lid ? portion.lid : all.strained->said.lid};
      (book.in_jar(portion.jar) != nullptr ? onto_older : apart).push_back(goes);
    }
    const bool all_stays = apart.empty() && onto_older.empty();
    if (!all_stays && !all.without_bottle) {
      book.care_[from].poured = {record.at, (apart.empty() ? onto_older : apart).front().jar};
    }
    if (all_stays || left_ml > last_drops_ml) apart.push_back({from, left_ml});
    if (apart.empty()) end(source, Ending::mixed);
    for (const Portion& portion : onto_older) mix(portion, all.number);
    if (apart.empty()) return;
    if (all.without_bottle) {
      book.without_bottle_.erase(from);
    } else {
      book.contents_.erase(from);
      book.care_[from].last_end.reset();  // it went on, elsewhere
    }
    for (std::size_t i = 0; i < apart.size(); ++i) {
      if (i > 0) add_share(all, i);
      put_into(apart[i], i > 0 ? book.batches_.size() - 1 : index);
    }
  }

  void add_share(const Batch& of, std::size_t bottle) const {
    Batch share = of;
    share.number = share_number(record.number, bottle);
    share.share_of = of.origin();
    share.strained_ml = of.ml_now();
    share.mixed.clear();
    share.poured.clear();
    book.by_number_[share.number] = book.batches_.size();
    book.batches_.push_back(std::move(share));
  }

  void put_into(const Portion& portion, std::size_t index) const {
    Batch& batch = book.batches_[index];
    for (Sweetened& sugar : batch.sweetened) sugar.sugar_g *= *portion.ml / batch.ml_now();
    batch.strained_ml += *portion.ml - batch.ml_now();
    batch.lid = portion.lid.value_or(batch.lid);
    mark_changed(batch.number);
    const bool has_left = batch.jar() != portion.jar;
    if (has_left) stands_at(batch, portion.jar, batch.place());
    batch.without_bottle = batch.without_bottle && !has_left;
    (batch.without_bottle ? book.without_bottle_ : book.contents_)[portion.jar] = index;
  }

  // The older kefir's batch goes on with both, and with its dates.
  void mix(const Portion& portion, std::uint64_t younger) const {
    Batch& older = batch_in(portion.jar);
    older.mixed.push_back({record.at, younger, *portion.ml});
    older.out_for_mixing = older.in_fridge;
    older.lid = portion.lid.value_or(older.lid);
    older.lid_since = record.at;
  }

  // The last pour ends it. It is opened for that.
  void operator()(const Pour& pour) const {
    Batch& batch = changed(book.kefir_of(pour.jar));
    const double ml = std::min(*pour.ml, batch.ml_now());
    batch.poured.push_back({record.number, record.at, ml});
    batch.lid_since = record.at;
    if (batch.ml_now() <= last_drops_ml) end(batch, Ending::finished);
  }

  void operator()(const StoreAway& store) const {
    if (store.from) {
      Batch& kefir = changed(book.kefir_of(*store.from));
      kefir.lid_since = record.at;
      go_into({{store.jar, store.ml, store.lid}}, kefir);
    }
    Batch& batch = meant_by(store.jar);
    stands_at(batch, batch.jar(), *store.place);
    if (batch.fermenting()) return;
    batch.stored.push_back({record.number, record.at, batch.jar(), record.told_at});
    batch.in_fridge = true;
    batch.in_second = false;
    batch.out_for_mixing = false;
  }

  void operator()(const Take& take) const {
    Batch& batch = meant_by(take.jar);
    batch.in_fridge = false;
    if (!batch.fermenting()) batch.lid_since = record.at;  // taken out to be opened
    stands_at(batch, batch.jar(), *take.place);
  }

  void operator()(const SecondBegun& second) const {
    Batch& batch = batch_in(second.jar);
    batch.sweetened.push_back({record.number, record.at, second.sugar_g});
    batch.in_second = true;
    batch.lid = second.lid.value_or(Lid::tight);
    batch.lid_since = record.at;  // it was open
  }

  void operator()(const Finish& finish) const {
    end(changed(book.kefir_of(finish.jar)), Ending::finished);
  }
  void operator()(const Discard& discard) const {
    Batch& batch = meant_by(discard.jar);
    const bool had_grains = batch.fermenting();
    const CultureId culture = *batch.start.culture;
    const double went_in_g = *batch.start.grain_g;
    end(batch, Ending::discarded);
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
  // The ledger folds again without the other fact.
  void operator()(const Retract&) const {}
  void operator()(const Undo&) const {}
  // It has ended long ago, so no jar holds it, and its grains were weighed since or never.
  void operator()(const Remembered& past) const {
    const Start& start = past.start;
    const Strain out{start.jar, {}, past.verdict, past.grain_out_g};
    Batch batch{.number = record.number,
                .started = past.started,
                .start = start,
                .stays = {{past.started, start.jar, *start.place}},
                .observations = {},
                .lid = *start.lid,
                .lid_since = past.started,
                .strained = Strained{record.number, past.strained, out},
                .stored = {},
                .ended = Ended{past.strained, Ending::untold},
                .remembered = true,
                .room_c = past.room_c};
    if (past.peak) {
      batch.observations.push_back({*past.peak, Sign::whey_pockets, 0.0, record.told_at});
    }
    book.by_number_.emplace(record.number, book.batches_.size());
    book.changed_.push_back(record.number);
    book.batches_.push_back(std::move(batch));
  }
  void operator()(const Usual& told) const {
    std::vector<UsualBatch>& known = book.usual_[told.culture];
    known.insert(known.end(), told.usual.begin(), told.usual.end());
  }
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
