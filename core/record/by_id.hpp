// Entries of a setup in the order of the configuration, found by their ids.
#pragma once

#include <initializer_list>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

namespace wheymark {

// Each entry has an `id`, which is not changed once it is in. Of two with one id the first is
// found.
template <class Entry>
class ById {
 public:
  using Id = decltype(Entry::id);

  ById() = default;
  ById(std::initializer_list<Entry> entries) {
    for (const Entry& entry : entries) push_back(entry);
  }

  void push_back(Entry entry) {
    places_.emplace(entry.id, entries_.size());
    entries_.push_back(std::move(entry));
  }
  // The entry with this id, or null.
  [[nodiscard]] const Entry* find(const Id& id) const {
    const auto found = places_.find(id);
    return found == places_.end() ? nullptr : &entries_[found->second];
  }

  // "a, b, c", or "none".
  [[nodiscard]] std::string ids() const {
    std::string list;
    for (const Entry& entry : entries_) list += (list.empty() ? "" : ", ") + entry.id.text();
    return list.empty() ? "none" : list;
  }

  [[nodiscard]] auto begin() const { return entries_.begin(); }
  [[nodiscard]] auto end() const { return entries_.end(); }
  [[nodiscard]] auto begin() { return entries_.begin(); }
  [[nodiscard]] auto end() { return entries_.end(); }
  [[nodiscard]] std::size_t size() const { return entries_.size(); }
  [[nodiscard]] bool empty() const { return entries_.empty(); }
  [[nodiscard]] const Entry& front() const { return entries_.front(); }
  [[nodiscard]] const Entry& operator[](std::size_t i) const { return entries_[i]; }
  [[nodiscard]] Entry& operator[](std::size_t i) { return entries_[i]; }
  [[nodiscard]] Entry& back() { return entries_.back(); }

 private:
  std::vector<Entry> entries_;
  std::unordered_map<Id, std::size_t> places_;
};

}  // namespace wheymark
