#include "core/record/grains.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/kinetics/grain_growth.hpp"

namespace wheymark {
namespace {

// What grains gain in a day's batch by the published run. Bookkeeping knows hours, not clocks: a
// batch in a cold room counts as much as one at 25 degC, until somebody weighs.
double published_growth(double hours) {
  return grain_after_batch_g(1.0, hours, default_parameters()) - 1.0;
}

double published_growth_per_batch() {
  return published_growth(24.0);
}

// The published run counts as much as seven batches of the household's own (our estimate).
constexpr double published_batches = 7.0;
// Beyond this, other grains were weighed, or wetter ones (our estimate).
constexpr double growth_per_batch_min = -0.10;
constexpr double growth_per_batch_max = 0.25;

// Wet or well drained, with curd on them or without, the same grains weigh so much more or less.
constexpr double drained_fold = 1.5;
constexpr double contradicts_fold = 4.0;

// So few, against those in a jar, that are in no jar on paper are none.
constexpr double left_on_paper_share = 0.25;

}  // namespace

double GrainMass::grams(double setup_g) const {
  return std::max(0.0, std::max(weighed_g.value_or(setup_g), least_g) + added_g);
}

void Grains::start(const FactRef& told, double went_in_g, double in_jars_g) {
  if (in_jars_g > mass_.grams(0.0))
    mass_.least_g = std::max(mass_.least_g, in_jars_g - mass_.added_g);
  starts_.push_back({told.at, went_in_g, mass_});
  out_of_milk_.reset();
  if (resting_) wake(told);
  ++batches_since_waking_;
}

void Grains::strain(const FactRef& told, double went_in_g, double hours,
                    std::optional<double> came_out_g, double in_other_jars_g) {
  const double share = published_growth(hours) / published_growth_per_batch();
  if (came_out_g) {
    if (share > 0.5) learn_growth(*came_out_g - went_in_g, went_in_g * share, share);
    const double kept_back_g = kept_back(went_in_g, hours, *came_out_g, in_other_jars_g);
    mass_.is(*came_out_g + in_other_jars_g + kept_back_g);
    last_weighed_g_ = came_out_g;
    exposed_g_ = batches_ = moved_g_ = 0.0;
  } else {
    mass_.added_g += went_in_g * share * growth_per_batch();
    exposed_g_ += went_in_g * share;
    batches_ += share;
  }
  note_mass(told);
  if (in_other_jars_g == 0.0) out_of_milk_ = told;
}

// What is in no jar stays there, unless so much came out that it must have gone in as well, or so
// little is left on paper that it is none.
double Grains::kept_back(double went_in_g, double hours, double came_out_g,
                         double in_other_jars_g) const {
  if (!mass_.weighed_g) return 0.0;
  const double free_g = mass_.grams(0.0) - went_in_g - in_other_jars_g;
  if (free_g <= left_on_paper_share * went_in_g) return 0.0;
  const auto misses_by = [&](double grain_g) { return std::abs(std::log(came_out_g / grain_g)); };
  const double grown_there_g = grown_g(went_in_g, hours);
  return misses_by(grown_there_g) < misses_by(grown_there_g + free_g) ? free_g : 0.0;
}

void Grains::batch_discarded(const FactRef& told, double went_in_g, double in_other_jars_g) {
  if (!suspected_) {
    if (in_other_jars_g == 0.0) out_of_milk_ = told;
    return;
  }
  give_to(told, went_in_g);
  const bool hardly_any = mass_.grams(0.0) <= left_on_paper_share * went_in_g;
  if (in_other_jars_g == 0.0 && hardly_any) are_gone(told);
}

void Grains::weigh(const FactRef& told, double grain_g) {
  if (last_weighed_g_ && mass_.weighed_g) {
    learn_growth(grain_g - *mass_.weighed_g - moved_g_, exposed_g_, batches_);
  }
  mass_.is(grain_g);
  last_weighed_g_ = grain_g;
  exposed_g_ = batches_ = moved_g_ = 0.0;
  note_mass(told);
}

void Grains::spare(const FactRef& told, const Spare& spare) {
  if (!spare.all) return give_to(told, *spare.grain_g);
  all_moved_g_ -= *spare.grain_g;
  are_gone(told);
}

void Grains::are_gone(const FactRef& told) {
  mass_.is(0.0);
  exposed_g_ = batches_ = moved_g_ = 0.0;
  note_mass(told);
  here_since_ = told.at;
  suspected_.reset();
  last_good_look_.reset();
  resting_.reset();
  out_of_milk_.reset();
}

void Grains::give_to(const FactRef& told, double grain_g) {
  mass_.added_g -= grain_g;
  moved_g_ -= grain_g;
  all_moved_g_ -= grain_g;
  note_mass(told);
}

void Grains::take_from(const FactRef& told, const CultureId& parent, double grain_g,
                       const std::optional<Inspected>& suspected) {
  if (suspected && !suspected_) suspected_ = suspected;
  if (masses_.empty() && starts_.empty()) {
    mass_.is(grain_g);
    parent_ = Parent{parent, told.at};
    if (!resting_) out_of_milk_ = told;
  } else {
    mass_.added_g += grain_g;
    moved_g_ += grain_g;
    all_moved_g_ += grain_g;
  }
  note_mass(told);
}

void Grains::rest(const FactRef& told, const PlaceId& place) {
  resting_ = Resting{resting_ ? resting_->since : told, told, place};
  out_of_milk_.reset();
}

void Grains::wake(const FactRef& told) {
  woken_ = Woken{told.at, resting_->since.at};
  batches_since_waking_ = 0;
  resting_.reset();
  if (starts_.empty() || starts_.back().at < told.at) out_of_milk_ = told;
}

void Grains::inspect(const FactRef& told, const Inspect& said) {
  inspected_ = Inspected{told, said};
  if (must_be_discarded(said)) {
    suspected_ = inspected_;
  } else if (!suspected_ && is_good_look(said)) {
    last_good_look_ = told.at;
  }
}

void Grains::learn_growth(double gain_g, double exposed_g, double batches) {
  if (!(exposed_g > 0.0) || !(batches > 0.0)) return;
  const double growth = gain_g / exposed_g;
  if (growth < growth_per_batch_min || growth > growth_per_batch_max) return;
  growth_sum_ += growth * batches;
  growth_weight_ += batches;
}

MassSpread believable_unweighed(double there_g) {
  if (there_g < 1.0) return {0.0, there_g, std::numeric_limits<double>::infinity()};
  return {there_g / contradicts_fold, there_g, there_g * contradicts_fold};
}

MassSpread Grains::believable(double there_g) const {
  if (there_g < 1.0 || !last_weighed_g_) return believable_unweighed(there_g);
  // Grains of one household grow half as fast or twice (core/kinetics/grain_growth.hpp); one batch
  // more than was told does no harm.
  const double grown = (batches_ + 1.0) * std::log1p(std::max(0.0, growth_per_batch()));
  const double more = std::min(contradicts_fold, drained_fold * std::exp(grown));
  const double less = std::min(contradicts_fold, drained_fold * std::exp(0.5 * grown));
  return {there_g / less, there_g, there_g * more};
}

double Grains::growth_per_batch() const {
  return (published_batches * published_growth_per_batch() + growth_sum_) /
         (published_batches + growth_weight_);
}

double Grains::grown_g(double grain_g, double hours) const {
  const double share = published_growth(hours) / published_growth_per_batch();
  return grain_g * (1.0 + share * growth_per_batch());
}

double Grains::doubling_d(double setup_g) const {
  const double growth = growth_per_batch();
  if (growth <= 0.0) return std::numeric_limits<double>::infinity();
  return std::log(2.0) / (std::log1p(growth) * shares_fed_per_day(setup_g));
}

// 1 when all of the grains are fed once a day, in one jar or in two; since the last rest, or
// recently.
double Grains::shares_fed_per_day(double setup_g) const {
  constexpr std::ptrdiff_t of_late = 7;
  constexpr double one_feeding_h = 6.0;  // so near together two jars are filled at one time
  const auto together = [](const Fed& a, const Fed& b) {
    return hours_between(a.at, b.at) < one_feeding_h;
  };
  auto first = starts_.end() - std::min(of_late, std::ssize(starts_));
  while (woken_ && first != starts_.end() && first->at < woken_->at) ++first;
  while (first != starts_.begin() && first != starts_.end() && together(*(first - 1), *first)) {
    --first;
  }
  if (first == starts_.end() || together(*first, starts_.back())) return 1.0;
  double shares = 0.0;
  for (auto fed = first; !together(*fed, starts_.back()); ++fed) {
    shares += std::min(1.0, fed->grain_g / fed->of.grams(setup_g));
  }
  return shares / (hours_between(first->at, starts_.back().at) / 24.0);
}

std::optional<AfterRest> Grains::after_rest_of(int batch) const {
  if (!woken_ || batch > slow_batches_after_rest) return std::nullopt;
  const double rested_h = hours_between(woken_->rested_since, woken_->at);
  if (rested_h < hardly_a_rest_h) return std::nullopt;
  return AfterRest{batch, rested_h};
}

bool is_unusual(GrainColour colour) {
  return colour > GrainColour::yellowish;
}

bool must_be_discarded(const Inspect& said) {
  return (said.colour && is_unusual(*said.colour)) || said.smell == GrainSmell::rotten ||
         said.mould.value_or(false);
}

bool is_good_look(const Inspect& said) {
  return !must_be_discarded(said) && (said.colour || said.mould);
}

bool is_unbalanced(const Inspect& said) {
  return said.smell == GrainSmell::strongly_yeasty || said.smell == GrainSmell::strongly_sour;
}

}  // namespace wheymark
