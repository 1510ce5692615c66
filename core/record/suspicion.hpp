// Which jars hold, or held, what nobody must taste: one home for the question "is this jar
// suspect".
//
// It begins with an inspection that is a reason to discard. Of grains: every batch that they are
// in, or came out of since the last good look at them, is suspect, and so is the glass, until it is
// washed. Of a bottle: what is in it. A suspect batch stays so to its last glass; only taking the
// inspection back ends that earlier. Whether the grains themselves are still suspect, Grains knows.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "core/record/batch.hpp"
#include "core/record/facts.hpp"
#include "core/record/grains.hpp"

namespace wheymark {

class JarBook;

struct Suspicion {
  FactRef told;
  Inspect said;    // complete: it names the culture
  bool in_grains;  // seen in the grains, or in the milk with them
  friend bool operator==(const Suspicion& a, const Suspicion& b) {
    return a.told.fact == b.told.fact;
  }
};

class Suspicions {
 public:
  // Takes in a fact; `book` is as it stands after it. Returns the batches that became suspect by
  // it and have not ended.
  std::vector<std::uint64_t> apply(const FactRecord& record, const JarBook& book);

  // Null when nothing is known against it.
  [[nodiscard]] const Suspicion* of_batch(std::uint64_t number) const;
  // Of an empty jar that held something suspect and was not washed since, or null.
  [[nodiscard]] const Suspicion* of_glass(const JarId& jar) const;
  // What its jar had held before, which was not washed, or null.
  [[nodiscard]] const Suspicion* filled_unwashed(std::uint64_t batch) const;

 private:
  // What one kind of fact makes suspect.
  struct Taking;

  std::map<std::uint64_t, Suspicion> batches_;
  std::map<JarId, Suspicion> glass_;
  std::map<std::uint64_t, Suspicion> unwashed_;
};

// "pink", "mould", "a rotten smell": the worst of what is a reason to discard.
std::string reason_to_discard(const Inspect& said);

}  // namespace wheymark
