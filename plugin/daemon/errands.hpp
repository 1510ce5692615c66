// A thread that does one thing after the other, for somebody who must not wait for it.
#pragma once

#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>

namespace wheymark {

class Errands {
 public:
  Errands();
  Errands(const Errands&) = delete;
  Errands& operator=(const Errands&) = delete;
  // Waits for the one that is being done; the others are not begun.
  ~Errands();

  // `errand` must not throw.
  void ask(std::function<void()> errand);

 private:
  void work();

  std::mutex lock_;
  std::condition_variable asked_;
  std::deque<std::function<void()>> waiting_;
  bool over_ = false;
  std::thread thread_;  // last: it uses the others
};

}  // namespace wheymark
