// Which subjects have changed since somebody asked? Each once, in a fixed order; marking is cheap.
#pragma once

#include <algorithm>
#include <vector>

#include "core/household/subject.hpp"

namespace wheymark {

class ChangedSubjects {
 public:
  void add(const Subject& subject) {
    if (!subjects_.empty() && subjects_.back() == subject) return;
    subjects_.push_back(subject);
    if (subjects_.size() < tidy_at_) return;
    remove_doubles();
    tidy_at_ = std::max(tidy_at_min, 2 * subjects_.size());
  }

  // Those that were marked since the last call. Valid until the next call.
  const std::vector<Subject>& drain() {
    remove_doubles();
    drained_.clear();
    drained_.swap(subjects_);
    return drained_;
  }

 private:
  static constexpr std::size_t tidy_at_min = 64;

  void remove_doubles() {
    std::sort(subjects_.begin(), subjects_.end());
    subjects_.erase(std::unique(subjects_.begin(), subjects_.end()), subjects_.end());
  }

  std::vector<Subject> subjects_;
  std::vector<Subject> drained_;
  std::size_t tidy_at_ = tidy_at_min;
};

}  // namespace wheymark
