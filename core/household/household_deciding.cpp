// What a saying or a reading amounts to, before anything has changed.
#include <algorithm>
#include <fmt/format.h>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "core/household/household.hpp"
#include "core/record/completion.hpp"
#include "core/record/doubtful_report.hpp"
#include "core/record/local_time.hpp"

namespace wheymark {

Result<Household::Accepted> Household::decide(const Report& said, Instant now) const {
  if (said.ref) {
    if (const FactRecord* before = ledger_.with_ref(*said.ref)) {
      if (ledger_.holds(before->number)) return Accepted{*before, true};
      return Refusal{
          fmt::format("what was said with the ref \"{}\" was taken back; say it again with another",
                      *said.ref)};
    }
  }
  const auto at = happened_at(said.at, now, setup_);
  if (!at) return at.refusal();
  if (const Outcome in = within_its_batch(said.fact, at.value(), book(), setup_); !in) {
    return in.refusal();
  }
  const std::optional<JarBook> earlier = ledger_.earlier_book(at.value());
  const auto fact = completed(said.fact, setup_, earlier ? *earlier : book(), parameters_);
  if (!fact) return fact.refusal();
  FactRecord record{ledger_.next_number(), at.value(), now, said.ref, fact.value()};
  if (const Outcome allowed = ledger_.allows(record, setup_); !allowed) return allowed.refusal();
  return Accepted{std::move(record), false};
}

Result<Entry> Household::decide(const PlaceId& place, Celsius air, Instant at, Instant now) const {
  const auto known = places_.find(place);
  check(known != places_.end(), "readings come from planned places");
  if (at < limits::sane_since || at > now + limits::ahead_of_clock_max) {
    return Refusal{fmt::format("{}: a reading of {}, while it is {}, is of no use", place,
                               day_and_clock_text(at, setup_), day_and_clock_text(now, setup_))};
  }
  const Thermometer& thermometer = known->second.thermometer;
  const Instant when = std::min(at, now);
  auto last = thermometer.last_said();
  // What is still to come was read by a clock that has been set back since: see take().
  if (last && *last > now + limits::ahead_of_clock_max) last.reset();
  if (last && when <= *last) {
    return Refusal{fmt::format("{}: a reading of {} is not newer than the last, of {}", place,
                               day_and_clock_text(when, setup_),
                               day_and_clock_text(*last, setup_))};
  }
  const bool believed = thermometer.believes(when, air);
  if (!believed && thermometer.doubted_since() && !Thermometer::plausible(air)) {
    return Refusal{fmt::format("{}: {} degC again, still not believed", place, air.degrees())};
  }
  if (last && when < *last + limits::reading_spacing_min) {
    return Refusal{fmt::format("{}: closer than {} s to the last reading", place,
                               limits::reading_spacing_min.count())};
  }
  // Of jumps each is kept, because the next reading may confirm it.
  if (!believed) return Entry{ReadingDoubted{place, when, air}};
  return Entry{ReadingTaken{place, when, air}};
}

}  // namespace wheymark
