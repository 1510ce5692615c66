// One reader's connection, with limits that hold for the whole of a request.
//
// httplib's own limit is between two bytes, so that a reader who sends one every few seconds could
// hold a thread for hours. Here a request has to be there within some seconds, whole.
#pragma once

#include <chrono>
#include <httplib.h>
#include <string>

namespace wheymark {

class Connection : public httplib::Stream {
 public:
  using Clock = std::chrono::steady_clock;

  // Takes the socket over: it is closed with the connection.
  explicit Connection(socket_t socket) : socket_(socket) {}
  ~Connection() override;
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;

  // Whether a request begins within `wait_max`; then it must be whole within `whole_max`.
  [[nodiscard]] bool request_begins(std::chrono::milliseconds wait_max,
                                    std::chrono::milliseconds whole_max);
  // Answers that there is no room, without waiting for anything.
  void turn_away() const;

  [[nodiscard]] bool is_readable() const override;
  [[nodiscard]] bool is_writable() const override;
  ssize_t read(char* to, size_t size) override;
  ssize_t write(const char* from, size_t size) override;
  void get_remote_ip_and_port(std::string& ip, int& port) const override;
  void get_local_ip_and_port(std::string& ip, int& port) const override;
  [[nodiscard]] socket_t socket() const override { return socket_; }

 private:
  [[nodiscard]] bool becomes(short event, Clock::time_point until) const;

  socket_t socket_;
  Clock::time_point read_until_{};
};

}  // namespace wheymark
