// What has been done with the grains of one culture: how much there is, whether they rest, what was
// seen of them.
//
// Bookkeeping of what people reported, filled in between two weighings by growth from batch to
// batch. Grains in a jar count as the mass that went in until they come out. A weighing overrules
// the bookkeeping.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/basis/units.hpp"
#include "core/pace/rested_pace.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

// A mass of which perhaps only the change is known: before the first weighing it rests on what the
// setup says.
struct GrainMass {
  std::optional<double> weighed_g;
  double least_g = 0.0;  // what went into jars: it is at least this
  double added_g = 0.0;  // since

  [[nodiscard]] double grams(double setup_g) const;
  void is(double weighed) { *this = {weighed, 0.0, 0.0}; }
  friend bool operator==(const GrainMass&, const GrainMass&) = default;
};

// The mass from this instant on, by this fact.
struct MassPoint {
  Instant at;
  std::uint64_t fact;
  GrainMass mass;
  double moved_g;  // joined the culture since its beginning, less what was taken away
};

// From the least to the most that is believed, and what should be there.
struct MassSpread {
  double least_g;
  double there_g;
  double most_g;
  [[nodiscard]] bool holds(double grain_g) const { return grain_g >= least_g && grain_g <= most_g; }
};

// So wide where nobody weighed what should be there: beyond it, the unit is another, or a point has
// slipped.
MassSpread believable_unweighed(double there_g);

// A fact with its instant, for later reference.
struct FactRef {
  std::uint64_t fact;
  Instant at;
};

class Grains {
 public:
  struct Resting {
    FactRef since;
    FactRef fed;  // the last change of milk
    PlaceId place;
  };
  struct Inspected {
    FactRef told;
    Inspect said;
  };
  // They came back from a rest.
  struct Woken {
    Instant at;
    Instant rested_since;
  };
  struct Parent {
    CultureId culture;
    Instant since;
  };

  // `went_in_g` into one jar; `in_jars_g`: into all of them so far.
  void start(const FactRef& told, double went_in_g, double in_jars_g);
  // `in_other_jars_g`: what is still in milk elsewhere.
  void strain(const FactRef& told, double went_in_g, double hours, std::optional<double> came_out_g,
              double in_other_jars_g);
  // A batch was given up. Suspect grains were thrown away with it; whether others were, nobody has
  // reported.
  void batch_discarded(const FactRef& told, double went_in_g, double in_other_jars_g);
  void weigh(const FactRef& told, double grain_g);
  void spare(const FactRef& told, const Spare& spare);
  void give_to(const FactRef& told, double grain_g);
  // From another culture: the first grains of all, or more of them. Suspect ones make all suspect.
  void take_from(const FactRef& told, const CultureId& parent, double grain_g,
                 const std::optional<Inspected>& suspected);
  void rest(const FactRef& told, const PlaceId& place);
  void wake(const FactRef& told);
  void inspect(const FactRef& told, const Inspect& said);

  // Of all grains, in jars and out of them; `setup_g` is what the setup says of the culture.
  [[nodiscard]] double grams(double setup_g) const { return mass_.grams(setup_g); }
  // As it stood after every fact that changed it, in the order of time.
  [[nodiscard]] const std::vector<MassPoint>& masses() const { return masses_; }
  [[nodiscard]] std::optional<double> last_weighed_g() const { return last_weighed_g_; }
  // Between which masses a weighing of all of them is believed at once, now that there should be
  // `there_g`: as far apart as growth half or twice as fast, and a scale with wet grains on it,
  // make it; wide while nobody has weighed them. Anything goes with nothing.
  [[nodiscard]] MassSpread believable(double there_g) const;

  // What these grains gain in a batch of a day: the published figure, drawn towards the weighings.
  [[nodiscard]] double growth_per_batch() const;
  // What so many grains weigh after so many hours in milk.
  [[nodiscard]] double grown_g(double grain_g, double hours) const;
  // Days until they have doubled, if they go on being fed as recently (daily, until two batches are
  // known); infinity when they do not grow. A rest does not count.
  [[nodiscard]] double doubling_d(double setup_g) const;

  [[nodiscard]] const std::optional<Resting>& resting() const { return resting_; }
  // While the last rest still shows: not after a night in the fridge, nor from the fourth batch on.
  [[nodiscard]] std::optional<AfterRest> after_rest() const {
    return after_rest_of(batches_since_waking_);
  }
  // The same for the batch that will be started next.
  [[nodiscard]] std::optional<AfterRest> next_after_rest() const {
    return after_rest_of(batches_since_waking_ + 1);
  }
  [[nodiscard]] const std::optional<Inspected>& inspected() const { return inspected_; }
  // Something was seen or smelt that is a reason to discard, and they were not thrown away since.
  // Looking well later does not clear them.
  [[nodiscard]] const std::optional<Inspected>& suspected() const { return suspected_; }
  // When somebody last saw that they look as they should.
  [[nodiscard]] const std::optional<Instant>& last_good_look() const { return last_good_look_; }
  // Those that had the name before were thrown away, or given away, then.
  [[nodiscard]] Instant here_since() const { return here_since_; }
  // They came out of milk and have had none since.
  [[nodiscard]] const std::optional<FactRef>& out_of_milk() const { return out_of_milk_; }
  [[nodiscard]] const std::optional<Parent>& parent() const { return parent_; }

 private:
  [[nodiscard]] std::optional<AfterRest> after_rest_of(int batch) const;
  // What went into one jar, and what mass there was then.
  struct Fed {
    Instant at;
    double grain_g;
    GrainMass of;
  };
  [[nodiscard]] double shares_fed_per_day(double setup_g) const;
  [[nodiscard]] double kept_back(double went_in_g, double hours, double came_out_g,
                                 double in_other_jars_g) const;
  // Whatever comes next under this name are other grains.
  void are_gone(const FactRef& told);
  void note_mass(const FactRef& told) {
    masses_.push_back({told.at, told.fact, mass_, all_moved_g_});
  }
  void learn_growth(double gain_g, double exposed_g, double batches);

  GrainMass mass_;
  std::vector<MassPoint> masses_;
  std::optional<double> last_weighed_g_;
  // Since the last weighing of all grains: grams times batches in milk, and batches.
  double exposed_g_ = 0.0;
  double batches_ = 0.0;
  double moved_g_ = 0.0;  // spared or split off since, negative; joined, positive
  double all_moved_g_ = 0.0;
  // Weighted sum of observed growth, and its weight in batches.
  double growth_sum_ = 0.0;
  double growth_weight_ = 0.0;

  std::vector<Fed> starts_;
  std::optional<Resting> resting_;
  std::optional<Woken> woken_;
  int batches_since_waking_ = 0;
  std::optional<Inspected> inspected_;
  std::optional<Inspected> suspected_;
  std::optional<Instant> last_good_look_;
  Instant here_since_ = Instant::min();
  std::optional<FactRef> out_of_milk_;
  std::optional<Parent> parent_;
};

// A colour that grains and kefir never have.
bool is_unusual(GrainColour colour);
// Whether it is a reason to discard: such a colour, rot, or mould.
bool must_be_discarded(const Inspect& said);
// Somebody looked, and it was well: a usual colour, or no mould. A smell alone is no look.
bool is_good_look(const Inspect& said);
// Not bad, but worth a change: strongly yeasty or strongly sour.
bool is_unbalanced(const Inspect& said);

}  // namespace wheymark
