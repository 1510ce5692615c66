#include "core/household/learned_paces.hpp"

#include <utility>

#include "core/pace/rested_pace.hpp"

namespace wheymark {

LearnedPaces::LearnedPaces(const HouseholdSetup& setup, const Parameters& parameters)
    : unknown_(parameters) {
  for (const CultureSetup& culture : setup.cultures) learning_.try_emplace(culture.id, unknown_);
}

CultureLearning& LearnedPaces::learning(const CultureId& culture) {
  return learning_.try_emplace(culture, unknown_).first->second;
}

const CultureLearning* LearnedPaces::find(const CultureId& culture) const {
  const auto found = learning_.find(culture);
  return found == learning_.end() ? nullptr : &found->second;
}

bool LearnedPaces::learn_from(const Batch& batch, const Fermentation& fermentation) {
  if (!taught_.insert(batch.number).second) return false;
  Lesson lesson{batch.number, batch.strained ? batch.strained->at : batch.ended->at,
                fermentation.evidence(), fermentation.log_warmth(batch),
                fermentation.strained_silently(batch)};
  if (batch.after_rest) {
    const RestedPace rested = rested_pace(*batch.after_rest);
    lesson.evidence = said_of_awake(lesson.evidence, rested);
    if (lesson.strained) {
      lesson.strained->if_looked = said_of_awake(lesson.strained->if_looked, rested);
    }
  }
  const bool says_something = lesson.evidence.says_something() || lesson.strained;
  learning(*batch.start.culture).learn(std::move(lesson));
  return says_something;
}

void LearnedPaces::learn_from_remembered(const Batch& batch, PaceEvidence evidence) {
  taught_.insert(batch.number);
  Lesson lesson{batch.number, batch.strained->at, std::move(evidence)};
  lesson.remembered = true;
  learning(*batch.start.culture).learn(std::move(lesson));
}

void LearnedPaces::forget(const Batch& batch) {
  taught_.erase(batch.number);
  learning(*batch.start.culture).forget(batch.number);
}

void LearnedPaces::forget_if_taught(const Batch& batch) {
  if (taught_.contains(batch.number)) forget(batch);
}

void LearnedPaces::settle_before(Instant instant) {
  for (auto& [culture, learned] : learning_) learned.settle_before(instant);
}

BeliefAsked LearnedPaces::belief_of(const Batch& batch) {
  Instant out = Instant::max();
  if (batch.ended) out = batch.ended->at;
  if (batch.strained) out = batch.strained->at;
  return [pace = learning(*batch.start.culture).pace_without(batch.origin(), out),
          started = batch.started, after_rest = batch.after_rest] {
    const PaceBelief belief = pace.of_a_batch(started);
    return after_rest ? believed_after_rest(belief, rested_pace(*after_rest)) : belief;
  };
}

PaceBelief LearnedPaces::of(const CultureId& culture) const {
  const CultureLearning* learned = find(culture);
  return (learned == nullptr ? unknown_ : learned->pace()).of_the_culture();
}

PaceBelief LearnedPaces::of_next_batch(const CultureId& culture, Instant at,
                                       const std::optional<AfterRest>& after_rest) const {
  const CultureLearning* learned = find(culture);
  const PaceBelief awake = (learned == nullptr ? unknown_ : learned->pace()).of_a_batch(at);
  return after_rest ? believed_after_rest(awake, rested_pace(*after_rest)) : awake;
}

std::size_t LearnedPaces::batches(const CultureId& culture) const {
  const CultureLearning* learned = find(culture);
  return learned == nullptr ? 0 : learned->pace().batches();
}

}  // namespace wheymark
