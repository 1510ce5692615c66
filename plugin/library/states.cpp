#include "plugin/library/states.hpp"

#include <vector>

namespace wheymark {
namespace {

// The convention recommends it for retained values; mixing levels would lose their order.
constexpr std::uint8_t qos_of_states = 2;

}  // namespace

void States::connected() {
  connected_ = true;
  published_.clear();
}

void States::publish(const std::string& topic, const std::string& payload) {
  if (!connected_) return;
  const auto known = published_.find(topic);
  if (known != published_.end() && known->second == payload) return;
  if (host_.publish({topic, payload, {}, qos_of_states, true, 0})) {
    published_.insert_or_assign(topic, payload);
  }
}

Outcome States::clear_ghosts() {
  auto remembered = store_.retained_topics();
  if (!remembered) return remembered.refusal();
  std::vector<std::string> ghosts;
  for (const std::string& topic : remembered.value()) {
    if (!published_.contains(topic)) ghosts.push_back(topic);
  }
  for (const std::string& topic : ghosts) publish(topic, "");
  std::vector<std::string> filled;
  for (const auto& [topic, payload] : published_) filled.push_back(topic);
  for (const std::string& topic : ghosts) std::erase(filled, topic);
  return store_.remember_retained(filled, ghosts);
}

}  // namespace wheymark
