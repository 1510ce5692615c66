// When memory is refused in the middle of a call, that one instance freezes, the host lives on, and
// a new instance knows everything that was accepted.
//
// Memory that is refused is the one broken invariant that a host can bring about at any line of the
// library: it takes the same way out as a broken check().
#include <filesystem>
#include <gmock/gmock.h>
#include <optional>
#include <sys/wait.h>
#include <unistd.h>

#include "tests/hosts/counted_memory.hpp"
#include "tests/hosts/hub.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

class AFrozenInstance : public ::testing::Test {
 protected:
  // Whatever was frozen, nothing else lies beside the store.
  void TearDown() override {
    for (const auto& entry : std::filesystem::directory_iterator(folder.path())) {
      EXPECT_THAT(entry.path().filename().string(), ::testing::StartsWith("kept.db"));
    }
  }
  wheymark_status open(Hub& hub) const {
    hub.settings.store = text_of(store);
    return hub.open(household_called("wheymark"));
  }
  // A report for which there is too little memory.
  static wheymark_status say_without_memory(Hub& hub, std::int64_t at_piece,
                                            const std::string& payload, double minute) {
    wheymark_message message{};
    message.struct_size = sizeof message;
    message.topic = text_of("wheymark/say");
    message.payload = text_of(payload);
    fail_to_give(at_piece);
    const wheymark_status status = hub.library()->message(hub.instance, &message, at(minute));
    fail_to_give(0);
    return status;
  }

  struct Outcome {
    std::optional<int> status;  // none: the process ended
    bool accepted = false;
  };
  Outcome in_its_own_process(std::int64_t at_piece, const std::string& fact,
                             const std::string& ref) const {
    const pid_t child = fork();
    if (child == 0) {
      Hub hub(library);
      if (open(hub) != WHEYMARK_OK || hub.connect(60) != WHEYMARK_OK) _exit(99);
      close(STDERR_FILENO);  // hides the messages of an expected end
      hub.published.clear();
      const int status = say_without_memory(hub, at_piece, fact, 70);
      const std::string answer = hub.last_on("wheymark/answer");
      const bool accepted = answer.find(ref) != std::string::npos &&
                            answer.find(R"("accepted":true)") != std::string::npos;
      _exit(status * 2 + (accepted ? 1 : 0));
    }
    int ended = 0;
    EXPECT_EQ(waitpid(child, &ended, 0), child);
    if (!WIFEXITED(ended)) return {};
    EXPECT_LT(WEXITSTATUS(ended), 6) << "it did not even begin";
    return {WEXITSTATUS(ended) / 2, WEXITSTATUS(ended) % 2 == 1};
  }

  Library library;
  TemporaryFolder folder;
  const std::string store = folder.path_of("kept.db");
};

TEST_F(AFrozenInstance, SaysSoAndDoesNothingMore) {
  Hub hub(library);
  ASSERT_EQ(open(hub), WHEYMARK_OK) << ::testing::PrintToString(hub.log);
  ASSERT_EQ(hub.connect(0), WHEYMARK_OK);
  const std::string start = R"({"fact":"start","jar":"blue"})";
  ASSERT_EQ(say_without_memory(hub, 1, start, 1), WHEYMARK_FROZEN);
  EXPECT_THAT(hub.log, Contains(HasSubstr("open another from the same store")));

  const std::size_t heard = hub.published.size();
  wheymark_connection connection{};
  connection.struct_size = sizeof connection;
  EXPECT_EQ(library->connection(hub.instance, &connection), WHEYMARK_FROZEN);
  EXPECT_EQ(library->connected(hub.instance, at(2)), WHEYMARK_FROZEN);
  EXPECT_EQ(library->subscribed(hub.instance, at(2)), WHEYMARK_FROZEN);
  EXPECT_EQ(library->disconnected(hub.instance, at(2)), WHEYMARK_FROZEN);
  EXPECT_EQ(library->tick(hub.instance, at(2)), WHEYMARK_FROZEN);
  EXPECT_EQ(library->delivered(hub.instance, 1, at(2)), WHEYMARK_FROZEN);
  EXPECT_EQ(library->stop(hub.instance, at(2)), WHEYMARK_FROZEN);
  EXPECT_EQ(hub.say("wheymark/say", start, 2), WHEYMARK_FROZEN);
  EXPECT_EQ(library->next_tick_ms(hub.instance), INT64_MAX);
  EXPECT_EQ(hub.published.size(), heard);
}

TEST_F(AFrozenInstance, LeavesTheOthersOfTheProcessAlone) {
  Hub unlucky(library);
  Hub other(library);
  ASSERT_EQ(open(unlucky), WHEYMARK_OK) << ::testing::PrintToString(unlucky.log);
  ASSERT_EQ(other.open(household_called("other")), WHEYMARK_OK)
      << ::testing::PrintToString(other.log);
  ASSERT_EQ(unlucky.connect(0), WHEYMARK_OK);
  ASSERT_EQ(other.connect(0), WHEYMARK_OK);
  ASSERT_EQ(say_without_memory(unlucky, 1, "{}", 1), WHEYMARK_FROZEN);
  EXPECT_EQ(other.say("other/say", R"({"fact":"start","jar":"blue"})", 1), WHEYMARK_OK);
  EXPECT_EQ(other.on("other/events/jar-blue/batch-started").size(), 1u);
}

// The n-th allocation is refused: the first forty one by one, then every 61st until no more are
// asked for. Each in a process of its own: the JSON library allocates in a destructor, and when
// that is refused the process ends. For the store, that is a power cut.
TEST_F(AFrozenInstance, WhoseMemoryIsRefusedKeepsWhatItAnsweredAndTheNextOneGoesOn) {
  {
    Hub hub(library);
    ASSERT_EQ(open(hub), WHEYMARK_OK) << ::testing::PrintToString(hub.log);
    ASSERT_EQ(hub.connect(0), WHEYMARK_OK);
    ASSERT_EQ(hub.say("wheymark/say", R"({"fact":"start","jar":"blue"})", 1), WHEYMARK_OK);
    ASSERT_EQ(hub.live(10, 60, "22.0"), WHEYMARK_OK);
  }
  int frozen = 0;
  int ended = 0;
  bool enough = false;
  for (std::int64_t at_piece = 1; !enough; at_piece += at_piece < 40 ? 1 : 61) {
    ASSERT_LT(at_piece, 5'000) << "one fact takes surprisingly much memory";
    SCOPED_TRACE(at_piece);
    const std::string ref = "piece-" + std::to_string(at_piece);
    const std::string fact = R"({"fact":"ph","jar":"blue","ph":4.9,"ref":")" + ref + R"("})";

    const auto [status, accepted] = in_its_own_process(at_piece, fact, ref);
    enough = status == WHEYMARK_OK;
    ++(status ? frozen : ended);
    EXPECT_TRUE(accepted || !enough);

    Hub next(library);
    ASSERT_EQ(open(next), WHEYMARK_OK) << ::testing::PrintToString(next.log);
    ASSERT_EQ(next.connect(71), WHEYMARK_OK);
    ASSERT_EQ(next.say("wheymark/say", fact, 71), WHEYMARK_OK);
    const std::string answer = next.last_on("wheymark/answer");
    EXPECT_THAT(answer, HasSubstr(R"("accepted":true)"));
    if (accepted) {
      EXPECT_THAT(answer, HasSubstr("was said before")) << "answered, and then forgotten";
    }
  }
  EXPECT_GT(frozen, 40);
  EXPECT_LT(ended, frozen / 4);
}

}  // namespace
}  // namespace wheymark::test
