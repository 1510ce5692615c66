// The accepted facts in the order in which they happened, and the jar book that follows from them.
//
// People report things late and take things back. A late fact goes to its place in time and
// everything after it is folded again; what would make a later fact impossible is refused, naming
// that fact. The journal keeps facts in the order of reporting; folding them again gives the same.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/basis/result.hpp"
#include "core/record/facts.hpp"
#include "core/record/jar_book.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

class Ledger {
 public:
  // Whether this complete fact fits among the others.
  [[nodiscard]] Outcome allows(const FactRecord& record, const HouseholdSetup& setup) const;

  // Whether it is reported late, or takes something back: then batches that were known may change.
  [[nodiscard]] bool changes_the_past(const FactRecord& record) const;

  // Applies a fact that is allowed.
  void apply(const FactRecord& record);

  [[nodiscard]] const JarBook& book() const { return book_; }
  // The jar book after everything that had happened by this instant; nothing when that is the
  // present one, which is not copied: it holds every batch that there ever was.
  [[nodiscard]] std::optional<JarBook> earlier_book(Instant instant) const;
  // The jar book as it will be with a fact that is allowed.
  [[nodiscard]] JarBook book_with(const FactRecord& record) const;
  // The number that the next fact gets: never one that was given before.
  [[nodiscard]] std::uint64_t next_number() const { return next_number_; }
  // The fact that was reported with this ref, also when it was taken back since; or null.
  [[nodiscard]] const FactRecord* with_ref(const std::string& ref) const;
  // Whether the fact with this number was kept and has not been taken back.
  [[nodiscard]] bool holds(std::uint64_t number) const;

 private:
  // The facts as they would stand with this one.
  [[nodiscard]] std::vector<FactRecord> facts_with(const FactRecord& record) const;
  [[nodiscard]] Outcome allows_retracting(const Retract& retract) const;

  std::uint64_t next_number_ = 1;
  std::vector<FactRecord> facts_;  // by instant, then by number; without what was taken back
  std::map<std::string, FactRecord> by_ref_;
  JarBook book_;
};

}  // namespace wheymark
