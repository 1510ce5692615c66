#include "plugin/daemon/stop_signal.hpp"

#include <chrono>
#include <pthread.h>
#include <signal.h>
#include <unistd.h>

namespace wheymark {
namespace {

constexpr std::chrono::milliseconds stop_ms_max{1900};  // promised: within two seconds

sigset_t stop_signals() {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGTERM);
  sigaddset(&signals, SIGINT);
  return signals;
}

}  // namespace

StopSignal::StopSignal(Inbox& inbox) : inbox_(inbox) {
  const sigset_t signals = stop_signals();
  pthread_sigmask(SIG_BLOCK, &signals, nullptr);
  thread_ = std::thread([this] { wait_for_signal(); });
}

StopSignal::~StopSignal() {
  {
    const std::lock_guard guard(lock_);
    ended_ = true;
  }
  ended_changed_.notify_one();
  pthread_kill(thread_.native_handle(), SIGTERM);  // it may still be waiting for the first one
  thread_.join();
}

void StopSignal::everything_is_durable() {
  const std::lock_guard guard(lock_);
  durable_ = true;
}

void StopSignal::wait_for_signal() {
  const sigset_t signals = stop_signals();
  int caught = 0;
  sigwait(&signals, &caught);
  inbox_.put(StopAsked{});
  std::unique_lock guard(lock_);
  if (!ended_changed_.wait_for(guard, stop_ms_max, [this] { return ended_; })) {
    _exit(durable_ ? 0 : 1);
  }
}

}  // namespace wheymark
