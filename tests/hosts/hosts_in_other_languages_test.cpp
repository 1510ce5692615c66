// A host in plain C, a host in Python and our own daemon's replay play the same day: they must hear
// the same, to the letter. Each was written from the header by itself.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/daemon/process.hpp"
#include "tests/hosts/hub.hpp"
#include "tests/vocabulary/rfc3339.hpp"

namespace wheymark::test {
namespace {

using nlohmann::json;
using ::testing::Contains;
using ::testing::HasSubstr;

constexpr const char* example = WHEYMARK_SOURCE_DIR "/config-examples/household.json";

// What the program printed about messages (and not about its subscriptions).
std::vector<std::string> heard_by(const std::vector<std::string>& command,
                                  const std::string& input = "") {
  std::vector<std::pair<std::string, std::string>> environment;
  if (command.front() == PYTHON && *SANITIZER_RUNTIME != '\0') {
    environment = {{"LD_PRELOAD", SANITIZER_RUNTIME}, {"ASAN_OPTIONS", "detect_leaks=0"}};
  }
  Process process(command, environment, input);
  EXPECT_EQ(process.exit_status(60s), 0) << command.front() << "\n" << process.err();
  std::vector<std::string> lines;
  std::istringstream out(process.out());
  for (std::string line; std::getline(out, line);) {
    if (line.rfind("subscribes", 0) != 0) lines.push_back(line);
  }
  return lines;
}

// The day that config-examples/host.c plays, as traffic for replay.
std::string the_day() {
  constexpr std::chrono::sys_seconds begins{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1} +
                                            8h};
  std::string lines;
  const auto add = [&](int minutes, const std::string& topic, const std::string& payload) {
    const json line{{"at", rfc3339(begins + std::chrono::minutes{minutes})},
                    {"topic", topic},
                    {"payload", payload}};
    lines += line.dump() + "\n";
  };
  add(0, "house/kitchen/temperature", "21.5");
  add(0, "wheymark/say", R"({"fact":"start","jar":"tall"})");
  for (int quarter = 1; quarter <= 96; ++quarter) {
    add(quarter * 15, "house/kitchen/temperature", "21.5");
  }
  add(24 * 60, "homie/5/jar-tall/care/step/set", "strain");
  add(24 * 60, "wheymark/say", "nonsense");
  return lines;
}

std::vector<std::string> heard_by_replay() {
  std::vector<std::string> lines;
  for (const std::string& line : heard_by({WHEYMARKD, "replay", "--config", example}, the_day())) {
    const json message = json::parse(line);
    const std::string topic = message["topic"];
    if (topic.rfind("wheymark/events/", 0) == 0 || topic == "wheymark/answer" ||
        topic == "homie/5/jar-tall/batch/stage") {
      const std::string to_the_second = message["at"].get<std::string>().substr(0, 19) + "Z";
      lines.push_back(
          fmt::format("{} {} {}", to_the_second, topic, message["payload"].get<std::string>()));
    }
  }
  return lines;
}

TEST(Hosts, InCAndInPythonHearTheSameDayAsOurOwn) {
  const auto in_c = heard_by({HOST_IN_C, WHEYMARK_LIBRARY, example});
  const auto in_python =
      heard_by({PYTHON, WHEYMARK_SOURCE_DIR "/tests/hosts/host.py", WHEYMARK_LIBRARY, example});

  EXPECT_THAT(in_c, Contains(HasSubstr("wheymark/events/jar-tall/peak-open")).Times(1));
  EXPECT_THAT(in_c, Contains(HasSubstr("jar-tall/batch/stage peak")).Times(1));
  EXPECT_THAT(in_c, Contains(HasSubstr("wheymark/events/jar-tall/strained")).Times(1));
  EXPECT_THAT(in_c, Contains(HasSubstr("not JSON")).Times(1));
  EXPECT_EQ(in_c, in_python);
  EXPECT_EQ(in_c, heard_by_replay());
}

TEST(Hosts, InCSaysWhyWhenTheLibraryIsNotThere) {
  Process process({HOST_IN_C, "/nowhere/libwheymark.so.1", example});
  EXPECT_EQ(process.exit_status(), 1);
  EXPECT_THAT(process.err(), HasSubstr("/nowhere/libwheymark.so.1"));
}

}  // namespace
}  // namespace wheymark::test
