#include "core/record/ledger.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <tuple>

#include "core/basis/check.hpp"
#include "core/record/local_time.hpp"

namespace wheymark {
namespace {

bool earlier(const FactRecord& a, const FactRecord& b) {
  return std::tie(a.at, a.number) < std::tie(b.at, b.number);
}

std::string_view word_of(const FactRecord& record) {
  return fact_words[record.fact.index()];
}

}  // namespace

const FactRecord* Ledger::with_ref(const std::string& ref) const {
  const auto found = by_ref_.find(ref);
  return found == by_ref_.end() ? nullptr : &found->second;
}

bool Ledger::holds(std::uint64_t number) const {
  return std::any_of(facts_.begin(), facts_.end(),
                     [&](const FactRecord& fact) { return fact.number == number; });
}

bool Ledger::changes_the_past(const FactRecord& record) const {
  if (std::holds_alternative<Retract>(record.fact)) return true;
  return !facts_.empty() && record.at < facts_.back().at;
}

std::vector<FactRecord> Ledger::facts_with(const FactRecord& record) const {
  std::vector<FactRecord> facts = facts_;
  if (const auto* retract = std::get_if<Retract>(&record.fact)) {
    const std::uint64_t number = by_ref_.at(retract->ref).number;
    std::erase_if(facts, [&](const FactRecord& fact) { return fact.number == number; });
  } else {
    facts.insert(std::upper_bound(facts.begin(), facts.end(), record, earlier), record);
  }
  return facts;
}

std::optional<JarBook> Ledger::earlier_book(Instant instant) const {
  if (facts_.empty() || facts_.back().at <= instant) return std::nullopt;
  JarBook then;
  for (const FactRecord& fact : facts_) {
    if (fact.at <= instant) then.apply(fact);
  }
  return then;
}

JarBook Ledger::book_with(const FactRecord& record) const {
  if (!changes_the_past(record)) {
    JarBook next = book_;
    next.apply(record);
    return next;
  }
  JarBook again;
  for (const FactRecord& fact : facts_with(record)) again.apply(fact);
  return again;
}

Outcome Ledger::allows_retracting(const Retract& retract) const {
  const FactRecord* target = with_ref(retract.ref);
  if (target == nullptr) {
    return Refusal{fmt::format("nothing was said with the ref \"{}\"", retract.ref)};
  }
  if (std::holds_alternative<Retract>(target->fact)) {
    return Refusal{"taking back cannot be taken back; say the fact again, with another ref"};
  }
  if (!holds(target->number))
    return Refusal{fmt::format("\"{}\" was taken back already", retract.ref)};
  return Nothing{};
}

Outcome Ledger::allows(const FactRecord& record, const HouseholdSetup& setup) const {
  if (const auto* retract = std::get_if<Retract>(&record.fact)) {
    if (Outcome allowed = allows_retracting(*retract); !allowed) return allowed;
  }
  if (!changes_the_past(record)) return book_.allows(record, setup);

  JarBook again;
  for (const FactRecord& fact : facts_with(record)) {
    const Outcome allowed = again.allows(fact, setup, fact.number != record.number);
    if (!allowed && fact.number == record.number) return allowed;
    if (!allowed) {
      return Refusal{fmt::format("it does not go with the {} of {}{}: {}", word_of(fact),
                                 day_and_clock_text(fact.at, setup),
                                 fact.ref ? fmt::format(" (ref \"{}\")", *fact.ref) : "",
                                 allowed.why())};
    }
    again.apply(fact);
  }
  return Nothing{};
}

void Ledger::apply(const FactRecord& record) {
  check(record.number >= next_number_, "facts are numbered in the order of telling");
  next_number_ = record.number + 1;
  if (changes_the_past(record)) {
    facts_ = facts_with(record);
    book_ = JarBook{};
    for (const FactRecord& fact : facts_) book_.apply(fact);
  } else {
    facts_.push_back(record);
    book_.apply(record);
  }
  if (record.ref) by_ref_.insert_or_assign(*record.ref, record);
}

}  // namespace wheymark
