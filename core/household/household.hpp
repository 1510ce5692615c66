// The household's whole state, and the one way in which it changes.
//
// Events in, state and events out: `decide` says what a saying or a reading amounts to and changes
// nothing; whoever keeps the journal makes it durable; `apply` takes it in and cannot fail. `due`
// says what must be announced by an instant; an announcement is an entry of the journal too, so
// nobody is told twice. The same entries in the same order make the same state to the bit.
#pragma once

#include <map>
#include <memory>
#include <set>
#include <string>
#include <tuple>
#include <unordered_map>
#include <variant>
#include <vector>

#include "core/air/excursion.hpp"
#include "core/air/place_air.hpp"
#include "core/air/temperature_history.hpp"
#include "core/air/thermometer.hpp"
#include "core/announce/announcement.hpp"
#include "core/announce/occurrences.hpp"
#include "core/basis/agenda.hpp"
#include "core/basis/result.hpp"
#include "core/household/changed_subjects.hpp"
#include "core/household/subject.hpp"
#include "core/jar/ageing.hpp"
#include "core/jar/ferment.hpp"
#include "core/jar/lid_watch.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/pace/culture_learning.hpp"
#include "core/record/entry.hpp"
#include "core/record/ledger.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

class Household {
 public:
  Household(HouseholdSetup setup, const Parameters& parameters);
  Household(const Household&) = delete;
  Household& operator=(const Household&) = delete;

  // What this amounts to: a record to keep, or the record that was kept when the same ref was said
  // before, or why not.
  struct Accepted {
    FactRecord record;
    bool reported_before;
  };
  [[nodiscard]] Result<Accepted> decide(const Report& said, Instant now) const;

  // A reading of a planned place's thermometer to keep, or a doubt to keep, or why it is of no use
  // (older than the last, too close to it, of an impossible time).
  [[nodiscard]] Result<Entry> decide(const PlaceId& place, Celsius air, Instant at,
                                     Instant now) const;

  // What must be said by now and has not been, in the order in which it became true.
  [[nodiscard]] std::vector<Announcement> due(Instant now);
  // From when on we hear the thermometers: before that, nobody could know of their silence.
  void listen_from(Instant instant);
  [[nodiscard]] Instant listening_since() const { return listening_since_; }
  // A thermometer has just said something of use, whenever that was measured: it is not silent.
  void hear(const PlaceId& place, Instant now);
  // As time goes by without a good reading, forecasts that rest on the last one widen. Of no effect
  // on what the journal makes: with the same entries and the same `now` it is the same.
  void weigh_thermometers(Instant now);
  void weigh_all_thermometers(Instant now);
  // The clock was wrong and has gone back to this: what was heard later was heard just now. Entries
  // say themselves when they were kept after that; see take(ReadingTaken).
  void clock_went_back(Instant now);

  // When `due` will next have something to say if nothing else comes in; nothing: never.
  [[nodiscard]] std::optional<Instant> next_due();
  // What may stand otherwise since this was last asked, apart from what time alone moves.
  // Good until the next time.
  [[nodiscard]] const std::vector<Subject>& changed();
  // As if everything had changed: what is due is found anew.
  void look_at_everything_again();

  void apply(const Entry& entry);
  // While a journal is read nobody asks what lies ahead, which is half of the work: forecasts are
  // made once, at its end. And readings wait until something else than a reading comes, since
  // batches that are followed along many at once come to the same.
  void begin_restoring() { restoring_ = true; }
  void end_restoring();

  // Whether an old reading must be kept because of what it began: ids of things that go on are made
  // of it (a silence, a sticking, a spell of warmth), and must not change when it is read again.
  [[nodiscard]] bool something_rests_on(const PlaceId& place, Instant at) const;

  [[nodiscard]] const HouseholdSetup& setup() const { return setup_; }
  [[nodiscard]] const Parameters& parameters() const { return parameters_; }
  [[nodiscard]] const RateTable& rates() const { return tables_.rates(); }
  [[nodiscard]] const JarBook& book() const { return ledger_.book(); }
  // The computation of a batch that has not ended, or null.
  [[nodiscard]] const Ferment* ferment(const Batch& batch) const;
  // The condition of a batch at an instant; nothing while its air is not known.
  [[nodiscard]] std::optional<Condition> condition(const Batch& batch, Instant now) const;
  // What was reported of it and what each report changed; none of a batch that has ended.
  [[nodiscard]] std::vector<WeighedReport> reports_weighed(const Batch& batch) const {
    const Ferment* computed = ferment(batch);
    return computed == nullptr ? std::vector<WeighedReport>{} : computed->weighed(batch, air_of());
  }
  // How a stored batch ages, or null; and how old it is by that (see Ageing).
  [[nodiscard]] const Ageing* ageing(const Batch& batch) const;
  [[nodiscard]] double effective_age_h(const Batch& stored, Instant now) const;
  // The lid of a batch under a tight one, or null; and the pressure there, kPa, roughly.
  [[nodiscard]] const LidWatch* lid_watch(const Batch& batch) const;
  [[nodiscard]] std::optional<double> pressure_kpa(const Batch& batch, Instant now) const;
  // What the jars of a planned culture take of grains; see wanted_grains_g.
  [[nodiscard]] double wanted_grain_g(const CultureId& culture) const;
  // How fast a culture is believed to be, after its last batch that showed something.
  [[nodiscard]] PaceBelief pace_of(const CultureId& culture) const;
  // How fast its next batch, begun at `at`, is believed to be; slower after a rest.
  [[nodiscard]] PaceBelief pace_of_next_batch(const CultureId& culture, Instant at) const;
  [[nodiscard]] const Thermometer& thermometer(const PlaceId& place) const;
  // The numbers of the batches that have not ended and stand there or have stood there.
  [[nodiscard]] const std::set<std::uint64_t>& have_stood_at(const PlaceId& place) const;
  // How far the air of a place may be off for doubt in its thermometer, as last weighed, K.
  [[nodiscard]] double doubt_k(const PlaceId& place) const;
  // What is known of a place's air; null for a place that is not planned.
  [[nodiscard]] const TemperatureHistory* air(const PlaceId& place) const;
  // The same with what was learned of its days; null for a place that is not planned.
  [[nodiscard]] const PlaceAir* place_air(const PlaceId& place) const { return air_of()(place); }
  // How many batches of a culture have shown something of its pace.
  [[nodiscard]] std::size_t batches_learned_from(const CultureId& culture) const;
  // What a planned place's air has been for too long: above is for a fridge or a room, below for a
  // room.
  [[nodiscard]] const Excursion& too_warm(const PlaceId& place) const;
  [[nodiscard]] const Excursion& too_cold(const PlaceId& place) const;
  [[nodiscard]] bool was_announced(const std::string& id) const { return said_.contains(id); }

 private:
  struct PlaceState {
    Thermometer thermometer;
    PlaceAir air;
    Instant forgot_air_at{};
    bool was_spoken_of = true;  // since its last reading; then that one may end what was said

    // What may make a word about it due earlier than was known. Another reading as good as the last
    // only puts off its silence.
    [[nodiscard]] auto news() const {
      return std::make_tuple(thermometer.doubted_since(), thermometer.stuck_since(),
                             air.too_warm().since(), air.too_cold().since());
    }
  };

  // A culture's pace that has changed.
  struct Changed {
    CultureId culture;
    PaceChange change;
  };
  // A moment that has not been said, and of what.
  using About =
      std::variant<const Batch*, const PlaceSetup*, const CultureSetup*, const JarSetup*, Changed>;
  struct Saying {
    Occurrence occurrence;
    About about;
  };
  // What there is to say of it. Without warnings of what has come by `overtaken_at`.
  [[nodiscard]] std::vector<Saying> unsaid(const Subject& subject, Instant overtaken_at) const;
  // It may stand otherwise now, and there may be something to say of it.
  void mark_changed(const Subject& subject);
  void mark_changed(const Batch& batch);
  // Everything that a fact names, and the batches that it changed.
  void mark_changed(const FactRecord& record);
  void bring_agenda_up_to_date();

  void take(const ReadingTaken& taken);
  void take(const ReadingDoubted& doubted);
  void take(const FactRecord& record);
  void take(const Announced& announced);
  // That it was strained or stored may be told when the glass is empty: it is announced all the
  // same.
  void remember_if_told_after_the_end(std::uint64_t fact);
  // Brings the computation of a batch that has not ended up to what is known.
  void follow(const Batch& batch);
  void follow_those_at(const PlaceId& place);
  void follow_what_waits();
  // The same for what comes after the peak: its ageing and its lid.
  void follow_after_peak(const Batch& batch);
  void forget_what_has_ended();
  void forget_if_ended(std::uint64_t batch);
  void follow_all_that_changed_since(const std::vector<Batch>& before);
  void look_ahead(const Batch& batch);
  // What was computed with the air of `instant` and later is computed anew, without it.
  void follow_again_from(Instant instant);
  // Takes what a batch has shown into its culture's belief, and tells the culture's other batches.
  void learn_from(const Batch& batch, const Ferment& ferment);
  CultureLearning& learning(const CultureId& culture);
  // What is believed of a batch's pace before it has said anything.
  [[nodiscard]] BeliefAsked belief_of(const Batch& batch);
  [[nodiscard]] static bool is_time_to_forget_air(const PlaceState& place, Instant now);
  void forget_past_air(PlaceState& place, Instant now);
  // The air before it is needed by nobody any more.
  Instant air_needed_since(Instant now);
  [[nodiscard]] AirOf air_of() const;

  HouseholdSetup setup_;
  std::unordered_map<CultureId, double> wanted_grains_g_;
  Parameters parameters_;
  BrewTables tables_;
  Ledger ledger_;
  std::unordered_map<PlaceId, PlaceState> places_;
  Agenda<PlaceId> doubts_;           // whose thermometer must be weighed, and when
  std::set<std::uint64_t> running_;  // the numbers of the batches that have not ended
  bool restoring_ = false;
  std::set<PlaceId> not_followed_;             // whose readings wait for follow_what_waits
  std::map<std::uint64_t, Ferment> ferments_;  // by the batch's number, as the next two
  std::map<std::uint64_t, Ageing> ageings_;
  std::map<std::uint64_t, LidWatch> lids_;
  CulturePace unknown_;  // of a culture that has shown nothing
  std::map<CultureId, CultureLearning> learning_;
  std::set<std::uint64_t> taught_;  // batches whose lesson was taken in
  Instant air_known_since_ = Instant::min();
  Instant air_needed_since_ = Instant::min();
  Instant asked_of_air_at_{};
  std::set<std::string> said_;                  // ids of announcements
  std::set<std::uint64_t> told_after_the_end_;  // batches, by number
  Agenda<Subject> agenda_;                      // when there will be something to say of whom
  ChangedSubjects not_on_agenda_;               // whose next saying must be found again
  ChangedSubjects changed_;
  std::map<std::string, Subject> about_to_be_said_;  // by the announcement's id
  // The batches that have not ended, by each place where they have stood.
  std::map<PlaceId, std::set<std::uint64_t>> stood_at_;
  Instant listening_since_{};
};

}  // namespace wheymark
