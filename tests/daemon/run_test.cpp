// The daemon on a broker that comes, goes, and refuses; the library is the stand-in.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <set>

#include "plugin/daemon/topic_filter.hpp"
#include "tests/daemon/daemon_with_fake_library.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

class OnABroker : public ::testing::Test {
 protected:
  std::unique_ptr<Process> daemon(const std::vector<std::string>& more = {}) const {
    std::vector<std::string> arguments{"run", "--config",
                                       folder.file("c", configuration_for(broker))};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return wheymarkd(arguments);
  }

  PrivateBroker broker;
  TemporaryFolder folder;
};

// The examples of MQTT 5, section 4.7.1.
TEST(ASubscription, CoversTheTopicsThatTheStandardSays) {
  EXPECT_TRUE(covers("sport/tennis/player1/#", "sport/tennis/player1"));
  EXPECT_TRUE(covers("sport/tennis/player1/#", "sport/tennis/player1/ranking"));
  EXPECT_TRUE(covers("sport/tennis/player1/#", "sport/tennis/player1/score/wimbledon"));
  EXPECT_TRUE(covers("sport/#", "sport"));
  EXPECT_TRUE(covers("sport/tennis/+", "sport/tennis/player1"));
  EXPECT_FALSE(covers("sport/tennis/+", "sport/tennis/player1/ranking"));
  EXPECT_FALSE(covers("sport/+", "sport"));
  EXPECT_TRUE(covers("sport/+", "sport/"));
  EXPECT_TRUE(covers("+/+", "/finance"));
  EXPECT_TRUE(covers("/+", "/finance"));
  EXPECT_FALSE(covers("+", "/finance"));
}

TEST_F(OnABroker, ItWaitsForABrokerThatIsNotThereYetAndComplainsOnce) {
  const auto running = daemon();
  ASSERT_TRUE(running->says("cannot connect"));
  std::this_thread::sleep_for(2500ms);  // two more attempts

  broker.start();
  const Listener listener(broker, "#");
  EXPECT_TRUE(listener.hears("fake/state 1 0 ready")) << running->err();
  const std::string told = running->err();
  EXPECT_EQ(told.find("cannot connect"), told.rfind("cannot connect")) << told;
}

TEST_F(OnABroker, ItIsReadyOnlyAfterItsSubscriptionsAreAcknowledged) {
  broker.start();
  const Listener listener(broker, "fake/state");
  const auto running = daemon();
  ASSERT_TRUE(listener.hears("fake/state 1 0 ready")) << running->err();

  const std::string log = broker.log();
  const std::size_t acknowledged = log.find("Sending SUBACK to wheymark-test");
  const std::size_t init = log.find("Received PUBLISH from wheymark-test");
  const std::size_t ready = log.find("Received PUBLISH from wheymark-test", init + 1);
  ASSERT_NE(acknowledged, std::string::npos) << log;
  EXPECT_GT(ready, acknowledged) << log;
  EXPECT_THAT(log, HasSubstr("p5"));  // MQTT 5, not silently 3.1.1
}

TEST_F(OnABroker, MessagesGoInWithTheirInstantQosAndRetainAndComeOut) {
  broker.start();
  const Listener listener(broker, "out/#");
  say(broker, "in/echo", "kept", {"-q", "1", "-r"});
  const auto running = daemon();
  ASSERT_TRUE(comes_true([&] { return listener.lines().size() >= 2; })) << running->err();

  const std::vector<std::string> lines = listener.lines();
  EXPECT_THAT(lines[0], ::testing::MatchesRegex("out/echo 1 0 [0-9]+ 1 1 kept"));
  EXPECT_EQ(lines[1], "out/delivered 0 0 1");
  const long long now_s = std::chrono::duration_cast<std::chrono::seconds>(
                              std::chrono::system_clock::now().time_since_epoch())
                              .count();
  EXPECT_NEAR(static_cast<double>(std::stoll(lines[0].substr(13)) / 1000),
              static_cast<double>(now_s), 10.0);
}

TEST_F(OnABroker, AContentTypeArrivesAsTheProperty) {
  broker.start();
  const Listener listener(broker, "out/echo", {"-F", "> %C"});
  say(broker, "in/echo", "a", {"-q", "1", "-r"});
  const auto running = daemon();
  EXPECT_TRUE(listener.hears("text/plain")) << listener.all() << running->err();
}

TEST_F(OnABroker, TimersFireOnTheSystemsClock) {
  broker.start();
  const auto running = daemon();
  const Listener listener(broker, "#");
  ASSERT_TRUE(comes_true([&] { return listener.all().find("ready") != std::string::npos; }));
  say(broker, "in/every", "100");
  ASSERT_TRUE(
      comes_true([&] { return listener.all().find("out/parcel/5 ") != std::string::npos; }));

  // The stand-in asks for a tick every 100 ms; none may come early, nor much later.
  std::vector<long long> instants_ms;
  for (const std::string& line : listener.lines()) {
    if (line.rfind("out/parcel/", 0) == 0) instants_ms.push_back(std::stoll(line.substr(17)));
  }
  ASSERT_GE(instants_ms.size(), 5u);
  EXPECT_GE(instants_ms[4] - instants_ms[0], 350);
  EXPECT_LE(instants_ms[4] - instants_ms[0], 3000);  // 400 on an idle machine
}

TEST_F(OnABroker, AfterABrokersDeathItSubscribesAgainAndNoParcelIsLost) {
  broker.start();
  const auto running = daemon();
  std::set<std::string> seen;
  const auto collect = [&](const Listener& listener) {
    for (const std::string& line : listener.lines()) {
      if (line.rfind("out/parcel/", 0) == 0) seen.insert(line.substr(11, line.find(' ') - 11));
    }
  };
  {
    const Listener before(broker, "#");
    ASSERT_TRUE(comes_true([&] { return before.all().find("ready") != std::string::npos; }));
    say(broker, "in/every", "50");
    ASSERT_TRUE(
        comes_true([&] { return before.all().find("out/parcel/4 ") != std::string::npos; }));
    broker.hold();  // accepts nothing more, but stays connected: these may be lost
    std::this_thread::sleep_for(700ms);
    collect(before);
  }

  broker.kill();
  broker.start();
  const Listener after(broker, "#");
  ASSERT_TRUE(comes_true([&] { return after.all().find("ready") != std::string::npos; }))
      << running->err();
  say(broker, "in/echo", "hear me");
  ASSERT_TRUE(comes_true([&] { return after.all().find("hear me") != std::string::npos; }));
  EXPECT_THAT(running->err(), HasSubstr("told: disconnected"));

  collect(after);
  ASSERT_GT(seen.size(), 10u);
  for (std::size_t n = 1; n <= seen.size(); ++n) {
    EXPECT_THAT(seen, Contains(std::to_string(n)));
  }
}

TEST_F(OnABroker, SigtermEndsItWithinTwoSecondsAndTheGoodbyeIsItsLastWord) {
  broker.start();
  const Listener listener(broker, "#");
  std::ptrdiff_t round = 0;
  for (const int signal : {SIGTERM, SIGINT}) {
    ++round;
    const auto running = daemon();
    ASSERT_TRUE(comes_true([&] { return listener.count("fake/state 1 0 ready") == round; }));
    say(broker, "in/every", "30");
    say(broker, "in/flood", "500");
    running->signal(signal);
    EXPECT_EQ(running->exit_status(2s), 0) << running->err();
    ASSERT_TRUE(comes_true([&] { return listener.count("fake/state 1 0 disconnected") == round; }))
        << running->err();
    std::this_thread::sleep_for(300ms);
    EXPECT_EQ(listener.lines().back(), "fake/state 1 0 disconnected");
    EXPECT_EQ(listener.count("fake/state 1 0 lost"), 0);  // a clean goodbye drops the will
  }
}

TEST_F(OnABroker, SigtermEndsItWithoutABrokerToo) {
  const auto running = daemon();
  ASSERT_TRUE(running->says("cannot connect"));
  running->signal(SIGTERM);
  EXPECT_EQ(running->exit_status(2s), 0) << running->err();
}

TEST_F(OnABroker, SigtermEndsItThoughTheBrokerDoesNotAnswer) {
  broker.start();
  const auto running = daemon();
  ASSERT_TRUE(running->says("connected to"));
  broker.hold();
  running->signal(SIGTERM);
  EXPECT_EQ(running->exit_status(2200ms), 0) << running->err();
}

TEST_F(OnABroker, WhenItIsKilledTheWillIsSpoken) {
  broker.start();
  const Listener listener(broker, "fake/state");
  const auto running = daemon();
  ASSERT_TRUE(listener.hears("fake/state 1 0 ready")) << running->err();
  running->signal(SIGKILL);
  EXPECT_TRUE(listener.hears("fake/state 1 0 lost"));
  const Listener later(broker, "fake/state");
  EXPECT_TRUE(later.hears("fake/state 1 1 lost"));  // and it stays
}

TEST_F(OnABroker, AFloodBeyondWhatTheBrokerTakesAtOnceArrivesWholeAndInOrder) {
  broker.start();
  const Listener listener(broker, "out/flood/#");
  const auto running = daemon();
  const Listener state(broker, "fake/state");
  ASSERT_TRUE(comes_true([&] { return state.all().find("ready") != std::string::npos; }));
  say(broker, "in/flood", "2000");
  ASSERT_TRUE(listener.hears("out/flood/2000 1 0 x")) << running->err();

  const std::vector<std::string> lines = listener.lines();
  ASSERT_EQ(lines.size(), 2000u);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    EXPECT_EQ(lines[i], "out/flood/" + std::to_string(i + 1) + " 1 0 x");
  }
}

TEST_F(OnABroker, ATopicWithAWildcardIsRefusedBeforeTheBrokerCutsTheConnection) {
  broker.start();
  const Listener listener(broker, "#");
  const auto running = daemon();
  ASSERT_TRUE(listener.hears("fake/state 1 0 ready"));
  say(broker, "in/wild", "jars/#");
  EXPECT_TRUE(listener.hears("out/wild 1 0 refused"));
  EXPECT_THAT(running->err(), HasSubstr("jars/#"));
  EXPECT_THAT(running->err(), Not(HasSubstr("is lost")));
}

TEST_F(OnABroker, AFrozenInstanceIsMadeAnewAndHearsWhatCameMeanwhile) {
  broker.start();
  const Listener listener(broker, "#");
  const auto running = daemon();
  ASSERT_TRUE(listener.hears("fake/state 1 0 ready"));
  say(broker, "in/freeze", "");
  say(broker, "in/echo", "meanwhile");
  EXPECT_TRUE(comes_true([&] { return listener.count("fake/state 1 0 ready") == 2; }))
      << running->err();
  EXPECT_TRUE(comes_true([&] { return listener.all().find("1 0 meanwhile") != std::string::npos; }))
      << listener.all();
}

TEST_F(OnABroker, AMessageThatTheBrokerRefusesIsNotTakenForDelivered) {
  const std::string rules = folder.file("acl",
                                        "topic readwrite in/#\ntopic readwrite fake/#\n"
                                        "topic readwrite out/wild\ntopic read out/#\n");
  PrivateBroker strict("allow_anonymous true\nacl_file " + rules + "\n");
  strict.start();
  const Listener listener(strict, "#");
  const auto running = wheymarkd({"run", "--config", folder.file("s", configuration_for(strict))});
  ASSERT_TRUE(listener.hears("fake/state 1 0 ready")) << running->err();
  say(strict, "in/echo", "a");
  EXPECT_TRUE(running->says("not published to out/echo: the broker says: Not authorized"))
      << running->err();
  say(strict, "in/wild", "in/still-here");
  EXPECT_TRUE(listener.hears("in/still-here 1 0 x"));
  EXPECT_EQ(listener.all().find("out/delivered"), std::string::npos);
}

TEST_F(OnABroker, ThePasswordComesFromItsFileAndIsNeverWrittenDown) {
  const std::string passwords = folder.path_of("passwords");
  Process maker({"mosquitto_passwd", "-b", "-c", passwords, "jar", "whey-7341"});
  ASSERT_EQ(maker.exit_status(), 0) << maker.err();
  PrivateBroker strict("allow_anonymous false\npassword_file " + passwords + "\n");
  strict.start();
  folder.file("secret", "whey-7341\n");
  folder.file("wrong", "wrong\n");
  const std::string user = configuration_for(strict) + "user jar\npassword_file ";

  const auto wrong =
      wheymarkd({"run", "--log-level", "debug", "--config", folder.file("c1", user + "wrong\n")});
  EXPECT_TRUE(wrong->says("the broker says: Not authorized")) << wrong->err();
  wrong->kill_and_wait();

  const auto right =
      wheymarkd({"run", "--log-level", "debug", "--config", folder.file("c2", user + "secret\n")});
  EXPECT_TRUE(right->says("connected to")) << right->err();
  EXPECT_THAT(right->err(), Not(HasSubstr("whey-7341")));
}

// Certificates of the test's own, made by openssl(1): one authority, and servers whose certificates
// it has signed.
class OverTls : public ::testing::Test {
 protected:
  void SetUp() override {
    folder.file(
        "make.sh",
        "set -e; cd \"$(dirname \"$0\")\"\n"
        "authority() { openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes "
        "-keyout $1.key -out $1.pem -subj /CN=$1 -days 2; }\n"
        "server() { openssl req -newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes "
        "-keyout $1.key -out $1.csr -subj /CN=$1; echo subjectAltName=$2 > $1.ext; "
        "openssl x509 -req -in $1.csr -CA ours.pem -CAkey ours.key -CAcreateserial "
        "-out $1.pem -days 2 -extfile $1.ext; }\n"
        "authority ours; authority other; server here IP:127.0.0.1; server there "
        "DNS:there.example\n");
    Process maker({"sh", folder.path_of("make.sh")});
    ASSERT_EQ(maker.exit_status(), 0) << maker.err();
  }

  // What the daemon says of a broker that shows `server` when it trusts `authority`.
  std::string verdict(const std::string& server, const std::string& authority) const {
    PrivateBroker broker("allow_anonymous true\ncertfile " + folder.path_of(server + ".pem") +
                         "\nkeyfile " + folder.path_of(server + ".key") + "\n");
    broker.start();
    const std::string configuration = "url mqtts://127.0.0.1:" + std::to_string(broker.port()) +
                                      "\nclient_id a\nca_file " + authority + ".pem\n";
    const auto running = wheymarkd({"run", "--config", folder.file("c", configuration)});
    comes_true([&] { return running->err().find("connect") != std::string::npos; });
    return running->err();
  }

  TemporaryFolder folder;
};

TEST_F(OverTls, ABrokerIsTrustedOnlyIfTheAuthorityVouchesForItAndForItsName) {
  EXPECT_THAT(verdict("here", "ours"), HasSubstr("connected to mqtts://"));
  EXPECT_THAT(verdict("here", "other"), HasSubstr("cannot connect"));
  EXPECT_THAT(verdict("there", "ours"), HasSubstr("cannot connect"));
}

TEST_F(OnABroker, WithAHandMovedClockTimeStandsStillUntilItIsMovedAndDoneIsSaidLast) {
  broker.start();
  const Listener listener(broker, "#");
  const auto running = daemon({"--clock", "demo/clock"});
  ASSERT_TRUE(running->says("connected to"));
  ASSERT_TRUE(comes_true(
      [&] { return broker.log().find("Sending SUBACK to wheymark-test") != std::string::npos; }));
  EXPECT_EQ(listener.lines().size(), 0u);  // without an instant it publishes nothing

  say(broker, "demo/clock", "2027-03-01T08:00:00Z");
  ASSERT_TRUE(listener.hears("demo/clock/done 1 0 2027-03-01T08:00:00Z")) << running->err();
  say(broker, "in/every", "60000");
  say(broker, "in/echo", "a");
  ASSERT_TRUE(listener.hears("out/echo 1 0 1803888000000 1 0 a"));
  say(broker, "demo/clock", "2027-03-01T08:03:00Z");
  ASSERT_TRUE(listener.hears("demo/clock/done 1 0 2027-03-01T08:03:00Z")) << running->err();

  std::vector<std::string> heard;
  for (const std::string& line : listener.lines()) {
    if (line.rfind("in/", 0) != 0 && line.rfind("out/delivered", 0) != 0) heard.push_back(line);
  }
  EXPECT_EQ(heard, (std::vector<std::string>{
                       "demo/clock 1 0 2027-03-01T08:00:00Z",
                       "fake/state 1 0 init",
                       "fake/state 1 0 ready",
                       "demo/clock/done 1 0 2027-03-01T08:00:00Z",
                       "out/echo 1 0 1803888000000 1 0 a",
                       "demo/clock 1 0 2027-03-01T08:03:00Z",
                       "out/parcel/1 1 0 1803888060000",
                       "out/parcel/2 1 0 1803888120000",
                       "out/parcel/3 1 0 1803888180000",
                       "demo/clock/done 1 0 2027-03-01T08:03:00Z",
                   }));
}

TEST_F(OnABroker, AHandMovedClockDoesNotGoBackAndRefusesWhatIsNoInstant) {
  broker.start();
  const Listener listener(broker, "#");
  const auto running = daemon({"--clock", "demo/clock"});
  ASSERT_TRUE(comes_true(
      [&] { return broker.log().find("Sending SUBACK to wheymark-test") != std::string::npos; }));
  say(broker, "demo/clock", "2027-03-01T08:00:00Z");
  say(broker, "demo/clock", "noon");
  say(broker, "demo/clock", "2027-03-01T07:00:00Z");
  ASSERT_TRUE(listener.hears("demo/clock/done 1 0 2027-03-01T07:00:00Z")) << running->err();
  EXPECT_THAT(running->err(), HasSubstr("\"noon\""));
  say(broker, "in/echo", "a");
  EXPECT_TRUE(listener.hears("out/echo 1 0 1803888000000 1 0 a"));
}

}  // namespace
}  // namespace wheymark::test
