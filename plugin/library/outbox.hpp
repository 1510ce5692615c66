// Messages that must arrive: kept by the store until the broker has them, sent in order, never more
// on the way at once than limits::outbox_in_flight_max.
#pragma once

#include <cstdint>
#include <deque>
#include <set>

#include "core/basis/limits.hpp"
#include "core/basis/result.hpp"
#include "plugin/library/host.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

class Outbox {
 public:
  Outbox(const Host& host, Store& store) : host_(host), store_(store) {}

  // There is a connection: everything undelivered goes out again, oldest first.
  Outcome connected();
  void disconnected();

  // Sends messages that the store has just committed; without a connection they wait in the store.
  void send(std::vector<OutboxMessage> messages);
  // Sends what the store does not keep: without a connection it waits in memory. Beyond
  // limits::answers_waiting_max the oldest is dropped.
  void send_unkept(OutboxMessage message);
  Outcome delivered(std::uint64_t delivery);

  // Whether something waits only because the host refused it: then send_what_fits() is worth
  // another try in a while.
  [[nodiscard]] bool was_refused() const {
    return connected_ && !waiting_.empty() && on_the_way_.size() < limits::outbox_in_flight_max;
  }
  void send_what_fits();

 private:
  [[nodiscard]] bool handed_over(const OutboxMessage& message) const;
  void forget_what_the_store_has();

  const Host& host_;
  Store& store_;
  bool connected_ = false;
  std::deque<OutboxMessage> waiting_;
  std::set<std::uint64_t> on_the_way_;
};

}  // namespace wheymark
