#include "plugin/daemon/inbox.hpp"

#include <thread>
#include <utility>

namespace wheymark {
namespace {

// A delay that neither a person nor a hub notices.
constexpr std::chrono::milliseconds moment{5};
// Memory that a flood needed is freed afterwards.
constexpr std::size_t room_kept_max = 1000;

std::size_t bytes_of(const Arrived& message) {
  return message.topic.size() + message.payload.size();
}

}  // namespace

void Handling::is_done() noexcept {
  const std::lock_guard guard(lock_);
  done_ = true;
  ended_.notify_all();
}

void Handling::wait(std::chrono::milliseconds wait_max) noexcept {
  std::unique_lock guard(lock_);
  ended_.wait_for(guard, wait_max, [this] { return done_; });
}

bool outlives_its_connection(const Arrival& arrival) {
  return std::holds_alternative<Arrived>(arrival) || std::holds_alternative<StopAsked>(arrival) ||
         std::holds_alternative<ReloadAsked>(arrival);
}

void Inbox::put(Arrival arrival) noexcept {
  try {
    std::unique_lock guard(lock_);
    if (std::holds_alternative<Arrived>(arrival) && may_be_lost_.empty() && is_full()) {
      emptied_.wait_for(guard, patience, [this] { return !is_full(); });
    }
    waiting_.push_back(std::move(arrival));
    if (const auto* message = std::get_if<Arrived>(&waiting_.back())) {
      note_place(waiting_.size() - 1);
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

void Inbox::put_and_wait(Arrived message) noexcept {
  try {
    auto handling = std::make_shared<Handling>();
    message.handling = handling;
    {
      const std::lock_guard guard(lock_);
      if (!senders_wait_) return;
      awaited_ = handling;
    }
    put(std::move(message));
    handling->wait(handled_within);
  } catch (...) {
    // As in put().
  }
}

void Inbox::let_senders_wait(bool may_wait) noexcept {
  const std::lock_guard guard(lock_);
  senders_wait_ = may_wait;
  if (!may_wait && awaited_ != nullptr) awaited_->is_done();
}

std::optional<Arrival> Inbox::take(std::chrono::milliseconds wait_max) {
  for (;;) {
    if (!has_at_hand()) take_all(wait_max);
    if (!has_at_hand()) return std::nullopt;
    Arrival& oldest = taken_[next_++];
    if (!std::holds_alternative<Dropped>(oldest)) return std::move(oldest);
  }
}

void Inbox::take_all(std::chrono::milliseconds wait_max) {
  using Clock = std::chrono::steady_clock;
  // In a stream of messages, those that come within `moment` are taken together.
  if (wait_max > moment && Clock::now() - took_at_ < 2 * moment) {
    std::this_thread::sleep_for(moment);
  }
  taken_.clear();
  if (taken_.capacity() > room_kept_max) taken_.shrink_to_fit();
  next_ = 0;
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
  std::deque<std::size_t>& places = may_be_lost_.empty() ? should_stay_ : may_be_lost_;
  Arrival& oldest = waiting_[places.front()];
  bytes_ -= bytes_of(std::get<Arrived>(oldest));
  oldest = Dropped{};
  places.pop_front();
  ++dropped_;
  if (waiting_.size() > 2 * messages_max) forget_dropped();
}

void Inbox::note_place(std::size_t place) {
  const auto* message = std::get_if<Arrived>(&waiting_[place]);
  if (message != nullptr) (message->qos == 0 ? may_be_lost_ : should_stay_).push_back(place);
}

// While the worker is held up, what a flood leaves behind must not pile up.
void Inbox::forget_dropped() {
  std::erase_if(waiting_,
                [](const Arrival& arrival) { return std::holds_alternative<Dropped>(arrival); });
  may_be_lost_.clear();
  should_stay_.clear();
  for (std::size_t place = 0; place < waiting_.size(); ++place) note_place(place);
}

}  // namespace wheymark
