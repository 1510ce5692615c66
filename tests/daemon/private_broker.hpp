// A broker of the test's own, and people who listen and speak on it.
//
// mosquitto on a free loopback port, without persistence: after kill() and start() it has forgotten
// everything, as brokers on small computers do.
#pragma once

#include <algorithm>
#include <arpa/inet.h>
#include <gtest/gtest.h>
#include <memory>
#include <netinet/in.h>
#include <sstream>
#include <string>
#include <sys/socket.h>
#include <unistd.h>
#include <vector>

#include "tests/daemon/process.hpp"

namespace wheymark::test {

// A port that nobody listens on. Not one of those that the system hands out (32768 and up), which
// any connection may take before it is used; and test programs that run at a time look for theirs
// in different places.
inline int free_port() {
  static int asked = 0;
  for (int tries = 0; tries < 1000; ++tries) {
    const int port = 10240 + (31 * getpid() + asked++) % 22000;
    const int descriptor = socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    address.sin_port = htons(static_cast<std::uint16_t>(port));
    const bool is_free =
        bind(descriptor, reinterpret_cast<sockaddr*>(&address), sizeof address) == 0;
    close(descriptor);
    if (is_free) return port;
  }
  return 0;
}

class PrivateBroker {
 public:
  // `more` is added to its configuration.
  explicit PrivateBroker(const std::string& more = "allow_anonymous true\n")
      : port_(free_port()), more_(more) {}

  // Returns once it accepts connections.
  void start() {
    std::string configuration = "listener " + std::to_string(port_) + " 127.0.0.1\n";
    configuration += "persistence false\nlog_type all\n" + more_;
    if (geteuid() == 0) configuration += "user root\n";
    const std::string file = folder_.file("mosquitto.conf", configuration);
    process_ =
        std::make_unique<Process>(std::vector<std::string>{"/usr/sbin/mosquitto", "-c", file});
    ASSERT_TRUE(comes_true([this] { return accepts(); })) << process_->err();
  }
  void kill() { process_.reset(); }
  void hold() const { process_->signal(SIGSTOP); }  // accepts nothing from anybody
  [[nodiscard]] std::string log() const { return process_ ? process_->err() : ""; }

  [[nodiscard]] int port() const { return port_; }
  [[nodiscard]] std::string url() const { return "mqtt://127.0.0.1:" + std::to_string(port_); }

 private:
  [[nodiscard]] bool accepts() const {
    const int descriptor = socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    address.sin_port = htons(static_cast<std::uint16_t>(port_));
    const bool open =
        connect(descriptor, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0;
    close(descriptor);
    return open;
  }

  int port_;
  std::string more_;
  TemporaryFolder folder_;
  std::unique_ptr<Process> process_;
};

// Writes down what comes on some topics, a line each: "topic qos retained payload".
class Listener {
 public:
  // Returns once it is subscribed; what is retained comes first.
  Listener(const PrivateBroker& broker, const std::string& filter,
           const std::vector<std::string>& more = {})
      : process_(command(broker, filter, more)) {
    // -d prints that on stdout, from which the lines are read.
    EXPECT_TRUE(comes_true([this] {
      return process_.out().find("Subscribed (mid") != std::string::npos;
    })) << process_.out()
        << process_.err();
  }

  [[nodiscard]] std::vector<std::string> lines() const {
    std::vector<std::string> heard;
    std::istringstream out(process_.out());
    for (std::string line; std::getline(out, line);) {
      if (line.rfind("> ", 0) == 0) heard.push_back(line.substr(2));
    }
    return heard;
  }
  // How often exactly this line came.
  [[nodiscard]] std::ptrdiff_t count(const std::string& line) const {
    const std::vector<std::string> all = lines();
    return std::count(all.begin(), all.end(), line);
  }
  [[nodiscard]] bool hears(const std::string& line,
                           std::chrono::milliseconds wait_max = patience) const {
    return comes_true([&] { return all().find("> " + line + "\n") != std::string::npos; },
                      wait_max);
  }
  [[nodiscard]] std::string all() const { return process_.out(); }

 private:
  static std::vector<std::string> command(const PrivateBroker& broker, const std::string& filter,
                                          const std::vector<std::string>& more) {
    std::vector<std::string> words{"stdbuf",
                                   "-oL",
                                   "mosquitto_sub",
                                   "-h",
                                   "127.0.0.1",
                                   "-p",
                                   std::to_string(broker.port()),
                                   "-V",
                                   "5",
                                   "-q",
                                   "2",
                                   "-d",
                                   "-t",
                                   filter,
                                   "-F",
                                   "> %t %q %r %p"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
  }
  Process process_;
};

// Publishes one message, QoS 1 unless `more` says otherwise, and waits until the broker has it.
inline void say(const PrivateBroker& broker, const std::string& topic, const std::string& payload,
                const std::vector<std::string>& more = {"-q", "1"}) {
  std::vector<std::string> words{
      "mosquitto_pub", "-h", "127.0.0.1", "-p", std::to_string(broker.port()), "-V", "5", "-t",
      topic,           "-m", payload};
  words.insert(words.end(), more.begin(), more.end());
  Process speaker(words);
  ASSERT_EQ(speaker.exit_status(), 0) << speaker.err();
}

}  // namespace wheymark::test
