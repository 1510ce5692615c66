// Queries on a household, and what a report amounts to before anything has changed. What changes a
// household is in household.cpp.
#include <fmt/format.h>

#include "core/basis/check.hpp"
#include "core/household/household.hpp"
#include "core/record/completion.hpp"
#include "core/record/doubtful_report.hpp"
#include "core/record/understood.hpp"

namespace wheymark {

Result<Household::Accepted> Household::decide(const Report& report, Instant now) const {
  if (report.ref) {
    if (const FactRecord* before = ledger_.with_ref(*report.ref)) {
      if (ledger_.holds(before->number) || takes_back(before->fact)) return Accepted{*before, true};
      return Refusal{
          fmt::format("what was said with the ref \"{}\" was taken back; say it again with another",
                      *report.ref)};
    }
  }
  const auto* past = std::get_if<Remembered>(&report.fact);
  if (past != nullptr) {
    if (const Outcome fits = fits_in(*past, now); !fits) return fits.refusal();
  }
  const auto at =
      past != nullptr ? Result<Instant>(past->started) : happened_at(report.at, now, setup_);
  if (!at) return at.refusal();
  if (const Outcome in = within_its_batch(report.fact, at.value(), book(), setup_); !in) {
    return in.refusal();
  }
  const std::optional<JarBook> earlier = ledger_.earlier_book(at.value());
  const JarBook& then = earlier ? *earlier : book();
  const auto fact = completed(report.fact, setup_, then, parameters_, at.value());
  if (!fact) return fact.refusal();
  FactRecord record{ledger_.next_number(),
                    at.value(),
                    now,
                    report.ref,
                    fact.value(),
                    report.at ? std::nullopt : report.not_before};
  if (auto* undo = std::get_if<Undo>(&record.fact)) {
    const auto meant = ledger_.meant_by(*undo, now, setup_);
    if (!meant) return meant.refusal();
    *undo = meant.value();
  }
  if (auto* usual = std::get_if<Usual>(&record.fact)) {
    const auto fitting = with_own_days(*usual);
    if (!fitting) return fitting.refusal();
    *usual = fitting.value();
  }
  if (const Outcome allowed = ledger_.allows(record, setup_); !allowed) return allowed.refusal();
  if (const Outcome likely = doubted(record, then, setup_); !likely && !report.sure) {
    return Refusal{fmt::format("{}; {}", likely.why(), how_to_be_sure)};
  }
  std::string taken_as = understood(report.fact, record, then, setup_);
  return Accepted{std::move(record), false, std::move(taken_as)};
}

const RunningBatch* Household::running(const Batch& batch) const {
  const auto found = running_.find(batch.number);
  return found == running_.end() ? nullptr : &found->second;
}

const Fermentation* Household::fermentation(const Batch& batch) const {
  const RunningBatch* computed = running(batch);
  return computed == nullptr ? nullptr : &computed->fermentation();
}

std::optional<Condition> Household::condition(const Batch& batch, Instant now) const {
  const RunningBatch* computed = running(batch);
  if (computed == nullptr) return std::nullopt;
  return computed->at(batch, places_.air_of(), now);
}

std::vector<WeighedReport> Household::reports_weighed(const Batch& batch) const {
  const RunningBatch* computed = running(batch);
  if (computed == nullptr) return {};
  return computed->weighed(batch, places_.air_of());
}

double Household::effective_age_h(const Batch& stored, Instant now) const {
  const RunningBatch* computed = running(stored);
  check(computed != nullptr && computed->ageing() != nullptr,
        "effective age is asked of kefir that is stored");
  return computed->aged_h(stored, places_.air_of(), now);
}

std::optional<double> Household::pressure_kpa(const Batch& batch, Instant now, Fizz fizz) const {
  const RunningBatch* computed = running(batch);
  if (computed == nullptr) return std::nullopt;
  return computed->kpa(batch, places_.air_of(), now, fizz);
}

std::optional<LeftOut> Household::left_out(const Batch& batch) const {
  const RunningBatch* running = this->running(batch);
  return running == nullptr ? std::nullopt : running->left_out(batch, places_.air_of());
}

PaceBelief Household::pace_of_next_batch(const CultureId& culture, Instant at) const {
  return paces_.of_next_batch(culture, at, book().grains(culture).next_after_rest());
}

const std::set<std::uint64_t>& Household::have_stood_at(const PlaceId& place) const {
  static const std::set<std::uint64_t> none;
  const auto found = stood_at_.find(place);
  return found == stood_at_.end() ? none : found->second;
}

double Household::wanted_grain_g(const CultureId& culture) const {
  check(wanted_grains_g_.contains(culture), "grains are wanted of a culture of the setup");
  return wanted_grains_g_.at(culture);
}

}  // namespace wheymark
