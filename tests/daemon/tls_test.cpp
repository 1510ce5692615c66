// The whole daemon behind TLS and access lists: it shows its certificate, trusts only its
// authority, and logs what a broker does not allow, which it tries again only after a pause.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <thread>

#include "tests/daemon/private_broker.hpp"
#include "tests/daemon/process.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

std::size_t count_of(const std::string& what, const std::string& text) {
  std::size_t count = 0;
  for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++count;
  return count;
}

std::string household(const std::string& broker) {
  return fmt::format(R"({{
    "home": {{ "name": "Test house" }},
    "broker": {{ {} }},
    "store": "kept.db",
    "places": [{{ "id": "kitchen", "kind": "room", "thermometer": {{ "topic": "house/kitchen" }} }},
               {{ "id": "fridge", "kind": "fridge" }}],
    "cultures": [{{ "id": "tilly", "grain_g": 20 }}],
    "jars": [{{ "id": "blue", "capacity_ml": 1250, "place": "kitchen", "culture": "tilly",
               "milk": "cow-whole", "milk_ml": 950, "grain_g": 20 }}] }})",
                     broker);
}

class BehindTls : public ::testing::Test {
 protected:
  // Made by openssl(1): two authorities, a server and a client that the first one vouches for, and
  // a client of the other.
  void SetUp() override {
    folder.file("make.sh",
                "set -e; cd \"$(dirname \"$0\")\"\n"
                "key='-newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes'\n"
                "authority() { openssl req -x509 $key -keyout $1.key -out $1.pem -subj /CN=$1 "
                "-days 2; }\n"
                "vouch() { openssl req $key -keyout $2.key -out $2.csr -subj /CN=$2; "
                "echo subjectAltName=$3 > $2.ext; openssl x509 -req -in $2.csr -CA $1.pem "
                "-CAkey $1.key -CAcreateserial -out $2.pem -days 2 -extfile $2.ext; }\n"
                "authority ours; authority other; vouch ours server IP:127.0.0.1\n"
                "vouch ours jar DNS:jar.example; vouch other stranger DNS:stranger.example\n");
    Process maker({"sh", folder.path_of("make.sh")});
    ASSERT_EQ(maker.exit_status(), 0) << maker.err();
    broker.start();
  }

  [[nodiscard]] std::unique_ptr<Process> daemon(const std::string& authority,
                                                const std::string& certificate) const {
    std::string more;
    if (!certificate.empty()) {
      more = fmt::format(R"(, "certificate_file": "{0}.pem", "key_file": "{0}.key")", certificate);
    }
    const std::string configuration = household(fmt::format(
        R"("url": "mqtts://127.0.0.1:{}", "ca_file": "{}.pem"{})", broker.port(), authority, more));
    return std::make_unique<Process>(std::vector<std::string>{
        WHEYMARKD, "run", "--config", folder.file("household.json", configuration)});
  }

  TemporaryFolder folder;
  PrivateBroker broker{fmt::format(
      "certfile {0}\nkeyfile {1}\ncafile {2}\n"
      "require_certificate true\nuse_identity_as_username true\nallow_anonymous false\n",
      folder.path_of("server.pem"), folder.path_of("server.key"), folder.path_of("ours.pem"))};
};

TEST_F(BehindTls, TheDaemonIsLetInByItsCertificateAndItsMessagesComeThrough) {
  const auto running = daemon("ours", "jar");
  ASSERT_TRUE(running->says("connected to mqtts://")) << running->err();
  const std::vector<std::string> listening{"mosquitto_sub",
                                           "-h",
                                           "127.0.0.1",
                                           "-p",
                                           std::to_string(broker.port()),
                                           "--cafile",
                                           folder.path_of("ours.pem"),
                                           "--cert",
                                           folder.path_of("jar.pem"),
                                           "--key",
                                           folder.path_of("jar.key"),
                                           "-t",
                                           "homie/5/wheymark/$state",
                                           "-C",
                                           "1",
                                           "-W",
                                           "10"};
  EXPECT_TRUE(comes_true([&] {
    Process listener(listening);
    return listener.exit_status() == 0 && listener.out() == "ready\n";
  })) << running->err();
}

TEST_F(BehindTls, WithoutACertificateOrWithAStrangersItIsNotLetInAndSaysWhereToLook) {
  for (const char* certificate : {"", "stranger"}) {
    const auto running = daemon("ours", certificate);
    ASSERT_TRUE(running->says("trying again for ever")) << running->err();
    EXPECT_THAT(running->err(), HasSubstr("certificate_file"));
    EXPECT_THAT(running->err(), Not(HasSubstr("connected to mqtts://")));
  }
}

TEST_F(BehindTls, ABrokerOfAnotherAuthorityIsToldOnceAndTriedInPeace) {
  const auto running = daemon("other", "jar");
  ASSERT_TRUE(running->says("trying again for ever")) << running->err();
  EXPECT_THAT(running->err(), HasSubstr("ca_file"));
  std::this_thread::sleep_for(3s);
  EXPECT_EQ(count_of("trying again for ever", running->err()), 1U) << running->err();
  EXPECT_LE(count_of("New connection", broker.log()), 5U) << broker.log();
  EXPECT_EQ(count_of("CONNECT from", broker.log()), 0U) << "nothing was told to a stranger";
}

// --- access lists -------------------------------------------------------------------------------

class BehindAnAccessList : public ::testing::Test {
 protected:
  void runs_with(const std::string& rules) {
    folder.file("acl", rules);
    broker.start();
    daemon = std::make_unique<Process>(std::vector<std::string>{
        WHEYMARKD, "run", "--config",
        folder.file("household.json", household(fmt::format(R"("url": "{}")", broker.url())))});
    ASSERT_TRUE(daemon->says("connected to")) << daemon->err();
  }
  TemporaryFolder folder;
  PrivateBroker broker{fmt::format("allow_anonymous true\nacl_file {}\n", folder.path_of("acl"))};
  std::unique_ptr<Process> daemon;
};

TEST_F(BehindAnAccessList, ATopicThatMayNotBeWrittenIsToldAndNotTriedWithoutAPause) {
  runs_with(
      "topic readwrite homie/#\ntopic readwrite house/#\ntopic readwrite wheymark/say\n"
      "topic read wheymark/#\n");
  ASSERT_TRUE(comes_true([&] { return broker.log().find("Sending SUBACK") != std::string::npos; }));
  say(broker, "wheymark/say", R"({"fact":"start","jar":"blue","ref":"r1"})");
  EXPECT_TRUE(daemon->says("not published to wheymark/answer: the broker says: Not authorized"))
      << daemon->err();
  EXPECT_TRUE(daemon->says("not published to wheymark/events/jar-blue/batch-started"))
      << daemon->err();
  std::this_thread::sleep_for(3s);
  EXPECT_LE(count_of("not published", daemon->err()), 6U) << daemon->err();
  EXPECT_LE(count_of("'wheymark/events/jar-blue/batch-started'", broker.log()), 6U) << broker.log();
}

// Mosquitto grants such a subscription and delivers nothing; the daemon logs what it can know.
TEST_F(BehindAnAccessList, WhatMayBeReadAndShownStillIs) {
  runs_with("topic write homie/#\ntopic read homie/#\ntopic write wheymark/#\n");
  const Listener listener(broker, "homie/5/wheymark/$state");
  EXPECT_TRUE(comes_true([&] {
    return listener.count("homie/5/wheymark/$state 2 0 ready") +
               listener.count("homie/5/wheymark/$state 2 1 ready") >
           0;
  })) << daemon->err()
      << listener.all();
}

}  // namespace
}  // namespace wheymark::test
