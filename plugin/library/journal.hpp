// What was decided is recorded, and only what is recorded is applied: the one way for an entry into
// household, announcer and attention, live and when the journal is read again.
//
// To spare a hub's SD card, a power cut may cost the last minute of readings, which the model
// bridges. What a person reported and what is announced is durable before anybody hears of it. Old
// readings that add nothing are forgotten once a day.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "core/announce/announcer.hpp"
#include "core/basis/result.hpp"
#include "core/household/household.hpp"
#include "core/notice/attention.hpp"
#include "core/record/entry.hpp"
#include "plugin/library/host_clock.hpp"
#include "plugin/library/outbox.hpp"
#include "plugin/store/store.hpp"
#include "plugin/wire/event_sequence.hpp"

namespace wheymark {

class Journal {
 public:
  Journal(Store& store, Outbox& outbox, Household& household, Announcer& announcer,
          Attention& attention)
      : store_(store),
        outbox_(outbox),
        household_(household),
        announcer_(announcer),
        attention_(attention) {}

  // Applies all entries to an empty household, and tells the clock when they were kept. Refused
  // when the journal cannot be read.
  Outcome restore(HostClock& clock);
  // Every entry, in order, until one is refused.
  Outcome read(const std::function<Outcome(const Entry&)>& entry) const;
  // The last instant of what was restored.
  [[nodiscard]] Instant restored_until() const { return restored_until_; }

  // One transaction: entries and messages together. Then the messages are sent and the entries are
  // applied. When refused, neither: a restart would not know of them.
  Outcome record_and_apply(std::span<const Entry> entries, std::vector<OutboxMessage> messages,
                           Durable durable, Instant now);
  // The last number that an event got.
  [[nodiscard]] const EventSequence& sequence() const { return sequence_; }

  // When readings that are not durable yet must become so; nothing: there are none.
  [[nodiscard]] std::optional<Instant> flush_at() const { return flush_at_; }
  Outcome flush_if_due(Instant now);
  // Before the end, whether it is due or not.
  Outcome flush();
  Outcome thin_if_due(Instant now);
  void clock_went_back(Instant now);

 private:
  void apply(const Entry& entry);

  Store& store_;
  Outbox& outbox_;
  Household& household_;
  Announcer& announcer_;
  Attention& attention_;
  EventSequence sequence_;
  Instant restored_until_{};
  std::optional<Instant> flush_at_;
  std::optional<Instant> thin_at_;
};

}  // namespace wheymark
