#include "plugin/web/connection.hpp"

#include <algorithm>
#include <cerrno>
#include <poll.h>
#include <string_view>
#include <sys/socket.h>
#include <unistd.h>

namespace wheymark {
namespace {

using std::chrono::milliseconds;

constexpr milliseconds write_wait_max{5'000};  // a reader who reads nothing for so long is gone

}  // namespace

Connection::~Connection() {
  shutdown(socket_, SHUT_RDWR);
  close(socket_);
}

bool Connection::request_begins(milliseconds wait_max, milliseconds whole_max) {
  if (!becomes(POLLIN, Clock::now() + wait_max)) return false;
  read_until_ = Clock::now() + whole_max;
  return true;
}

void Connection::turn_away() const {
  constexpr std::string_view full =
      "HTTP/1.1 503 Service Unavailable\r\nRetry-After: 10\r\nContent-Length: 0\r\n"
      "Connection: close\r\n\r\n";
  (void)send(socket_, full.data(), full.size(), MSG_DONTWAIT | MSG_NOSIGNAL);
}

bool Connection::becomes(short event, Clock::time_point until) const {
  for (;;) {
    const auto left = std::chrono::duration_cast<milliseconds>(until - Clock::now());
    pollfd asked{socket_, event, 0};
    const int ready = poll(&asked, 1, static_cast<int>(std::max<std::int64_t>(0, left.count())));
    if (ready > 0) return (asked.revents & event) != 0;
    if (ready == 0 || errno != EINTR) return false;
  }
}

bool Connection::is_readable() const {
  return becomes(POLLIN, read_until_);
}

bool Connection::is_writable() const {
  return becomes(POLLOUT, Clock::now() + write_wait_max);
}

ssize_t Connection::read(char* to, size_t size) {
  if (!is_readable()) return -1;
  return recv(socket_, to, size, 0);
}

ssize_t Connection::write(const char* from, size_t size) {
  if (!is_writable()) return -1;
  return send(socket_, from, size, MSG_NOSIGNAL | MSG_DONTWAIT);
}

// Nobody asks for the reader's address.
void Connection::get_remote_ip_and_port(std::string& ip, int& port) const {
  ip.clear();
  port = 0;
}
void Connection::get_local_ip_and_port(std::string& ip, int& port) const {
  ip.clear();
  port = 0;
}

}  // namespace wheymark
