#include "plugin/library/states.hpp"

#include <algorithm>

namespace wheymark {
namespace {

// The convention recommends it for retained values; mixing levels would lose their order.
constexpr std::uint8_t qos_of_states = 2;

}  // namespace

void States::connected() {
  connected_ = true;
  published_.clear();
  refused_.clear();
}

void States::publish(const std::string& topic, const std::string& payload) {
  if (!connected_) return;
  const auto known = published_.find(topic);
  if (known != published_.end() && known->second == payload) return;
  std::erase_if(refused_, [&](const auto& waiting) { return waiting.first == topic; });
  if (host_.publish({topic, payload, {}, qos_of_states, true, 0})) {
    published_.insert_or_assign(topic, payload);
  } else {
    refused_.emplace_back(topic, payload);
  }
}

void States::publish_what_was_refused() {
  if (!connected_) return;
  for (const auto& [topic, payload] : std::exchange(refused_, {})) publish(topic, payload);
}

Outcome States::clear_ghosts() {
  auto remembered = store_.retained_topics();
  if (!remembered) return remembered.refusal();
  const auto is_current = [this](const std::string& topic) {
    return published_.contains(topic) ||
           std::any_of(refused_.begin(), refused_.end(),
                       [&](const auto& waiting) { return waiting.first == topic; });
  };
  std::vector<std::string> ghosts = std::move(remembered).value();
  std::erase_if(ghosts, is_current);
  std::stable_partition(ghosts.begin(), ghosts.end(),
                        [](const std::string& topic) { return topic.ends_with("/$state"); });

  std::vector<std::string> filled;
  for (const auto& [topic, payload] : published_) filled.push_back(topic);
  std::vector<std::string> cleared;
  for (const std::string& topic : ghosts) {
    publish(topic, "");
    // One that the host has refused is remembered, and tried again.
    if (published_.contains(topic)) cleared.push_back(topic);
  }
  return store_.remember_retained(filled, cleared);
}

}  // namespace wheymark
