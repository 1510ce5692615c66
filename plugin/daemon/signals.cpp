#include "plugin/daemon/signals.hpp"

#include <chrono>
#include <pthread.h>
#include <signal.h>
#include <unistd.h>

namespace wheymark {
namespace {

constexpr std::chrono::milliseconds stop_ms_max{1900};  // promised: within two seconds

sigset_t ours() {
  sigset_t signals;
  sigemptyset(&signals);
  sigaddset(&signals, SIGTERM);
  sigaddset(&signals, SIGINT);
  sigaddset(&signals, SIGHUP);
  return signals;
}

}  // namespace

Signals::Signals(Inbox& inbox) : inbox_(inbox) {
  const sigset_t signals = ours();
  pthread_sigmask(SIG_BLOCK, &signals, nullptr);
  thread_ = std::thread([this] { wait_for_signals(); });
}

Signals::~Signals() {
  {
    const std::lock_guard guard(lock_);
    ended_ = true;
  }
  ended_changed_.notify_one();
  // It may still be waiting for the first one, with sigwait, which ends by it.
  pthread_kill(thread_.native_handle(), SIGTERM);  // NOLINT(bugprone-bad-signal-to-kill-thread)
  thread_.join();
}

void Signals::everything_is_durable() {
  const std::lock_guard guard(lock_);
  durable_ = true;
}

void Signals::wait_for_signals() {
  const sigset_t signals = ours();
  int caught = 0;
  while (sigwait(&signals, &caught) == 0 && caught == SIGHUP) inbox_.put(ReloadAsked{});
  inbox_.put(StopAsked{});
  std::unique_lock guard(lock_);
  if (!ended_changed_.wait_for(guard, stop_ms_max, [this] { return ended_; })) {
    _exit(durable_ ? 0 : 1);
  }
}

}  // namespace wheymark
