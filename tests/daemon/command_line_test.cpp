// What the exit status and the lines on stderr say about a call.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plugin/daemon/log.hpp"
#include "tests/daemon/daemon_with_fake_library.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

class CommandLine : public ::testing::Test {
 protected:
  TemporaryFolder folder;
  const std::string good = folder.file("good", "url mqtt://127.0.0.1:1\nclient_id a\n");
  const std::string bad = folder.file("bad", "refuse /jars/0/milk: \"oat\" is no milk\n");
};

TEST_F(CommandLine, AWrongCallExitsWith2) {
  for (const std::vector<std::string>& arguments :
       std::vector<std::vector<std::string>>{{},
                                             {"ferment"},
                                             {"run"},
                                             {"replay", "--config"},
                                             {"check", "--config", good, "--loudly"},
                                             {"check", "--config", good, "--log-level", "shout"},
                                             {"run", "--config", good, "--clock", "a/+/b"}}) {
    const auto call = wheymarkd(arguments);
    EXPECT_EQ(call->exit_status(), 2) << ::testing::PrintToString(arguments);
    EXPECT_THAT(call->err(), Not(::testing::IsEmpty()));
  }
}

TEST_F(CommandLine, HelpAndVersionExitWith0) {
  for (const std::vector<std::string>& arguments :
       std::vector<std::vector<std::string>>{{"--help"},
                                             {"--version"},
                                             {"run", "--help"},
                                             {"check", "--help"},
                                             {"replay", "--help"}}) {
    const auto call = wheymarkd(arguments);
    EXPECT_EQ(call->exit_status(), 0) << ::testing::PrintToString(arguments);
    EXPECT_THAT(call->out(), Not(::testing::IsEmpty()));
  }
}

TEST_F(CommandLine, ARefusedConfigurationExitsWith1AndEveryLineIsTold) {
  for (const char* command : {"run", "check", "replay"}) {
    const auto call = wheymarkd({command, "--config", bad});
    EXPECT_EQ(call->exit_status(), 1) << command;
    EXPECT_THAT(call->err(), HasSubstr("error: /jars/0/milk: \"oat\" is no milk\n"));
    EXPECT_THAT(call->err(), HasSubstr("error: second line\n"));
  }
}

TEST_F(CommandLine, AConfigurationThatIsNotThereExitsWith1AndIsNamed) {
  for (const char* command : {"run", "check", "replay"}) {
    const auto call = wheymarkd({command, "--config", folder.path_of("absent")});
    EXPECT_EQ(call->exit_status(), 1) << command;
    EXPECT_THAT(call->err(), HasSubstr(folder.path_of("absent")));
  }
}

TEST_F(CommandLine, CheckPrintsWhatWasUnderstoodWithoutControlCharacters) {
  const auto call = wheymarkd({"check", "--config", good});
  EXPECT_EQ(call->exit_status(), 0);
  EXPECT_EQ(call->out(), "understood\\x1b[2J\n");
}

TEST_F(CommandLine, AnAddressThatIsNoneExitsWith1) {
  const auto call =
      wheymarkd({"run", "--config", folder.file("odd", "url gopher://somewhere\nclient_id a\n")});
  EXPECT_EQ(call->exit_status(), 1);
  EXPECT_THAT(call->err(), HasSubstr("gopher://somewhere"));
}

TEST_F(CommandLine, APasswordFileThatIsNotThereExitsWith1AndIsNamed) {
  const auto call = wheymarkd(
      {"run", "--config",
       folder.file("secret", "url mqtt://127.0.0.1:1\nclient_id a\nuser b\npassword_file gone\n")});
  EXPECT_EQ(call->exit_status(), 1);
  EXPECT_THAT(call->err(), HasSubstr(folder.path_of("gone")));
}

// A question neither creates an empty store for a mistyped name nor answers from one.
TEST_F(CommandLine, WhoOnlyAsksOfAStoreThatIsNotThereIsRefused) {
  const std::string absent = folder.path_of("absent.db");
  for (const std::vector<std::string>& asking :
       std::vector<std::vector<std::string>>{{"plan", "--jar", "blue"},
                                             {"explain", "--jar", "blue"},
                                             {"export", "--what", "batches"}}) {
    std::vector<std::string> arguments = asking;
    arguments.insert(arguments.end(), {"--config", good, "--store", absent});
    const auto call = wheymarkd(arguments);
    EXPECT_EQ(call->exit_status(), 2) << asking.front();
    EXPECT_THAT(call->err(), HasSubstr(absent)) << asking.front();
    EXPECT_FALSE(std::filesystem::exists(absent)) << asking.front();
  }
}

// JOURNAL_STREAM names the device and inode of the journal's socket: here, of the file that stderr
// is.
TEST_F(CommandLine, InTheJournalALineBeginsWithItsPriorityAndElsewhereWithItsName) {
  const std::vector<std::pair<std::string, std::string>> fake{
      {"LD_LIBRARY_PATH", FAKE_LIBRARY_FOLDER}};
  const std::string call = std::string("exec " WHEYMARKD " check --config ") + bad;
  Process journal({"sh", "-c", "export JOURNAL_STREAM=$(stat -L -c %d:%i /proc/$$/fd/2); " + call},
                  fake);
  EXPECT_EQ(journal.exit_status(), 1);
  EXPECT_THAT(journal.err(), HasSubstr("<3>/jars/0/milk"));

  Process redirected({"sh", "-c", "export JOURNAL_STREAM=1:1; " + call}, fake);
  EXPECT_EQ(redirected.exit_status(), 1);
  EXPECT_THAT(redirected.err(), HasSubstr("error: /jars/0/milk"));
}

TEST(Log, ATopicCannotForgeASecondLine) {
  EXPECT_EQ(without_control_characters("a\n<3>b\t\x1b[2J\x7f\xc2\x9b ü"),
            "a\\n<3>b\\t\\x1b[2J\\x7f\\x9b ü");
}

}  // namespace
}  // namespace wheymark::test
