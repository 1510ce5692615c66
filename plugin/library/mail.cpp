#include "plugin/library/mail.hpp"

#include <utility>

#include "core/basis/limits.hpp"

namespace wheymark {

Outcome Mail::connected() {
  auto parcels = store_.outbox();
  if (!parcels) return parcels.refusal();
  connected_ = true;
  on_the_way_.clear();
  waiting_.clear();
  send(std::move(parcels).value());
  return Nothing{};
}

void Mail::disconnected() {
  connected_ = false;
  on_the_way_.clear();
  waiting_.clear();  // the store has them
}

void Mail::send(std::vector<Parcel> parcels) {
  if (!connected_) return;
  for (Parcel& parcel : parcels) waiting_.push_back(std::move(parcel));
  send_what_fits();
}

Outcome Mail::delivered(std::uint64_t delivery) {
  on_the_way_.erase(delivery);
  const Outcome forgotten = store_.delivered(delivery);
  send_what_fits();
  return forgotten;
}

void Mail::send_what_fits() {
  while (!waiting_.empty() && on_the_way_.size() < limits::outbox_in_flight_max) {
    const Parcel& parcel = waiting_.front();
    const bool sent = host_.publish(
        {parcel.topic, parcel.payload, parcel.content_type, parcel.qos, false, parcel.delivery});
    if (!sent) return;  // tried again with the next parcel, delivery or connection
    on_the_way_.insert(parcel.delivery);
    waiting_.pop_front();
  }
}

}  // namespace wheymark
