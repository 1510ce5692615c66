#include "plugin/library/own_state.hpp"

#include <algorithm>

namespace wheymark {
namespace {

// A connection says init, ready and disconnected; hosts that get no echo must not fill the memory.
constexpr std::size_t echoes_awaited_max = 8;

}  // namespace

void OwnState::connected() {
  last_said_.clear();
  echoes_awaited_.clear();
}

void OwnState::said(const std::string& state) {
  last_said_ = state;
  echoes_awaited_.push_back(state);
  if (echoes_awaited_.size() > echoes_awaited_max) echoes_awaited_.pop_front();
}

bool OwnState::overwritten_by(std::string_view payload, bool retained) {
  // A retained copy is what stood there before we subscribed, and so before we said anything.
  if (retained || last_said_.empty()) return false;
  const auto echo = std::find(echoes_awaited_.begin(), echoes_awaited_.end(), payload);
  if (echo != echoes_awaited_.end()) {
    echoes_awaited_.erase(echoes_awaited_.begin(), echo + 1);
    return false;
  }
  return payload != last_said_;
}

}  // namespace wheymark
