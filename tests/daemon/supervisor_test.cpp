// What the daemon tells the program that started it, on a socket as systemd has it.
#include <cstring>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/un.h>

#include "tests/daemon/daemon_with_fake_library.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class ASupervisor : public ::testing::Test {
 protected:
  // `name` as in NOTIFY_SOCKET: a file, or "@" and a name that is in no folder.
  void listen_on(const std::string& name) {
    name_ = name;
    socket_ = socket(AF_UNIX, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::memcpy(address.sun_path, name.data(), name.size());
    if (name.front() == '@') address.sun_path[0] = '\0';
    const auto length = static_cast<socklen_t>(offsetof(sockaddr_un, sun_path) + name.size());
    ASSERT_EQ(bind(socket_, reinterpret_cast<sockaddr*>(&address), length), 0) << name;
  }
  void SetUp() override { listen_on(folder.path_of("notify")); }
  void TearDown() override { close(socket_); }

  std::unique_ptr<Process> daemon(const std::string& configuration) {
    return wheymarkd({"run", "--config", folder.file("c", configuration)}, "",
                     {{"NOTIFY_SOCKET", name_}, {"WATCHDOG_USEC", "400000"}});
  }

  // What it tells until `text` comes, or for `wait_max`.
  std::vector<std::string> told_until(const std::string& text, std::chrono::milliseconds wait_max) {
    std::vector<std::string> told;
    const auto until = std::chrono::steady_clock::now() + wait_max;
    while (std::chrono::steady_clock::now() < until) {
      pollfd waiting{socket_, POLLIN, 0};
      if (poll(&waiting, 1, 50) <= 0) continue;
      char bytes[512];
      const ssize_t count = recv(socket_, bytes, sizeof bytes, 0);
      told.emplace_back(bytes, static_cast<std::size_t>(std::max<ssize_t>(count, 0)));
      if (!text.empty() && told.back().find(text) != std::string::npos) break;
    }
    return told;
  }

  PrivateBroker broker;
  TemporaryFolder folder;
  std::string name_;
  int socket_ = -1;
};

TEST_F(ASupervisor, IsToldWhenTheDaemonIsReadyReloadsAndStops) {
  const auto running = daemon(configuration_for(broker));  // there is no broker, and need not be
  EXPECT_THAT(told_until("READY=1", patience), Contains("READY=1")) << running->err();
  EXPECT_THAT(told_until("STATUS", patience), Contains(HasSubstr("STATUS=waiting for the broker")));

  running->signal(SIGHUP);
  EXPECT_THAT(told_until("RELOADING=1", patience),
              Contains(HasSubstr("RELOADING=1\nMONOTONIC_USEC=")));
  EXPECT_THAT(told_until("READY=1", patience), Contains("READY=1"));

  running->signal(SIGTERM);
  EXPECT_THAT(told_until("STOPPING=1", 2s), Contains(HasSubstr("STOPPING=1")));
  EXPECT_EQ(running->exit_status(2s), 0);
}

TEST_F(ASupervisor, IsNotToldThatADaemonIsReadyWhichIsNot) {
  const auto running = daemon("refuse me\n");
  EXPECT_EQ(running->exit_status(), 1);
  EXPECT_THAT(told_until("", 200ms), IsEmpty());
}

TEST_F(ASupervisor, MayHaveANameThatIsInNoFolder) {
  close(socket_);
  listen_on("@wheymark-test-" + std::to_string(getpid()));
  const auto running = daemon(configuration_for(broker));
  EXPECT_THAT(told_until("READY=1", patience), Contains("READY=1")) << running->err();
}

TEST_F(ASupervisor, HearsSignsOfLifeFromAWorkerThatWorksAndNoneFromOneThatHangs) {
  broker.start();
  const auto running = daemon(configuration_for(broker));
  ASSERT_THAT(told_until("STATUS=connected", patience), Contains(HasSubstr("STATUS=connected")));
  // One is wanted every 400 ms.
  EXPECT_THAT(told_until("", 2s), Contains("WATCHDOG=1").Times(::testing::Ge(5)));

  say(broker, "in/hang", "3");
  std::this_thread::sleep_for(300ms);
  told_until("", 100ms);  // what was on the way
  EXPECT_THAT(told_until("", 1s), IsEmpty());
}

}  // namespace
}  // namespace wheymark::test
