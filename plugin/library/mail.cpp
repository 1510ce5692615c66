#include "plugin/library/mail.hpp"

#include <algorithm>
#include <utility>

namespace wheymark {

Outcome Mail::connected() {
  auto parcels = store_.outbox();
  if (!parcels) return parcels.refusal();
  connected_ = true;
  forget_what_the_store_has();
  send(std::move(parcels).value());
  return Nothing{};
}

void Mail::disconnected() {
  connected_ = false;
  forget_what_the_store_has();
}

void Mail::forget_what_the_store_has() {
  on_the_way_.clear();
  std::erase_if(waiting_, [](const Parcel& parcel) { return parcel.delivery != 0; });
}

void Mail::send(std::vector<Parcel> parcels) {
  if (!connected_) return;
  for (Parcel& parcel : parcels) waiting_.push_back(std::move(parcel));
  send_what_fits();
}

void Mail::send_unkept(Parcel parcel) {
  if (waiting_.empty() && handed_over(parcel)) return;
  const auto unkept = [](const Parcel& waiting) { return waiting.delivery == 0; };
  const auto count = std::count_if(waiting_.begin(), waiting_.end(), unkept);
  if (static_cast<std::size_t>(count) >= limits::answers_waiting_max) {
    waiting_.erase(std::find_if(waiting_.begin(), waiting_.end(), unkept));
  }
  waiting_.push_back(std::move(parcel));
}

Outcome Mail::delivered(std::uint64_t delivery) {
  on_the_way_.erase(delivery);
  const Outcome forgotten = store_.delivered(delivery);
  send_what_fits();
  return forgotten;
}

bool Mail::handed_over(const Parcel& parcel) const {
  return host_.publish(
      {parcel.topic, parcel.payload, parcel.content_type, parcel.qos, false, parcel.delivery});
}

void Mail::send_what_fits() {
  if (!connected_) return;
  while (!waiting_.empty() && on_the_way_.size() < limits::outbox_in_flight_max) {
    const Parcel& parcel = waiting_.front();
    if (!handed_over(parcel)) return;
    if (parcel.delivery != 0) on_the_way_.insert(parcel.delivery);
    waiting_.pop_front();
  }
}

}  // namespace wheymark
