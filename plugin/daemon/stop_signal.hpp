// How does the daemon hear that it should stop?
//
// SIGTERM and SIGINT are blocked in every thread (so this is made before any other thread) and
// waited for by a thread of its own, which puts StopAsked into the inbox. A signal handler could
// not do that, because it may not lock. When the worker has not ended within the time allowed (it
// may hang inside Paho while a name is looked up), that thread ends the process.
#pragma once

#include <condition_variable>
#include <mutex>
#include <thread>

#include "plugin/daemon/inbox.hpp"

namespace wheymark {

class StopSignal {
 public:
  explicit StopSignal(Inbox& inbox);
  ~StopSignal();
  StopSignal(const StopSignal&) = delete;
  StopSignal& operator=(const StopSignal&) = delete;

  // From here on nothing is lost when the process ends by force.
  void everything_is_durable();

 private:
  void wait_for_signal();

  Inbox& inbox_;
  std::mutex lock_;
  std::condition_variable ended_changed_;
  bool ended_ = false;
  bool durable_ = false;
  std::thread thread_;
};

}  // namespace wheymark
