#include "plugin/daemon/supervisor.hpp"

#include <algorithm>
#include <charconv>
#include <cstddef>
#include <cstdlib>
#include <cstring>
#include <fmt/format.h>
#include <optional>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

namespace wheymark {
namespace {

using std::chrono::microseconds;
using std::chrono::milliseconds;

constexpr milliseconds never{24 * 60 * 60 * 1000};
constexpr milliseconds sign_every_min{10};
constexpr int signs_per_period = 4;  // three may be late

std::string from_environment(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? std::string() : std::string(value);
}

std::optional<std::int64_t> number_in(const std::string& text) {
  std::int64_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return number;
}

// The variables are inherited by children: WATCHDOG_PID says whom they are meant for.
std::optional<milliseconds> watchdog_period() {
  const auto period_us = number_in(from_environment("WATCHDOG_USEC"));
  if (!period_us || *period_us <= 0) return std::nullopt;
  const std::string process = from_environment("WATCHDOG_PID");
  if (!process.empty() && number_in(process) != getpid()) return std::nullopt;
  return std::chrono::duration_cast<milliseconds>(microseconds(*period_us));
}

}  // namespace

Supervisor::Supervisor() : address_(from_environment("NOTIFY_SOCKET")), sign_every_(never) {
  if (address_.empty()) return;
  socket_ = socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
  if (const auto period = watchdog_period()) {
    signs_wanted_ = true;
    sign_every_ = std::max(*period / signs_per_period, sign_every_min);
  }
}

Supervisor::~Supervisor() {
  if (socket_ >= 0) close(socket_);
}

void Supervisor::ready() const {
  tell("READY=1");
}

// The instant tells a supervisor that waits for the end of this reload from an earlier one's.
void Supervisor::reloading() const {
  const auto now = Clock::now().time_since_epoch();
  tell(fmt::format("RELOADING=1\nMONOTONIC_USEC={}",
                   std::chrono::duration_cast<microseconds>(now).count()));
}

void Supervisor::stopping() const {
  tell("STOPPING=1\nSTATUS=saying goodbye");
}

void Supervisor::status(std::string_view sentence) const {
  tell(fmt::format("STATUS={}", sentence));
}

void Supervisor::sign_of_life(Clock::time_point now) {
  if (!signs_wanted_ || now < next_sign_) return;
  next_sign_ = now + sign_every_;
  tell("WATCHDOG=1");
}

// Whether it arrives is not checked: there is nothing that we could do.
void Supervisor::tell(std::string_view lines) const {
  sockaddr_un to{};
  if (socket_ < 0 || address_.size() >= sizeof to.sun_path) return;
  to.sun_family = AF_UNIX;
  std::memcpy(to.sun_path, address_.data(), address_.size());
  if (to.sun_path[0] == '@') to.sun_path[0] = '\0';  // Linux's names that are in no folder
  const auto length = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + address_.size());
  (void)sendto(socket_, lines.data(), lines.size(), MSG_NOSIGNAL | MSG_DONTWAIT,
               reinterpret_cast<const sockaddr*>(&to), length);
}

}  // namespace wheymark
