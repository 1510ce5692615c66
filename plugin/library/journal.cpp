#include "plugin/library/journal.hpp"

#include <algorithm>
#include <utility>
#include <variant>

#include "core/air/thinning.hpp"
#include "plugin/library/journal_row.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::seconds readings_durable_after{60};
constexpr std::chrono::hours thin_every{24};

Instant kept_at(const Entry& entry) {
  return std::visit(
      [](const auto& kind) {
        if constexpr (requires { kind.told_at; }) return kind.told_at;
        if constexpr (!requires { kind.told_at; }) return kind.at;
      },
      entry);
}

// Before the entry is applied: when it was kept, as far as the entry shows that.
void tell(HostClock& clock, const Entry& entry, const Household& household) {
  if (const auto* fact = std::get_if<FactRecord>(&entry)) return clock.was(fact->told_at);
  if (const auto* announced = std::get_if<Announced>(&entry)) return clock.was(announced->at);
  if (const auto* noticed = std::get_if<Noticed>(&entry)) return clock.was(noticed->at);
  const auto* taken = std::get_if<ReadingTaken>(&entry);
  if (taken == nullptr) return clock.has_been(std::get<ReadingDoubted>(entry).at);
  // One that is older than its place's last and did not come late was kept after the clock had
  // been set back.
  const TemperatureHistory* air = household.places().history(taken->place);
  const bool went_back =
      !taken->is_late && air != nullptr && air->last() && air->last()->at >= taken->at;
  return went_back ? clock.was(taken->at) : clock.has_been(taken->at);
}

}  // namespace

Outcome Journal::restore(HostClock& clock) {
  household_.begin_restoring();
  const Outcome all = read([&](const Entry& entry) -> Outcome {
    tell(clock, entry, household_);
    apply(entry);
    restored_until_ = std::max(restored_until_, kept_at(entry));
    return Nothing{};
  });
  household_.end_restoring();
  return all;
}

Outcome Journal::read(const std::function<Outcome(const Entry&)>& entry) const {
  return store_.read_journal([&](const JournalRow& row) -> Outcome {
    const auto kept = entry_of(row);
    return kept ? entry(kept.value()) : kept.refusal();
  });
}

Outcome Journal::record_and_apply(std::span<const Entry> entries,
                                  std::vector<OutboxMessage> messages, Durable durable,
                                  Instant now) {
  std::vector<JournalRow> rows;
  rows.reserve(entries.size());
  for (const Entry& entry : entries) rows.push_back(row_of(entry));
  if (const Outcome kept = store_.commit(std::move(rows), messages, durable); !kept) return kept;
  outbox_.send(std::move(messages));
  for (const Entry& entry : entries) apply(entry);
  if (durable == Durable::soon && !flush_at_) flush_at_ = now + readings_durable_after;
  return Nothing{};
}

void Journal::apply(const Entry& entry) {
  household_.apply(entry);
  announcer_.apply(entry);
  attention_.apply(entry);
  if (const auto* noticed = std::get_if<Noticed>(&entry)) (void)sequence_.next(noticed->at);
  if (const auto* said = std::get_if<Announced>(&entry)) (void)sequence_.next(said->at);
}

Outcome Journal::flush_if_due(Instant now) {
  if (!flush_at_ || now < *flush_at_) return Nothing{};
  Outcome flushed = store_.flush();
  flush_at_ = flushed ? std::nullopt : std::optional(now + readings_durable_after);
  return flushed;
}

Outcome Journal::flush() {
  flush_at_.reset();
  return store_.flush();
}

Outcome Journal::thin_if_due(Instant now) {
  if (thin_at_ && now < *thin_at_) return Nothing{};
  thin_at_ = now + thin_every;
  Thinning thinning(now);
  return store_.thin(now - Thinning::all_of, [this, &thinning](const JournalRow& row) {
    const bool differs = thinning.keeps(PlaceId(row.subject), row.at, Celsius(row.value));
    return differs || household_.places().something_rests_on(PlaceId(row.subject), row.at);
  });
}

void Journal::clock_went_back(Instant now) {
  if (flush_at_) flush_at_ = std::min(*flush_at_, now + readings_durable_after);
  thin_at_.reset();
}

}  // namespace wheymark
