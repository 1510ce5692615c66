#include "plugin/library/states.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

#include "plugin/wire/fingerprint.hpp"

namespace wheymark {
namespace {

// The convention recommends it for retained values; mixing levels would lose their order.
constexpr std::uint8_t qos_of_states = 2;

constexpr int turn_of_descriptions = 2;

// The order in which topics of devices that are gone are cleared. A device exists as long as it has
// a `$state`; that of the root goes before those of its children, whose ids begin like this.
int turn_of(std::string_view topic) {
  if (topic.ends_with("/$description")) return turn_of_descriptions;
  if (!topic.ends_with("/$state")) return 3;
  for (const std::string_view child : {"/5/jar-", "/5/culture-", "/5/place-"}) {
    if (topic.find(child) != std::string_view::npos) return 1;
  }
  return 0;
}

}  // namespace

Outcome States::connected() {
  connected_ = true;
  topics_.clear();
  laid_out_.clear();
  ghosts_.clear();
  later_ghosts_.clear();
  gone_.clear();
  auto filled = store_.retained_topics();
  if (!filled) return filled.refusal();
  for (const std::string& topic : filled.value()) topics_[topic].is_remembered = true;
  return Nothing{};
}

void States::disconnected() {
  connected_ = false;
  laid_out_.clear();
}

void States::publish(const std::string& topic, const std::string& payload) {
  const auto known = topics_.find(topic);
  if (known != topics_.end() && known->second.payload == fingerprint(payload)) return;
  publish_again(topic, payload);
}

void States::publish_again(const std::string& topic, const std::string& payload) {
  if (!connected_) return;
  Topic& known = topics_[topic];
  // Empty ones, too: so the greeting remembers all topics in one transaction.
  if (!known.is_remembered) to_remember_.insert(topic);
  known.payload = fingerprint(payload);
  laid_out_.push_back({topic, payload, 0});
}

Outcome States::send() {
  if (laid_out_.empty()) return Nothing{};
  const Outcome remembered = remember_new_topics();
  while (!laid_out_.empty()) {
    const auto& [topic, payload, delivery] = laid_out_.front();
    if (!host_.publish({topic, payload, {}, qos_of_states, true, delivery})) break;
    laid_out_.pop_front();
  }
  drop_what_was_overtaken();
  return remembered;
}

// While a host refuses for long, not every payload of every minute may be kept.
void States::drop_what_was_overtaken() {
  if (laid_out_.size() <= topics_.size() + ghosts_.size()) return;
  std::set<std::string> seen;
  std::deque<LaidOut> last;
  for (; !laid_out_.empty(); laid_out_.pop_back()) {
    if (seen.insert(laid_out_.back().topic).second) last.push_front(std::move(laid_out_.back()));
  }
  laid_out_ = std::move(last);
}

Outcome States::remember_new_topics() {
  if (to_remember_.empty()) return Nothing{};
  const Outcome kept = store_.remember_retained({to_remember_.begin(), to_remember_.end()}, {});
  if (!kept) return kept;
  for (const std::string& topic : std::exchange(to_remember_, {})) {
    topics_[topic].is_remembered = true;
  }
  return kept;
}

void States::clear_ghosts() {
  std::vector<std::string> ghosts;
  for (const auto& [topic, known] : topics_) {
    if (known.is_remembered && !known.payload) ghosts.push_back(topic);
  }
  std::sort(ghosts.begin(), ghosts.end(), [](const std::string& a, const std::string& b) {
    return std::pair(turn_of(a), std::string_view(a)) < std::pair(turn_of(b), std::string_view(b));
  });
  // A client may reorder what it sends at once: the rest waits until the broker has the states.
  const auto rest = std::find_if(ghosts.begin(), ghosts.end(), [](const std::string& topic) {
    return turn_of(topic) >= turn_of_descriptions;
  });
  later_ghosts_.assign(rest, ghosts.end());
  ghosts.erase(rest, ghosts.end());
  lay_out_ghosts(ghosts.empty() ? std::exchange(later_ghosts_, {}) : ghosts);
}

void States::lay_out_ghosts(const std::vector<std::string>& topics) {
  for (const std::string& topic : topics) {
    laid_out_.push_back({topic, "", next_ghost_});
    ghosts_.emplace(next_ghost_++, topic);
  }
}

bool States::delivered(std::uint64_t delivery, Outcome& kept) {
  if (delivery < first_ghost) return false;
  const auto ghost = ghosts_.find(delivery);
  if (ghost == ghosts_.end()) return true;  // of an earlier connection
  gone_.push_back(ghost->second);
  ghosts_.erase(ghost);
  if (!ghosts_.empty()) return true;
  if (!later_ghosts_.empty()) {
    lay_out_ghosts(std::exchange(later_ghosts_, {}));
    return true;  // one transaction for all
  }
  kept = store_.remember_retained({}, gone_);
  for (const std::string& topic : gone_) topics_[topic].is_remembered = false;
  gone_.clear();
  return true;
}

}  // namespace wheymark
