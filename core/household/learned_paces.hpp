// What the household's cultures have taught: how fast the grains of each are believed to be.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <utility>

#include "core/jar/fermentation.hpp"
#include "core/pace/culture_learning.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

class LearnedPaces {
 public:
  LearnedPaces(const HouseholdSetup& setup, const Parameters& parameters);

  // Learns from a batch, once, when its grains are out. Returns whether that says something of its
  // culture, which changes what is believed of its other batches.
  bool learn_from(const Batch& batch, const Fermentation& fermentation);
  // The same from a batch of before, by what was remembered of it.
  void learn_from_remembered(const Batch& batch, PaceEvidence evidence);
  // The batch is followed anew, so it will teach again.
  void teaches_again(std::uint64_t batch) { taught_.erase(batch); }
  // What is known of a culture from before, in place of what was known until now.
  void know_usual(const CultureId& culture, PaceEvidence usual) {
    learning(culture).know_usual(std::move(usual));
  }
  // What it taught no longer counts.
  void forget(const Batch& batch);
  // The same, for one that may not have taught anything.
  void forget_if_taught(const Batch& batch);
  // Nothing of batches before this instant will change any more.
  void settle_before(Instant instant);

  // What is believed of a batch's pace before its own reports.
  [[nodiscard]] BeliefAsked belief_of(const Batch& batch);
  // Of a culture after its last batch that showed something.
  [[nodiscard]] PaceBelief of(const CultureId& culture) const;
  // Of its next batch, begun at `at`, perhaps after a rest.
  [[nodiscard]] PaceBelief of_next_batch(const CultureId& culture, Instant at,
                                         const std::optional<AfterRest>& after_rest) const;
  // How many batches of a culture have shown something of its pace.
  [[nodiscard]] std::size_t batches(const CultureId& culture) const;
  // Every culture of which anything is known, with what it has taught.
  [[nodiscard]] const std::map<CultureId, CultureLearning>& all() const { return learning_; }

 private:
  CultureLearning& learning(const CultureId& culture);
  [[nodiscard]] const CultureLearning* find(const CultureId& culture) const;

  CulturePace unknown_;  // of a culture that has shown nothing
  std::map<CultureId, CultureLearning> learning_;
  std::set<std::uint64_t> taught_;  // batches that were learned from
};

}  // namespace wheymark
