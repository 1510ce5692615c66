#include "plugin/library/events.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "plugin/wire/cloud_event.hpp"
#include "plugin/wire/notice_event.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::seconds recorded_again_after{10};

}  // namespace

Outcome Events::announce(Instant now) {
  if (retry_at_ && now < *retry_at_) return Nothing{};
  return tell(announcer_.due(now), attention_.due(now), now);
}

Outcome Events::announce_at_once(Instant now) {
  return tell(announcer_.due(now), {}, now);
}

Outcome Events::tell(const std::vector<Announcement>& due, const std::vector<Notice>& notices,
                     Instant now) {
  retry_at_.reset();
  if (due.empty() && notices.empty()) return Nothing{};
  std::vector<Entry> entries;
  std::vector<OutboxMessage> messages;
  EventSequence sequence = journal_.sequence();
  for (const Announcement& announcement : due) {
    entries.emplace_back(Announced{announcement.id, now});
    messages.push_back(outbox_message_of(announcement, prefix_, root_device_, sequence.next(now)));
  }
  for (const Notice& notice : notices) {
    entries.emplace_back(Noticed{notice.id, now, notice.kind, notice.matters});
    messages.push_back(outbox_message_of(notice, prefix_, root_device_, sequence.next(now)));
  }
  Outcome kept = journal_.record_and_apply(entries, std::move(messages), Durable::at_once, now);
  if (!kept) {
    retry_at_ = now + recorded_again_after;
    if (!notices.empty()) attention_.could_not_be_kept();
  }
  if (kept) {
    for (const Announcement& announcement : due) announced_.add(announcement.about);
  }
  return kept;
}

std::optional<Instant> Events::next() {
  if (retry_at_) return retry_at_;
  const auto event = announcer_.next_due();
  const auto look = attention_.next_due();
  return event && look ? std::min(*event, *look) : event ? event : look;
}

}  // namespace wheymark
