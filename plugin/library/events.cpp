#include "plugin/library/events.hpp"

#include <utility>
#include <vector>

#include "plugin/wire/cloud_event.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::seconds recorded_again_after{10};

}  // namespace

Outcome Events::announce(Instant now) {
  if (retry_at_ && now < *retry_at_) return Nothing{};
  return announce_at_once(now);
}

Outcome Events::announce_at_once(Instant now) {
  retry_at_.reset();
  const std::vector<Announcement> due = announcer_.due(now);
  if (due.empty()) return Nothing{};
  std::vector<Entry> entries;
  std::vector<OutboxMessage> messages;
  EventSequence sequence = journal_.sequence();
  for (const Announcement& announcement : due) {
    entries.emplace_back(Announced{announcement.id, now});
    messages.push_back(outbox_message_of(announcement, prefix_, root_device_, sequence.next(now)));
  }
  Outcome kept = journal_.record_and_apply(entries, std::move(messages), Durable::at_once, now);
  if (!kept) retry_at_ = now + recorded_again_after;
  if (kept) {
    for (const Announcement& announcement : due) announced_.add(announcement.about);
  }
  return kept;
}

std::optional<Instant> Events::next() {
  return retry_at_ ? retry_at_ : announcer_.next_due();
}

}  // namespace wheymark
