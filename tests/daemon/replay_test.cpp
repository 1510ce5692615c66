// A replay is the traffic, and time, handed to the library; here the library is the stand-in.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/daemon/daemon_with_fake_library.hpp"

namespace wheymark::test {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;

class Replay : public ::testing::Test {
 protected:
  std::unique_ptr<Process> of(const std::string& traffic) const {
    return wheymarkd({"replay", "--config", configuration_}, traffic);
  }
  // "at topic payload" of what was published after the greeting and before the goodbye.
  static std::vector<std::string> said(const std::string& out) {
    std::vector<std::string> lines;
    std::istringstream in(out);
    for (std::string line; std::getline(in, line);) {
      const json object = json::parse(line);
      if (object.at("topic") == "fake/state" || object.at("topic") == "out/delivered") continue;
      lines.push_back(object.at("at").get<std::string>() + " " +
                      object.at("topic").get<std::string>() + " " +
                      object.at("payload").get<std::string>());
    }
    return lines;
  }

 private:
  TemporaryFolder folder_;
  std::string configuration_ = folder_.file("c", "url mqtt://127.0.0.1:1\nclient_id a\n");
};

TEST_F(Replay, TimersFireBetweenTheLinesEachAtItsInstant) {
  const auto replay =
      of(R"({"at":"2027-03-01T08:00:00Z","topic":"in/every","payload":"60000"})"
         "\n"
         R"({"at":"2027-03-01T08:02:30Z","topic":"in/echo","payload":"a","qos":1,"retain":true})"
         "\n"
         R"({"at":"2027-03-01T09:03:00+01:00"})"
         "\n");
  ASSERT_EQ(replay->exit_status(), 0) << replay->err();
  EXPECT_EQ(said(replay->out()), (std::vector<std::string>{
                                     "2027-03-01T08:01:00Z out/parcel/1 1803888060000",
                                     "2027-03-01T08:02:00Z out/parcel/2 1803888120000",
                                     "2027-03-01T08:02:30Z out/echo 1803888150000 1 1 a",
                                     "2027-03-01T08:03:00Z out/parcel/3 1803888180000",
                                 }));
}

TEST_F(Replay, EveryDeliveryIsAcknowledgedAtOnceAndTheEndIsMadeDurable) {
  const auto replay = of(R"({"at":"2027-03-01T08:00:00Z","topic":"in/echo","payload":"a"})");
  ASSERT_EQ(replay->exit_status(), 0) << replay->err();
  EXPECT_EQ(
      replay->out(),
      R"({"at":"2027-03-01T08:00:00Z","topic":"fake/state","payload":"init","retain":true,"qos":1}
{"at":"2027-03-01T08:00:00Z","topic":"fake/state","payload":"ready","retain":true,"qos":1}
{"at":"2027-03-01T08:00:00Z","topic":"out/echo","payload":"1803888000000 0 0 a","retain":false,"qos":1}
{"at":"2027-03-01T08:00:00Z","topic":"out/delivered","payload":"1","retain":false,"qos":0}
{"at":"2027-03-01T08:00:00Z","topic":"fake/state","payload":"disconnected","retain":true,"qos":1}
)");
}

TEST_F(Replay, NoTrafficIsNoTrouble) {
  const auto replay = of("\n");
  EXPECT_EQ(replay->exit_status(), 0) << replay->err();
  EXPECT_EQ(replay->out(), "");
}

TEST_F(Replay, ABadLineIsNamedWithWhatIsWrongAndExitsWith1) {
  const std::string good = R"({"at":"2027-03-01T08:00:00Z"})";
  const std::vector<std::pair<std::string, std::string>> bad{
      {"{", "is not JSON"},
      {"[]", "must be a JSON object, found array"},
      {"{}", "\"at\" is missing"},
      {R"({"at":"yesterday"})", "found \"yesterday\""},
      {R"({"at":1803888000})", "\"at\" must be a string, found number"},
      {R"({"at":"2027-03-01T07:59:59Z"})", "is earlier than the line before"},
      {R"({"at":"2027-03-01T08:00:00Z","topic":"a"})", "no \"payload\""},
      {R"({"at":"2027-03-01T08:00:00Z","payload":"a"})", "no \"topic\""},
      {R"({"at":"2027-03-01T08:00:00Z","topic":"","payload":"a"})", "\"topic\" is empty"},
      {R"({"at":"2027-03-01T08:00:00Z","topic":"a","payload":{}})", "found object"},
      {R"({"at":"2027-03-01T08:00:00Z","topic":"a","payload":"","retain":1})", "true or false"},
      {R"({"at":"2027-03-01T08:00:00Z","topic":"a","payload":"","qos":3})", "0, 1 or 2"},
      {R"({"at":"2027-03-01T08:00:00Z","topik":"a"})", "\"topik\" is not known"},
      {"{\"at\":\"2027-03-01T08:00:00Z\",\"topic\":\"\xff\",\"payload\":\"\"}", "is not JSON"},
      {std::string(2'000'000, '['), "2000000 bytes are too many"},
      {std::string(500'000, '['), "is not JSON"},
  };
  for (const auto& [line, why] : bad) {
    std::string traffic(good);
    traffic += "\n";
    traffic += line;
    const auto replay = of(traffic);
    EXPECT_EQ(replay->exit_status(), 1) << line.substr(0, 80);
    EXPECT_THAT(replay->err(), HasSubstr("line 2: "));
    EXPECT_THAT(replay->err(), HasSubstr(why));
    EXPECT_THAT(replay->out(), HasSubstr("init"));  // what came before is still worth reading
  }
}

TEST_F(Replay, ALongPayloadThatIsNotUtf8ComesOutAsJson) {
  const auto replay = of(R"({"at":"2027-03-01T08:00:00Z","topic":"in/long","payload":"100000"})");
  ASSERT_EQ(replay->exit_status(), 0) << replay->err();
  const std::vector<std::string> lines = said(replay->out());
  ASSERT_EQ(lines.size(), 1u);
  EXPECT_GE(lines[0].size(), 300'000u);  // U+FFFD, three bytes, for each
}

TEST_F(Replay, ALibraryThatAsksForTheSameInstantForEverIsStopped) {
  const auto replay = of(R"({"at":"2027-03-01T08:00:00Z","topic":"in/stick","payload":""})"
                         "\n"
                         R"({"at":"2027-03-01T08:00:01Z"})");
  EXPECT_EQ(replay->exit_status(), 1);
  EXPECT_THAT(replay->err(), HasSubstr("again and again"));
}

TEST_F(Replay, AFrozenLibraryIsTold) {
  const auto replay = of(R"({"at":"2027-03-01T08:00:00Z","topic":"in/freeze","payload":""})");
  EXPECT_EQ(replay->exit_status(), 1);
  EXPECT_THAT(replay->err(), HasSubstr("mistake of its own"));
}

// Ten weeks of readings, one every five minutes; how long that takes is for the benchmarks.
TEST_F(Replay, PlaysTwentyThousandLinesToTheLast) {
  std::string traffic;
  for (int i = 0; i < 20'000; ++i) {
    traffic += R"({"at":"2027-03-01T08:00:00Z","topic":"in/echo","payload":"21.4","retain":false})"
               "\n";
  }
  const auto replay = of(traffic);
  ASSERT_EQ(replay->exit_status(120s), 0) << replay->err();
  EXPECT_EQ(said(replay->out()).size(), 20'000u);
}

TEST_F(Replay, KeepsNothingUnlessAStoreIsNamedAndThatIsMeantFromWhereItIsCalled) {
  const TemporaryFolder folder;
  const std::string configuration = folder.file("c", "url mqtt://127.0.0.1:1\nclient_id a\n");
  const auto without = wheymarkd({"replay", "--config", configuration});
  ASSERT_EQ(without->exit_status(), 0);
  EXPECT_THAT(without->err(), HasSubstr("store is \":memory:\""));
  const auto with = wheymarkd({"replay", "--config", configuration, "--store", "jars.db"});
  ASSERT_EQ(with->exit_status(), 0);
  EXPECT_THAT(with->err(),
              HasSubstr("store is \"" + (std::filesystem::current_path() / "jars.db").string()));
}

}  // namespace
}  // namespace wheymark::test
