// How does the daemon hear that it should stop, or read its configuration again?
//
// SIGTERM and SIGINT, and SIGHUP, are blocked in every thread (so this is made before any other
// thread) and waited for by a thread of its own, which puts StopAsked or ReloadAsked into the
// inbox. A signal handler could not do that, because it may not lock. When the worker has not ended
// within the time allowed (it may hang inside Paho while a name is looked up), that thread ends the
// process.
#pragma once

#include <condition_variable>
#include <mutex>
#include <thread>

#include "plugin/daemon/inbox.hpp"

namespace wheymark {

class Signals {
 public:
  explicit Signals(Inbox& inbox);
  ~Signals();
  Signals(const Signals&) = delete;
  Signals& operator=(const Signals&) = delete;

  // From here on nothing is lost when the process ends by force.
  void everything_is_durable();

 private:
  void wait_for_signals();

  Inbox& inbox_;
  std::mutex lock_;
  std::condition_variable ended_changed_;
  bool ended_ = false;
  bool durable_ = false;
  std::thread thread_;
};

}  // namespace wheymark
