#include "plugin/daemon/errands.hpp"

#include <utility>

namespace wheymark {

Errands::Errands() : thread_([this] { work(); }) {}

Errands::~Errands() {
  {
    const std::lock_guard guard(lock_);
    over_ = true;
  }
  asked_.notify_one();
  thread_.join();
}

void Errands::ask(std::function<void()> errand) {
  {
    const std::lock_guard guard(lock_);
    waiting_.push_back(std::move(errand));
  }
  asked_.notify_one();
}

void Errands::work() {
  std::unique_lock guard(lock_);
  for (;;) {
    asked_.wait(guard, [this] { return over_ || !waiting_.empty(); });
    if (over_) return;
    const std::function<void()> errand = std::move(waiting_.front());
    waiting_.pop_front();
    guard.unlock();
    errand();
    guard.lock();
  }
}

}  // namespace wheymark
