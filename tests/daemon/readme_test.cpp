// Does the program print what README shows?
//
// No expected value stands here: README is compared with what the program prints, whatever the line
// breaks, and the messages that README shows are sent to it. The story behind the transcripts is
// that of config-examples/demo.sh.
#include <algorithm>
#include <array>
#include <chrono>
#include <fmt/ranges.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/daemon/story.hpp"

namespace wheymark::test {
namespace {

using namespace std::chrono_literals;
using ::testing::Contains;
using ::testing::SizeIs;

std::string readme() {
  return text_of_file(std::string(WHEYMARK_SOURCE_DIR) + "/README.md");
}

// Every run of blanks and line breaks as one blank, none at the ends.
std::string unwrapped(const std::string& text) {
  std::istringstream words(text);
  std::string line;
  for (std::string word; words >> word;) line += (line.empty() ? "" : " ") + word;
  return line;
}

// The first indented block after `before`, unwrapped.
std::string block_after(const std::string& before) {
  const std::string text = readme();
  const std::size_t from = text.find(before + "\n\n    ");
  if (from == std::string::npos) throw std::runtime_error("no block after \"" + before + "\"");
  const std::size_t begin = from + before.size() + 2;
  return unwrapped(text.substr(begin, text.find("\n\n", begin) - begin));
}

// "Mon 07:30", by the household's clock: Ireland's is that of UTC in winter.
std::string clock_in_winter(std::int64_t instant_ms) {
  const std::chrono::sys_time<std::chrono::milliseconds> instant{
      std::chrono::milliseconds(instant_ms)};
  const auto day = std::chrono::floor<std::chrono::days>(instant);
  const std::chrono::hh_mm_ss time{instant - day};
  constexpr std::array days{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  return fmt::format("{} {:02}:{:02}", days[std::chrono::weekday{day}.c_encoding()],
                     time.hours().count(), time.minutes().count());
}

std::int64_t instant_in(const json& message, const char* key) {
  return instant_ms_from_rfc3339(message[key].get<std::string>()).value();
}

// The demo's messages, and what the program prints for them.
class Demo {
 public:
  Demo() : messages_(traffic()), told_(messages_, "") {}

  [[nodiscard]] const Replayed& told() const { return told_; }

  // "Mon 07:30 You: I put Tilly into a litre of milk ...": what both say, in the order of time.
  [[nodiscard]] std::vector<std::string> lines() const {
    std::multimap<std::int64_t, std::string> lines;
    for (const std::string& message : messages_) {
      const json said = json::parse(message);
      if (said.value("topic", "") != "demo/aloud") continue;
      lines.emplace(instant_in(said, "at"), "You: " + said["payload"].get<std::string>());
    }
    for (const json& event : told_.events()) {
      lines.emplace(instant_in(event, "time"),
                    "Wheymark: " + event["data"]["text"].get<std::string>());
    }
    std::vector<std::string> texts;
    for (const auto& [at, text] : lines) texts.push_back(clock_in_winter(at) + " " + text);
    return texts;
  }

  // When this was said, such as "Tue 07:12".
  [[nodiscard]] std::string when_said(const std::string& payload) const {
    for (const std::string& message : messages_) {
      const json said = json::parse(message);
      if (said.value("payload", "") == payload) return clock_in_winter(instant_in(said, "at"));
    }
    throw std::runtime_error("never said in the demo: " + payload);
  }

 private:
  static std::vector<std::string> traffic() {
    const std::string script = std::string(WHEYMARK_SOURCE_DIR) + "/config-examples/demo.sh";
    Process process({"sh", script, "--traffic"});
    if (process.exit_status(60s) != 0) throw std::runtime_error("the demo: " + process.err());
    std::vector<std::string> messages;
    std::istringstream in(process.out());
    for (std::string line; std::getline(in, line);) messages.push_back(line);
    return messages;
  }

  std::vector<std::string> messages_;
  Replayed told_;
};

TEST(Readme, ShowsLinesOfTheDemoInTheirOrder) {
  const std::string block = block_after("among other lines:");
  // One entry a day and time; a sentence may name them too, but never before "You:".
  const std::regex entry_begin("(Mon|Tue|Wed) [0-9:]{5} (You|Wheymark): ");
  std::vector<std::size_t> begins;
  for (std::sregex_iterator it(block.begin(), block.end(), entry_begin), end; it != end; ++it) {
    begins.push_back(static_cast<std::size_t>(it->position()));
  }
  ASSERT_THAT(begins, SizeIs(testing::Ge(2)));
  ASSERT_EQ(begins.front(), 0u) << block;
  begins.push_back(block.size() + 1);

  const std::vector<std::string> lines = Demo().lines();
  auto from = lines.begin();
  for (std::size_t i = 0; i + 1 < begins.size(); ++i) {
    const std::string shown = block.substr(begins[i], begins[i + 1] - begins[i] - 1);
    const auto found = std::find(from, lines.end(), shown);
    ASSERT_NE(found, lines.end()) << "README: " << shown << "\nthe demo:\n"
                                  << fmt::format("{}", fmt::join(lines, "\n"));
    from = found + 1;
  }
}

TEST(Readme, ShowsThePlanOfTheDemoAndWhenItWasAskedFor) {
  const std::regex asked("`(\\{\"fact\":\"plan\"[^`]*\\})`[^`]*`wheymark/say`");
  const std::string text = readme();
  std::smatch question;
  ASSERT_TRUE(std::regex_search(text, question, asked));
  const Demo demo;
  const std::string when = demo.when_said(question[1]);
  ASSERT_EQ(when.substr(0, 3), "Tue");
  const std::string shown = block_after("In the demo, on Tuesday at " + when.substr(4) + ":");
  std::vector<std::string> plans;
  for (const json& answer : demo.told().answers()) {
    if (answer["fact"] == "plan") plans.push_back(answer["why"]);
  }
  EXPECT_THAT(plans, testing::ElementsAre(shown));
}

TEST(Readme, ShowsMessagesThatAreAccepted) {
  const std::string text = readme();
  const std::regex message(R"(\n +(\{"fact":.*\})(?=\n))");
  Story story;
  int said = 0;
  for (std::sregex_iterator it(text.begin(), text.end(), message), end; it != end; ++it, ++said) {
    story.passes(6h).says(json::parse((*it)[1].str()));
  }
  ASSERT_GE(said, 4);
  const auto answers = Replayed(story).answers();
  EXPECT_THAT(answers, SizeIs(said));
  for (const json& answer : answers) EXPECT_EQ(answer["accepted"], true) << answer;
}

// The `node/property` of all devices.
std::set<std::string> described_in(const Replayed& told, const std::vector<std::string>& devices) {
  std::set<std::string> properties;
  for (const std::string& device : devices) {
    const json description = json::parse(told.state(device + "/$description"));
    for (const auto& [node, shape] : description["nodes"].items()) {
      for (const auto& [property, value] : shape["properties"].items()) {
        properties.insert(node + "/" + property);
      }
    }
  }
  return properties;
}

TEST(Readme, NamesStatesThatAreDescribed) {
  const std::set<std::string> described =
      described_in(Replayed(Story().passes(10min)), {"jar-tall"});
  const std::string text = readme();
  const std::regex state("`((batch|fridge|care)/[a-z-]+)`");
  int named = 0;
  for (std::sregex_iterator it(text.begin(), text.end(), state), end; it != end; ++it, ++named) {
    EXPECT_THAT(described, Contains((*it)[1].str()));
  }
  EXPECT_GE(named, 5);
}

TEST(Examples, TheBrokersListOfTopicsHasEveryNodeThatIsDescribed) {
  std::set<std::string> nodes;
  for (const std::string& property :
       described_in(Replayed(Story().passes(10min)),
                    {"wheymark", "jar-tall", "culture-tilly", "place-dresser", "place-fridge"})) {
    nodes.insert(property.substr(0, property.find('/')));
  }
  std::set<std::string> allowed;
  const std::string acl =
      text_of_file(std::string(WHEYMARK_SOURCE_DIR) + "/config-examples/broker/acl");
  const std::regex node(R"(topic write homie/5/\+/([a-z]+)/\+)");
  for (std::sregex_iterator it(acl.begin(), acl.end(), node), end; it != end; ++it) {
    if ((*it)[0].str().find("$") == std::string::npos) allowed.insert((*it)[1].str());
  }
  EXPECT_EQ(allowed, nodes);
}

}  // namespace
}  // namespace wheymark::test
