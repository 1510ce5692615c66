// The manual says what the programs do: the configuration's keys against the library's own reader,
// the options against the help. The daemon runs with the real library here.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <map>
#include <regex>
#include <set>
#include <sstream>

#include "tests/daemon/process.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;

std::string told_by(const std::vector<std::string>& words) {
  std::vector<std::string> command{WHEYMARKD};
  command.insert(command.end(), words.begin(), words.end());
  Process process(command);
  EXPECT_TRUE(process.exit_status().has_value());
  return process.out() + process.err();
}

using Keys = std::map<std::string, std::set<std::string>>;  // by the part that they stand in

// Keys that are parts of their own in the manual.
const std::set<std::string> parts{"home",   "broker",   "store", "wire",   "tile",
                                  "places", "cultures", "jars",  "notice", "announce"};

// Every part is given an unknown key; the complaint names the known ones.
Keys known_to_the_library() {
  const TemporaryFolder folder;
  const std::string told = told_by({"check", "--config", folder.file("c", R"({
    "unknown": 1, "home": { "unknown": 1, "waking": { "unknown": 1 },
      "presence": { "unknown": 1 } }, "broker": { "unknown": 1 }, "wire": { "unknown": 1 },
    "tile": { "unknown": 1 }, "places": [ { "unknown": 1, "thermometer": { "unknown": 1,
    "availability": { "unknown": 1 } } } ],
    "cultures": [ { "unknown": 1, "usual": [ { "unknown": 1 } ] } ], "jars": [ { "unknown": 1 } ], "notice": { "unknown": 1 },
    "announce": [ { "unknown": 1 } ] })")});
  Keys known;
  std::istringstream lines(told);
  const std::regex complaint("(/[^:]*)/unknown: found the key .*; allowed: ([a-z_, ]*).*");
  std::smatch found;
  for (std::string line; std::getline(lines, line);) {
    if (!std::regex_search(line, found, complaint)) continue;
    const std::string part = std::regex_replace(found[1].str().substr(1), std::regex("/0"), "");
    std::istringstream keys(found[2].str());
    for (std::string key; std::getline(keys >> std::ws, key, ',');) known[part].insert(key);
  }
  return known;
}

Keys in_the_manual() {
  Keys keys;
  std::string part;
  std::istringstream lines(told_by({"manual", "wheymark.json.5"}));
  for (std::string line; std::getline(lines, line);) {
    if (line.rfind(".SS ", 0) == 0) part = line.substr(4);
    const std::string bold = "\\fB";
    if (line.rfind(bold, 0) == 0) keys[part].insert(line.substr(3, line.find("\\fR") - 3));
  }
  return keys;
}

TEST(TheManual, HasEveryKeyOfTheConfigurationAndNoOther) {
  Keys known = known_to_the_library();
  ASSERT_EQ(known.size(), 14u) << "parts of the configuration that say which keys they know";
  EXPECT_EQ(in_the_manual(), known)
      << "a new key needs a line in plugin/daemon/configuration_manual.cpp";
}

TEST(TheManual, HasEveryPartOfTheConfiguration) {
  const std::string page = told_by({"manual", "wheymark.json.5"});
  for (const std::string& part : parts) EXPECT_THAT(page, HasSubstr(".SS " + part + "\n"));
  const TemporaryFolder folder;
  const std::string told = told_by({"check", "--config", folder.file("c", R"({"unknown":1})")});
  std::smatch found;
  ASSERT_TRUE(std::regex_search(told, found, std::regex("/unknown: found .*allowed: ([a-z_, ]*)")))
      << told;
  std::istringstream keys(found[1].str());
  for (std::string key; std::getline(keys >> std::ws, key, ',');) {
    EXPECT_TRUE(parts.contains(key)) << key << " is new: give it a part in the manual";
  }
}

TEST(TheManual, HasEveryCommandThatTheHelpHasAndTheExitStatus) {
  const std::string page = told_by({"manual", "wheymarkd.1"});
  const std::string completion = told_by({"manual", "bash-completion"});
  const std::string help = told_by({"--help"});
  std::istringstream lines(help.substr(help.find("Subcommands:\n") + 13));
  int commands = 0;
  for (std::string line; std::getline(lines, line) && line.rfind("  ", 0) == 0;) {
    const std::string command = line.substr(2, line.find(' ', 2) - 2);
    ++commands;
    EXPECT_THAT(page, HasSubstr(".SS " + command + "\n"));
    EXPECT_THAT(completion, HasSubstr("    " + command + ") words='--help"));
  }
  EXPECT_GE(commands, 3);
  EXPECT_THAT(page, HasSubstr(".SH EXIT STATUS\n0 all went well; 1 the world was wrong"));
  EXPECT_THAT(page, HasSubstr("SIGHUP"));
}

}  // namespace
}  // namespace wheymark::test
