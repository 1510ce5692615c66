#include "plugin/library/outbox.hpp"

#include <algorithm>
#include <utility>

namespace wheymark {

Outcome Outbox::connected() {
  auto messages = store_.outbox();
  if (!messages) return messages.refusal();
  connected_ = true;
  forget_what_the_store_has();
  send(std::move(messages).value());
  return Nothing{};
}

void Outbox::disconnected() {
  connected_ = false;
  forget_what_the_store_has();
}

void Outbox::forget_what_the_store_has() {
  on_the_way_.clear();
  std::erase_if(waiting_, [](const OutboxMessage& message) { return message.delivery != 0; });
}

void Outbox::send(std::vector<OutboxMessage> messages) {
  if (!connected_) return;
  for (OutboxMessage& message : messages) waiting_.push_back(std::move(message));
  send_what_fits();
}

void Outbox::send_unkept(OutboxMessage message) {
  if (waiting_.empty() && handed_over(message)) return;
  const auto unkept = [](const OutboxMessage& waiting) { return waiting.delivery == 0; };
  const auto count = std::count_if(waiting_.begin(), waiting_.end(), unkept);
  if (static_cast<std::size_t>(count) >= limits::answers_waiting_max) {
    waiting_.erase(std::find_if(waiting_.begin(), waiting_.end(), unkept));
  }
  waiting_.push_back(std::move(message));
}

Outcome Outbox::delivered(std::uint64_t delivery) {
  on_the_way_.erase(delivery);
  const Outcome forgotten = store_.delivered(delivery);
  send_what_fits();
  return forgotten;
}

bool Outbox::handed_over(const OutboxMessage& message) const {
  return host_.publish(
      {message.topic, message.payload, message.content_type, message.qos, false, message.delivery});
}

void Outbox::send_what_fits() {
  if (!connected_) return;
  while (!waiting_.empty() && on_the_way_.size() < limits::outbox_in_flight_max) {
    const OutboxMessage& message = waiting_.front();
    if (!handed_over(message)) return;
    if (message.delivery != 0) on_the_way_.insert(message.delivery);
    waiting_.pop_front();
  }
}

}  // namespace wheymark
