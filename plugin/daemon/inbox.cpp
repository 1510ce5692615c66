#include "plugin/daemon/inbox.hpp"

#include <thread>
#include <utility>

namespace wheymark {
namespace {

// What a person or a hub does not notice.
constexpr std::chrono::milliseconds moment{2};

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
    std::unique_lock guard(lock_);
    if (std::holds_alternative<Arrived>(happening) && may_be_lost_.empty() && is_full()) {
      emptied_.wait_for(guard, patience, [this] { return !is_full(); });
    }
    waiting_.push_back(std::move(happening));
    if (const auto* message = std::get_if<Arrived>(&waiting_.back())) {
      (message->qos == 0 ? may_be_lost_ : should_stay_).push_back(std::prev(waiting_.end()));
      bytes_ += bytes_of(*message);
      while (may_be_lost_.size() + should_stay_.size() > messages_max || bytes_ > bytes_max) {
        drop_one();
      }
    }
    if (worker_sleeps_) filled_.notify_one();
  } catch (...) {
    // Out of memory in somebody else's thread: one input is lost, and the daemon goes on.
  }
}

std::optional<Happening> Inbox::take(std::chrono::milliseconds wait_max) {
  if (taken_.empty()) take_all(wait_max);
  if (taken_.empty()) return std::nullopt;
  std::optional<Happening> oldest(std::move(taken_.front()));
  taken_.pop_front();
  return oldest;
}

void Inbox::take_all(std::chrono::milliseconds wait_max) {
  using Clock = std::chrono::steady_clock;
  // A stream: what comes within this moment is taken together.
  if (wait_max > moment && Clock::now() - took_at_ < 2 * moment) {
    std::this_thread::sleep_for(moment);
  }
  std::unique_lock guard(lock_);
  if (waiting_.empty() && wait_max > std::chrono::milliseconds(0)) {
    worker_sleeps_ = true;
    filled_.wait_for(guard, wait_max, [this] { return !waiting_.empty(); });
    worker_sleeps_ = false;
  }
  taken_.swap(waiting_);
  may_be_lost_.clear();
  should_stay_.clear();
  bytes_ = 0;
  guard.unlock();
  emptied_.notify_all();
  if (!taken_.empty()) took_at_ = Clock::now();
}

bool Inbox::is_full() const {
  return may_be_lost_.size() + should_stay_.size() >= messages_max || bytes_ >= bytes_max;
}

void Inbox::drop_one() {
  std::list<Waiting::iterator>& places = may_be_lost_.empty() ? should_stay_ : may_be_lost_;
  bytes_ -= bytes_of(std::get<Arrived>(*places.front()));
  waiting_.erase(places.front());
  places.pop_front();
  ++dropped_;
}

}  // namespace wheymark
