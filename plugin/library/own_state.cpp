#include "plugin/library/own_state.hpp"

#include <algorithm>

namespace wheymark {
namespace {

// A connection publishes init, ready and disconnected; without echoes the memory must not fill.
constexpr std::size_t echoes_awaited_max = 8;

constexpr std::chrono::seconds repair_spacing{5};

}  // namespace

void OwnState::connected() {
  last_said_.clear();
  echoes_awaited_.clear();
  repair_at_.reset();
}

void OwnState::said(const std::string& state) {
  last_said_ = state;
  echoes_awaited_.push_back(state);
  if (echoes_awaited_.size() > echoes_awaited_max) echoes_awaited_.pop_front();
}

bool OwnState::overwritten_by(std::string_view payload, bool retained) {
  // A retained copy is from before we subscribed, and so from before we published anything.
  if (retained || last_said_.empty()) return false;
  const auto echo = std::find(echoes_awaited_.begin(), echoes_awaited_.end(), payload);
  if (echo != echoes_awaited_.end()) {
    echoes_awaited_.erase(echoes_awaited_.begin(), echo + 1);
    return false;
  }
  return payload != last_said_;
}

void OwnState::schedule_repair(Instant now) {
  repair_at_ = std::max(now, repaired_ + repair_spacing);
}

bool OwnState::repair_is_due(Instant now) {
  if (!repair_at_ || now < *repair_at_) return false;
  repair_at_.reset();
  repaired_ = now;
  return true;
}

void OwnState::clock_went_back(Instant now) {
  repaired_ = std::min(repaired_, now);
  if (repair_at_) repair_at_ = now;
}

}  // namespace wheymark
