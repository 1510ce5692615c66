#include "core/record/ledger.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <tuple>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "core/record/understood.hpp"

namespace wheymark {
namespace {

bool earlier(const FactRecord& a, const FactRecord& b) {
  return std::tie(a.at, a.number) < std::tie(b.at, b.number);
}

std::string_view word_of(const FactRecord& record) {
  return fact_words[record.fact.index()];
}

// Whether a fact names the jar, as its own or as a bottle.
bool is_said_of(const Fact& fact, const JarId& jar) {
  return std::visit(
      [&](const auto& said) {
        if constexpr (requires { said.into.front().jar; }) {
          for (const Portion& bottle : said.into) {
            if (bottle.jar == jar) return true;
          }
        }
        if constexpr (requires { said.jar; }) return said.jar == jar;
        return false;
      },
      fact);
}

// Whether a fact is about the culture's grains as such. What names a jar is about that.
bool is_said_of(const Fact& fact, const CultureId& culture) {
  return std::visit(
      [&](const auto& said) {
        if constexpr (requires { said.jar.has_value(); }) {
          if (said.jar) return false;
        } else if constexpr (requires { said.jar; }) {
          return false;
        }
        if constexpr (requires { CultureId(said.into); }) {
          if (said.into == culture) return true;
        }
        if constexpr (requires { said.culture; }) return said.culture == culture;
        return false;
      },
      fact);
}

}  // namespace

bool takes_back(const Fact& fact) {
  return std::holds_alternative<Retract>(fact) || std::holds_alternative<Undo>(fact);
}

const FactRecord* Ledger::with_ref(const std::string& ref) const {
  const auto found = by_ref_.find(ref);
  return found == by_ref_.end() ? nullptr : &found->second;
}

const FactRecord* Ledger::kept(std::uint64_t number) const {
  const auto found = std::find_if(facts_.rbegin(), facts_.rend(),
                                  [&](const FactRecord& fact) { return fact.number == number; });
  return found == facts_.rend() ? nullptr : &*found;
}

const FactRecord* Ledger::taken_back_by(const Fact& fact) const {
  if (const auto* undo = std::get_if<Undo>(&fact)) return kept(*undo->id);
  const auto* retract = std::get_if<Retract>(&fact);
  const FactRecord* said = retract == nullptr ? nullptr : with_ref(retract->ref);
  return said == nullptr ? nullptr : kept(said->number);
}

Result<Undo> Ledger::meant_by(const Undo& undo, Instant now, const HouseholdSetup& setup) const {
  const std::string whose = undo.jar ? name_of_jar(*undo.jar, setup)
                                     : "the grains of " + name_of_culture(*undo.culture, setup);
  const FactRecord* last = nullptr;
  for (const FactRecord& fact : facts_) {
    const bool of_it =
        undo.jar ? is_said_of(fact.fact, *undo.jar) : is_said_of(fact.fact, *undo.culture);
    const bool meant = !undo.id || fact.number == *undo.id;
    if (of_it && meant && (last == nullptr || fact.number > last->number)) last = &fact;
  }
  if (last == nullptr && undo.id) {
    return Refusal{
        fmt::format("nothing with the id \"fact-{}\" is kept of {}; leave out the id to "
                    "take back what was said last",
                    *undo.id, whose)};
  }
  if (last == nullptr) {
    return Refusal{fmt::format("nothing was said of {} that could be taken back", whose)};
  }
  if (last->told_at < now - limits::undone_within) {
    return Refusal{fmt::format(
        "the last that was said of {} is {}, longer than a day ago; {}", whose,
        phrase_of(*last, setup),
        last->ref ? fmt::format("to take it back all the same, say retract with the ref \"{}\"",
                                *last->ref)
                  : "say what is so now instead")};
  }
  return Undo{undo.culture, undo.jar, last->number};
}

bool Ledger::changes_the_past(const FactRecord& record) const {
  if (takes_back(record.fact)) return true;
  return !facts_.empty() && record.at < facts_.back().at;
}

std::vector<FactRecord> Ledger::facts_with(const FactRecord& record) const {
  std::vector<FactRecord> facts = facts_;
  if (takes_back(record.fact)) {
    const std::uint64_t number = taken_back_by(record.fact)->number;
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
  if (takes_back(target->fact)) {
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
