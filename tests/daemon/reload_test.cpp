// SIGHUP: the daemon reads its configuration again. Here with the stand-in for the library; that
// batches outlive it is in end_to_end_test.cpp.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/daemon_with_fake_library.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

class ARunningDaemon : public ::testing::Test {
 protected:
  void SetUp() override {
    broker.start();
    listener = std::make_unique<Listener>(broker, "#");
    configure(configuration_for(broker));
    running = wheymarkd({"run", "--config", folder.path_of("c")});
    ASSERT_TRUE(listener->hears("fake/state 1 0 ready")) << running->err();
  }
  void configure(const std::string& configuration) { folder.file("c", configuration); }
  bool answers(const PrivateBroker& there, const Listener& ear, const std::string& word) {
    say(there, "in/echo", word);
    return comes_true([&] { return ear.all().find(word + "\n") != std::string::npos; });
  }

  PrivateBroker broker;
  TemporaryFolder folder;
  std::unique_ptr<Listener> listener;
  std::unique_ptr<Process> running;
};

TEST_F(ARunningDaemon, TakesANewConfigurationOnTheSameConnection) {
  configure(configuration_for(broker) + "more of it\n");
  running->signal(SIGHUP);
  ASSERT_TRUE(running->says("read again and is in use")) << running->err();
  EXPECT_TRUE(comes_true([&] { return listener->count("fake/state 1 0 ready") == 2; }));
  EXPECT_EQ(listener->count("fake/state 1 0 disconnected"), 1);
  EXPECT_TRUE(answers(broker, *listener, "after-reload"));

  const std::string log = running->err();
  EXPECT_EQ(log.find("connected to"), log.rfind("connected to")) << log;
  EXPECT_EQ(listener->count("fake/state 1 0 lost"), 0);
}

TEST_F(ARunningDaemon, LosesNoMessageThatComesWhileItReads) {
  for (int round = 0; round < 20; ++round) {
    running->signal(SIGHUP);
    say(broker, "in/echo", "during-" + std::to_string(round));
  }
  for (int round = 0; round < 20; ++round) {
    const std::string word = "during-" + std::to_string(round) + "\n";
    EXPECT_TRUE(comes_true([&] { return listener->all().find(word) != std::string::npos; }))
        << word;
  }
}

TEST_F(ARunningDaemon, KeepsTheOldConfigurationWhenTheNewOneIsRefused) {
  configure(configuration_for(broker) + "refuse this is wrong\n");
  running->signal(SIGHUP);
  ASSERT_TRUE(running->says("the one of before goes on")) << running->err();
  EXPECT_THAT(running->err(), HasSubstr("error: this is wrong"));
  EXPECT_TRUE(answers(broker, *listener, "still-here"));
  EXPECT_EQ(listener->count("fake/state 1 0 disconnected"), 0) << "nothing has happened";
}

TEST_F(ARunningDaemon, KeepsTheOldConfigurationWhenTheFileIsGone) {
  ASSERT_EQ(unlink(folder.path_of("c").c_str()), 0);
  running->signal(SIGHUP);
  ASSERT_TRUE(running->says("the one of before goes on")) << running->err();
  EXPECT_THAT(running->err(), HasSubstr(folder.path_of("c")));
  EXPECT_TRUE(answers(broker, *listener, "still-here"));
}

TEST_F(ARunningDaemon, KeepsTheOldConfigurationWhenAFileThatTheNewOneNamesCannotBeRead) {
  configure(configuration_for(broker) + "user jar\npassword_file nowhere\n");
  running->signal(SIGHUP);
  ASSERT_TRUE(running->says("the one of before goes on")) << running->err();
  EXPECT_THAT(running->err(), HasSubstr("nowhere"));
  EXPECT_TRUE(answers(broker, *listener, "still-here"));
}

TEST_F(ARunningDaemon, MovesToAnotherBroker) {
  PrivateBroker other;
  other.start();
  const Listener there(other, "#");
  configure(configuration_for(other));
  running->signal(SIGHUP);
  EXPECT_TRUE(there.hears("fake/state 1 0 ready")) << running->err();
  EXPECT_TRUE(listener->hears("fake/state 1 0 disconnected"));
  EXPECT_EQ(listener->count("fake/state 1 0 lost"), 0) << "a clean goodbye drops the will";
  EXPECT_TRUE(answers(other, there, "moved"));

  running->signal(SIGTERM);
  EXPECT_EQ(running->exit_status(2s), 0);
}

TEST_F(ARunningDaemon, MovesAwayFromABrokerThatIsDead) {
  broker.kill();
  ASSERT_TRUE(running->says("is lost"));
  PrivateBroker other;
  other.start();
  const Listener there(other, "#");
  configure(configuration_for(other));
  running->signal(SIGHUP);
  EXPECT_TRUE(there.hears("fake/state 1 0 ready")) << running->err();
}

TEST_F(ARunningDaemon, MovesAwayFromABrokerThatDoesNotAnswerAndStopsInTime) {
  broker.hold();
  PrivateBroker other;
  other.start();
  const Listener there(other, "#");
  configure(configuration_for(other));
  running->signal(SIGHUP);
  EXPECT_TRUE(there.hears("fake/state 1 0 ready")) << running->err();
  running->signal(SIGTERM);
  EXPECT_EQ(running->exit_status(2s), 0);
}

}  // namespace
}  // namespace wheymark::test
