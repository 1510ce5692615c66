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

// Whether it is a fact that takes another one back. Such a fact is not among those kept.
bool takes_back(const Fact& fact);

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
  // The fact with this number, if it was kept and has not been taken back; or null.
  [[nodiscard]] const FactRecord* kept(std::uint64_t number) const;
  [[nodiscard]] bool holds(std::uint64_t number) const { return kept(number) != nullptr; }
  // The fact that this one takes back, as long as that is kept; null for any other kind of fact.
  [[nodiscard]] const FactRecord* taken_back_by(const Fact& fact) const;
  // An undo as it is meant: of what was said last of its jar or culture, or of the record that it
  // names. Refused when that is nothing, of another jar or older than undone_within.
  [[nodiscard]] Result<Undo> meant_by(const Undo& undo, Instant now,
                                      const HouseholdSetup& setup) const;

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
