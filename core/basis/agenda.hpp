// What is due, and when? Each key once, with its instant.
//
// So that a message costs what it changes and not what there is: nobody walks through ten thousand
// jars to find the one whose peak is near.
#pragma once

#include <optional>
#include <set>
#include <unordered_map>
#include <utility>
#include <vector>

#include "core/basis/units.hpp"

namespace wheymark {

template <class Key>
class Agenda {
 public:
  // Replaces what was scheduled for it before; nothing: never.
  void schedule(const Key& key, std::optional<Instant> instant) {
    const auto known = instants_.find(key);
    if (known != instants_.end()) {
      if (known->second == instant) return;
      order_.erase({known->second, key});
      if (!instant) {
        instants_.erase(known);
        return;
      }
      known->second = *instant;
    } else if (instant) {
      instants_.emplace(key, *instant);
    }
    if (instant) order_.emplace(*instant, key);
  }

  // Not later than what was scheduled for it before.
  void schedule_by(const Key& key, Instant instant) {
    const auto known = instants_.find(key);
    if (known == instants_.end() || instant < known->second) schedule(key, instant);
  }

  // When the first is due.
  [[nodiscard]] std::optional<Instant> next() const {
    return order_.empty() ? std::nullopt : std::optional(order_.begin()->first);
  }

  // What is due by `now`, the earliest first. It stays scheduled.
  [[nodiscard]] std::vector<Key> due(Instant now) const {
    std::vector<Key> keys;
    for (auto entry = order_.begin(); entry != order_.end() && entry->first <= now; ++entry) {
      keys.push_back(entry->second);
    }
    return keys;
  }

  void clear() {
    instants_.clear();
    order_.clear();
  }

 private:
  std::unordered_map<Key, Instant> instants_;
  std::set<std::pair<Instant, Key>> order_;
};

}  // namespace wheymark
