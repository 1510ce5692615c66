// Messages that must arrive: kept by the store until the broker has them, sent in order, never more
// on the way at once than limits::outbox_in_flight_max.
#pragma once

#include <cstdint>
#include <deque>
#include <set>

#include "core/basis/result.hpp"
#include "plugin/library/host.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

class Mail {
 public:
  Mail(const Host& host, Store& store) : host_(host), store_(store) {}

  // There is a connection: everything undelivered goes out again, oldest first.
  Outcome connected();
  void disconnected();

  // Sends parcels that the store has just committed; without a connection they wait in the store.
  void send(std::vector<Parcel> parcels);
  Outcome delivered(std::uint64_t delivery);

  [[nodiscard]] bool all_delivered() const { return waiting_.empty() && on_the_way_.empty(); }

 private:
  void send_what_fits();

  const Host& host_;
  Store& store_;
  bool connected_ = false;
  std::deque<Parcel> waiting_;
  std::set<std::uint64_t> on_the_way_;
};

}  // namespace wheymark
