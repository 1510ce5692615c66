// What has arrived that the worker has not handled yet?
//
// Paho's threads and the signal thread put in, one worker takes out. Putting in never fails and
// calls nobody, because the library's own locks may be held at that time. Messages are bounded by
// number and by bytes. Beyond that the oldest of QoS 0 is dropped: its sender allows that it is
// lost. When there is none, the thread that reads from the broker waits for the worker, so that the
// broker keeps what is still to come; only if the worker takes nothing for long, the oldest is
// dropped. Acknowledgements and the like are never dropped; there are no more of them than what we
// sent.
//
// Waking a thread costs more than a reading does. So the worker takes everything that waits at
// once, and when more comes soon afterwards, it sleeps for some milliseconds instead of being woken
// by each.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace wheymark {

struct Connected {};
struct ConnectFailed {
  std::string why;
};
struct ConnectionLost {
  std::string why;
};
// A request to the broker is over; `serial` is the number that it was given.
struct Finished {
  std::uintptr_t serial = 0;
  bool taken = false;           // the broker has it
  std::string refused_because;  // what the broker said; empty when nobody refused it
};
// Whether the worker has handled a message: then the broker may forget it.
class Handling {
 public:
  void is_done() noexcept;
  // Until it is done, or nobody will do it any more, or `wait_max` is over.
  void wait(std::chrono::milliseconds wait_max) noexcept;

 private:
  std::mutex lock_;
  std::condition_variable ended_;
  bool done_ = false;
};
struct Arrived {
  std::string topic;
  std::string payload;
  std::uint8_t qos = 0;
  bool retain = false;
  std::shared_ptr<Handling> handling = nullptr;  // none of QoS 0
};
struct StopAsked {};
struct ReloadAsked {};  // the configuration may have changed

struct Dropped {};  // in the place of a dropped message

using Arrival = std::variant<Connected, ConnectFailed, ConnectionLost, Finished, Arrived, StopAsked,
                             ReloadAsked, Dropped>;

// Whether it still matters when the connection during which it arrived is gone.
[[nodiscard]] bool outlives_its_connection(const Arrival& arrival);

class Inbox {
 public:
  static constexpr std::size_t messages_max = 10'000;
  static constexpr std::chrono::milliseconds patience{500};  // of a message that finds no room
  static constexpr std::chrono::milliseconds handled_within{5000};
  static constexpr std::size_t bytes_max = 64UL * 1024 * 1024;  // 10,000 are usually < 2 MB

  void put(Arrival arrival) noexcept;
  // The same, and waits until it is handled, so that the broker keeps what was not: it is told that
  // a message has come when Paho's callback returns. Not for long: a worker that is held up must
  // not cost the connection.
  void put_and_wait(Arrived message) noexcept;
  // While there is no client whose messages could be acknowledged, put_and_wait does nothing.
  void let_senders_wait(bool may_wait) noexcept;

  // The oldest, or nothing when none comes within `wait_max`. Called by one thread only.
  [[nodiscard]] std::optional<Arrival> take(std::chrono::milliseconds wait_max);
  // Whether the next is at hand: taking it costs neither waiting nor a lock.
  [[nodiscard]] bool has_at_hand() const { return next_ < taken_.size(); }

  // How many messages were dropped since the last time that this was asked.
  [[nodiscard]] std::size_t dropped() { return dropped_.exchange(0); }

 private:
  [[nodiscard]] bool is_full() const;
  void drop_one();
  void note_place(std::size_t place);
  void forget_dropped();
  // Moves all that waits to taken_; waits for something when there is nothing.
  void take_all(std::chrono::milliseconds wait_max);

  // Used by the worker only. Both lists keep their memory.
  std::vector<Arrival> taken_;
  std::size_t next_ = 0;  // of taken_
  std::chrono::steady_clock::time_point took_at_{};

  std::mutex lock_;
  std::condition_variable filled_;
  std::condition_variable emptied_;
  std::vector<Arrival> waiting_;
  // Where in waiting_ there are messages, oldest first: those of QoS 0, and the others.
  std::deque<std::size_t> may_be_lost_;
  std::deque<std::size_t> should_stay_;
  std::size_t bytes_ = 0;
  bool worker_sleeps_ = false;  // until it is notified
  bool senders_wait_ = true;
  std::shared_ptr<Handling> awaited_;  // Paho has one thread that receives
  std::atomic<std::size_t> dropped_ = 0;
};

}  // namespace wheymark
