// The household's whole state, and the one way in which it changes.
//
// Events in, state and events out: `decide` works out what a report or a reading amounts to and
// changes nothing; whoever keeps the journal makes it durable; `apply` takes it in and cannot fail.
// The same entries in the same order make the same state, bit for bit. The Announcer reads this
// state and decides what to announce.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <unordered_map>
#include <vector>

#include "core/air/places.hpp"
#include "core/basis/result.hpp"
#include "core/household/changed_subjects.hpp"
#include "core/household/learned_paces.hpp"
#include "core/household/subject.hpp"
#include "core/household/usual_batches.hpp"
#include "core/jar/left_out.hpp"
#include "core/jar/running_batch.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/entry.hpp"
#include "core/record/ledger.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

class Household {
 public:
  Household(HouseholdSetup setup, const Parameters& parameters);
  ~Household() = default;
  Household(const Household&) = delete;
  Household& operator=(const Household&) = delete;

  // What this report amounts to: a record to keep, or the record that was kept when the same ref
  // was reported before, or why not.
  struct Accepted {
    FactRecord record;
    bool reported_before;
    std::string understood =
        {};  // what it was taken as, where that was not said; see understood.hpp
  };
  [[nodiscard]] Result<Accepted> decide(const Report& report, Instant now) const;
  // A reading to keep, or a doubt to keep, or why it is of no use; see Places::decide.
  [[nodiscard]] Result<Entry> decide(const PlaceId& place, Celsius air, Instant at, Instant now,
                                     double doubt_k = 0.0) const {
    return places_.decide(place, air, at, now, doubt_k);
  }

  void apply(const Entry& entry);
  // While the journal is read no forecast is needed, which is half of the work: forecasts are made
  // once, at its end. Readings wait until another kind of entry comes, because following a batch
  // along many at once gives the same result.
  void begin_restoring() { restoring_ = true; }
  void end_restoring();

  // A thermometer has just sent something of use, whenever it was measured: it is not silent.
  void hear(const PlaceId& place, Instant now);
  // It has just sent something else: see Places.
  void hear_nonsense(const PlaceId& place, const std::string& what, Instant now);
  void hear_away(const PlaceId& place, const std::string& said);
  void are_at_odds(const PlaceId& place, const std::string& which);
  // When readings that came late, and wait for others, are folded into their places by
  // weigh_thermometers; nothing: there are none.
  [[nodiscard]] std::optional<Instant> folds_late_at() const { return folds_late_at_; }
  // Without a good reading, forecasts that rest on the last one widen with time. This does not
  // affect what the journal makes: the same entries and the same `now` give the same state.
  void weigh_thermometers(Instant now);
  void weigh_all_thermometers(Instant now);
  // The clock was wrong and has gone back to `now`: what was heard later counts as heard now.
  // Entries that were kept after that show it by their own times.
  void clock_went_back(Instant now);

  // What may have changed since these were last drained, apart from what time alone moves: of what
  // is shown, and of what there is to announce. Valid until the next call.
  [[nodiscard]] const std::vector<Subject>& drain_changed() { return changed_.drain(); }
  [[nodiscard]] const std::vector<Subject>& drain_news() { return news_.drain(); }
  // As if everything had changed.
  void mark_everything_changed();

  [[nodiscard]] const HouseholdSetup& setup() const { return setup_; }
  [[nodiscard]] const Parameters& parameters() const { return parameters_; }
  [[nodiscard]] const RateTable& rates() const { return tables_.rates(); }
  [[nodiscard]] const JarBook& book() const { return ledger_.book(); }
  // The fact that an accepted one takes back; null for any other kind of fact.
  [[nodiscard]] const FactRecord* taken_back_by(const Fact& fact) const {
    return ledger_.taken_back_by(fact);
  }
  // Whether a fact was reported with this ref, also if it was taken back since.
  [[nodiscard]] bool was_said(const std::string& ref) const {
    return ledger_.with_ref(ref) != nullptr;
  }
  // The jar book as it will be with a fact that was accepted.
  [[nodiscard]] JarBook book_with(const FactRecord& record) const {
    return ledger_.book_with(record);
  }
  [[nodiscard]] const Places& places() const { return places_; }
  [[nodiscard]] const LearnedPaces& paces() const { return paces_; }

  // How fast a culture's next batch, begun at `at`, is believed to be; slower after a rest.
  [[nodiscard]] PaceBelief pace_of_next_batch(const CultureId& culture, Instant at) const;

  // The computation of a batch that has not ended, or null.
  [[nodiscard]] const RunningBatch* running(const Batch& batch) const;
  [[nodiscard]] const Fermentation* fermentation(const Batch& batch) const;
  // The condition of a batch at an instant; nothing while its air is not known.
  [[nodiscard]] std::optional<Condition> condition(const Batch& batch, Instant now) const;
  // What was reported of it and what each report changed; empty for a batch that has ended.
  [[nodiscard]] std::vector<WeighedReport> reports_weighed(const Batch& batch) const;
  // Its age by now in hours at 4 degC; for a batch that was stored and has not ended.
  [[nodiscard]] double effective_age_h(const Batch& stored, Instant now) const;
  // Pressure of the gas under its lid, above the air's; nothing under a loose lid.
  [[nodiscard]] std::optional<double> pressure_kpa(const Batch& batch, Instant now,
                                                   Fizz fizz = Fizz::usual) const;
  // Since when strained kefir stands out of the fridge, and for how long it may.
  [[nodiscard]] std::optional<LeftOut> left_out(const Batch& batch) const;
  // The numbers of the batches that have not ended and stand there or have stood there.
  [[nodiscard]] const std::set<std::uint64_t>& have_stood_at(const PlaceId& place) const;
  // Numbers of the batches whose straining or storing was reported only after their end.
  [[nodiscard]] const std::set<std::uint64_t>& reported_after_the_end() const {
    return reported_after_the_end_;
  }
  // What people told of a culture's usual batches.
  [[nodiscard]] const UsualBatches& usual(const CultureId& culture) const;
  // The same with these, too, each once.
  [[nodiscard]] UsualBatches usual_with(const CultureId& culture,
                                        const std::vector<UsualBatch>& told) const;
  // What they show together; nothing while nothing was told.
  [[nodiscard]] std::optional<UsualTogether> shown_by_usual(const CultureId& culture,
                                                            const UsualBatches& usual) const;
  // The grains that the jars of a culture of the setup take; see wanted_grains_g.
  [[nodiscard]] double wanted_grain_g(const CultureId& culture) const;

 private:
  void apply_entry(const ReadingTaken& taken);
  void apply_entry(const ReadingDoubted& doubted);
  void apply_entry(const FactRecord& record);
  void apply_entry(const Announced& announced);
  void apply_entry(const Noticed& noticed);
  void note_told(const std::string& id, Instant at);

  void mark_changed(const Subject& subject);
  void mark_changed(const Batch& batch);
  // Marks everything that a fact names, and the batches that it changed.
  void mark_changed(const FactRecord& record);

  // Readings of the places where a batch has stood are followed from now on.
  void note_stays(const Batch& batch);
  // Brings the computation of a batch up to what is known, and learns from one that has ended.
  void follow(const Batch& batch);
  void follow_those_at(const PlaceId& place);
  void follow_what_waits();
  // Batches that were followed without readings that came late are followed anew, and what follows
  // from these of the air is concluded anew: once for all that came together.
  void fold_late_readings();
  void follow_all_that_changed_since(const std::vector<Batch>& before);
  // Computes anew, without it, what was computed with the air of `instant` and later.
  void follow_again_from(Instant instant);
  void look_ahead(const Batch& batch);
  // Updates the culture's other batches with what this one has shown.
  void learn_from(const Batch& batch, const Fermentation& fermentation);
  void forget_if_ended(std::uint64_t batch);
  void forget_what_has_ended();
  void remember_if_reported_after_the_end(std::uint64_t fact);
  // Learns from a batch of before.
  void remember(const Batch& batch);
  // Believes anew of the running batches of a culture.
  void believe_anew(const CultureId& culture);
  // What was told as usual of some culture may have changed with a fact, or its first batch begins.
  void weigh_usual(const Fact& fact);
  void weigh_usual(const CultureId& culture);
  // Whether a batch of before has ended by now, and its jar held nothing else that is known.
  [[nodiscard]] Outcome fits_in(const Remembered& past, Instant now) const;
  // A complete fact with the air of the place's own days, as far as they are known.
  [[nodiscard]] Result<Usual> with_own_days(Usual usual) const;
  // The mean of the latest days where a culture's batches usually stand, in half degrees.
  [[nodiscard]] std::optional<double> own_days_c(const CultureId& culture) const;
  // Nobody needs the air before this instant any more.
  Instant air_needed_since(Instant now);

  HouseholdSetup setup_;
  std::unordered_map<CultureId, double> wanted_grains_g_;
  Parameters parameters_;
  mutable BrewTables tables_;  // a cache
  Ledger ledger_;
  Places places_;
  LearnedPaces paces_;
  std::map<CultureId, UsualBatches> usual_;        // of which something was told
  std::map<std::uint64_t, RunningBatch> running_;  // by the batch's number
  // The batches that have not ended, by each place where they have stood.
  std::map<PlaceId, std::set<std::uint64_t>> stood_at_;
  bool restoring_ = false;
  std::set<PlaceId> not_followed_;   // whose readings wait for follow_what_waits
  std::map<PlaceId, Instant> late_;  // whose late readings wait to be folded, and the earliest
  std::optional<Instant> folds_late_at_;
  std::set<std::uint64_t> reported_after_the_end_;
  // When somebody was told that a batch may be ready, by its number.
  std::map<std::uint64_t, std::vector<Instant>> told_to_strain_;
  Instant air_known_since_ = Instant::min();
  Instant air_needed_since_ = Instant::min();
  Instant asked_of_air_at_{};
  ChangedSubjects changed_;
  ChangedSubjects news_;
};

}  // namespace wheymark
