// Does the program that started us want to know how we are?
//
// systemd's protocol (sd_notify(3)): datagrams of lines to the socket that NOTIFY_SOCKET names, and
// a sign of life more often than every WATCHDOG_USEC, which the worker gives and nobody else: a
// worker that hangs is then ended and started again. By hand, because it is a screen of code and
// libsystemd brings five more libraries. Without the variables, nothing happens here.
#pragma once

#include <chrono>
#include <string>
#include <string_view>

namespace wheymark {

class Supervisor {
 public:
  using Clock = std::chrono::steady_clock;

  Supervisor();
  ~Supervisor();
  Supervisor(const Supervisor&) = delete;
  Supervisor& operator=(const Supervisor&) = delete;

  void ready() const;
  void reloading() const;
  void stopping() const;
  // What we are doing, for a person who asks for the status.
  void status(std::string_view sentence) const;

  // Called at every turn of the work; sends a sign as often as is needed.
  void sign_of_life(Clock::time_point now);
  // How long the worker may sleep at most.
  [[nodiscard]] std::chrono::milliseconds sign_every() const { return sign_every_; }

 private:
  void tell(std::string_view lines) const;

  std::string address_;  // empty: nobody wants to know
  int socket_ = -1;
  std::chrono::milliseconds sign_every_;
  bool signs_wanted_ = false;
  Clock::time_point next_sign_{};
};

}  // namespace wheymark
