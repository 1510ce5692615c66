#include "plugin/daemon/inbox.hpp"

#include <utility>

namespace wheymark {
namespace {

std::size_t bytes_of(const Arrived& message) {
  return message.topic.size() + message.payload.size();
}

}  // namespace

bool outlives_its_connection(const Happening& happening) {
  return std::holds_alternative<Arrived>(happening) ||
         std::holds_alternative<StopAsked>(happening) ||
         std::holds_alternative<ReloadAsked>(happening);
}

void Inbox::put(Happening happening) noexcept {
  try {
    const std::lock_guard guard(lock_);
    waiting_.push_back(std::move(happening));
    if (const auto* message = std::get_if<Arrived>(&waiting_.back())) {
      (message->qos == 0 ? may_be_lost_ : should_stay_).push_back(std::prev(waiting_.end()));
      bytes_ += bytes_of(*message);
      while (may_be_lost_.size() + should_stay_.size() > messages_max || bytes_ > bytes_max) {
        drop_one();
      }
    }
    filled_.notify_one();
  } catch (...) {
    // Out of memory in somebody else's thread: one input is lost, and the daemon goes on.
  }
}

std::optional<Happening> Inbox::take(std::chrono::milliseconds wait_max) {
  std::unique_lock guard(lock_);
  if (!filled_.wait_for(guard, wait_max, [this] { return !waiting_.empty(); })) {
    return std::nullopt;
  }
  if (const auto* message = std::get_if<Arrived>(&waiting_.front())) {
    (message->qos == 0 ? may_be_lost_ : should_stay_).pop_front();
    bytes_ -= bytes_of(*message);
  }
  std::optional<Happening> oldest(std::move(waiting_.front()));
  waiting_.pop_front();
  return oldest;
}

std::size_t Inbox::dropped() {
  const std::lock_guard guard(lock_);
  return std::exchange(dropped_, 0);
}

void Inbox::drop_one() {
  std::list<Waiting::iterator>& places = may_be_lost_.empty() ? should_stay_ : may_be_lost_;
  bytes_ -= bytes_of(std::get<Arrived>(*places.front()));
  waiting_.erase(places.front());
  places.pop_front();
  ++dropped_;
}

}  // namespace wheymark
