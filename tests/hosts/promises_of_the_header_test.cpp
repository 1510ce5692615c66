// What the header promises to every host, kept by the built library, reached through dlopen.
#include <clocale>
#include <cstddef>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <gmock/gmock.h>
#include <malloc.h>
#include <memory>
#include <set>
#include <thread>

#include "tests/hosts/counted_memory.hpp"
#include "tests/hosts/hub.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

constexpr const char* start_blue = R"({"fact":"start","jar":"blue","ref":"one"})";

class AHub : public ::testing::Test {
 protected:
  Library library;
};

TEST_F(AHub, HearsABatchFromItsStartToItsPeak) {
  Hub hub(library);
  ASSERT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  ASSERT_EQ(hub.connect(0), WHEYMARK_OK);
  ASSERT_EQ(hub.say("wheymark/say", start_blue, 1), WHEYMARK_OK);
  ASSERT_EQ(hub.live(10, 30 * 60, "22.0"), WHEYMARK_OK);

  EXPECT_EQ(hub.on("wheymark/events/jar-blue/batch-started").size(), 1u)
      << ::testing::PrintToString(hub.log);
  EXPECT_EQ(hub.on("wheymark/events/jar-blue/peak-open").size(), 1u);
  EXPECT_THAT(hub.subscribed, Contains("house/kitchen"));
}

TEST_F(AHub, IsAnsweredAQuestionInPiecesAndRefusedNonsense) {
  Hub hub(library);
  ASSERT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  ASSERT_EQ(hub.connect(0), WHEYMARK_OK);
  ASSERT_EQ(hub.live(10, 60, "22.0"), WHEYMARK_OK);
  std::string answer;
  const auto write = [](void* context, wheymark_text piece) {
    static_cast<std::string*>(context)->append(string_of(piece));
  };
  const auto ask = [&](const char* question) {
    answer.clear();
    return library->ask(hub.instance, text_of(question), at(60), &answer, write);
  };
  EXPECT_EQ(ask(R"({"fact":"plan","jar":"blue"})"), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  EXPECT_THAT(answer, HasSubstr("Feed at "));
  EXPECT_EQ(ask(R"({"fact":"explain","jar":"blue"})"), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  EXPECT_THAT(answer, HasSubstr("\"lines\""));
  EXPECT_EQ(ask(R"({"fact":"plan","jar":"green"})"), WHEYMARK_REFUSED);
  EXPECT_THAT(hub.log, Contains(HasSubstr("no jar is called \"green\"")));
  EXPECT_EQ(ask("nonsense"), WHEYMARK_REFUSED);
  EXPECT_EQ(answer, "");
  EXPECT_EQ(library->ask(hub.instance, text_of("{}"), at(60), nullptr, nullptr), WHEYMARK_REFUSED);
  EXPECT_EQ(library->ask(nullptr, text_of("{}"), at(60), &answer, write), WHEYMARK_REFUSED);
}

// --- growth -------------------------------------------------------------------------------------

TEST_F(AHub, ThatIsOlderAndHasAShorterTableIsNotAskedForWhatItDoesNotHave) {
  Hub hub(library);
  // What lies beyond struct_size is not the host's: here it would crash.
  hub.table.struct_size = offsetof(wheymark_host, log);
  std::memset(&hub.table.log, 0x41, sizeof hub.table.log);
  EXPECT_EQ(hub.open("{}"), WHEYMARK_REFUSED);  // the reason is logged nowhere
  ASSERT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK);
  ASSERT_EQ(hub.connect(0), WHEYMARK_OK);
  EXPECT_EQ(hub.last_on("homie/5/wheymark/$state"), "ready");
}

TEST_F(AHub, ThatIsNewerAndHasLongerRecordsIsServedAsFarAsTheLibraryGoes) {
  Hub hub(library);
  struct {
    wheymark_host known;
    void* unknown[8];
  } longer{hub.table, {}};
  std::memset(longer.unknown, 0x41, sizeof longer.unknown);
  longer.known.struct_size = sizeof longer;
  struct {
    wheymark_settings known;
    unsigned char unknown[64];
  } settings{hub.settings, {}};
  const std::string configuration = household_called("wheymark");
  settings.known.struct_size = sizeof settings;
  settings.known.configuration = text_of(configuration);
  std::memset(settings.unknown, 0x41, sizeof settings.unknown);
  ASSERT_EQ(library->open(&longer.known, &settings.known, &hub.instance), WHEYMARK_OK);

  struct {
    wheymark_connection known;
    unsigned char unknown[64];
  } connection{};
  std::memset(&connection, 0x41, sizeof connection);
  connection.known.struct_size = sizeof connection;
  ASSERT_EQ(library->connection(hub.instance, &connection.known), WHEYMARK_OK);
  EXPECT_EQ(string_of(connection.known.url), "mqtt://broker.invalid:1883");
  EXPECT_LE(connection.known.struct_size, sizeof(wheymark_connection)) << "tells how far it went";
  for (const unsigned char byte : connection.unknown) EXPECT_EQ(byte, 0x41);
}

TEST_F(AHub, ThatIsOlderGetsNoByteBeyondItsRecord) {
  Hub hub(library);
  ASSERT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  constexpr std::size_t shorter = offsetof(wheymark_connection, will_payload);
  wheymark_connection connection{};
  std::memset(&connection, 0x41, sizeof connection);
  connection.struct_size = shorter;
  ASSERT_EQ(library->connection(hub.instance, &connection), WHEYMARK_OK);
  EXPECT_EQ(string_of(connection.will_topic), "homie/5/wheymark/$state");
  EXPECT_EQ(connection.struct_size, shorter);
  const auto* bytes = reinterpret_cast<const unsigned char*>(&connection);
  for (std::size_t i = shorter; i < sizeof connection; ++i) EXPECT_EQ(bytes[i], 0x41) << i;
}

TEST_F(AHub, ThatCallsWronglyIsRefusedAndNothingHappens) {
  Hub hub(library);
  EXPECT_EQ(library->open(nullptr, &hub.settings, &hub.instance), WHEYMARK_REFUSED);
  EXPECT_EQ(library->open(&hub.table, nullptr, &hub.instance), WHEYMARK_REFUSED);
  EXPECT_EQ(library->open(&hub.table, &hub.settings, nullptr), WHEYMARK_REFUSED);
  EXPECT_EQ(library->check(&hub.table, nullptr), WHEYMARK_REFUSED);
  EXPECT_EQ(library->tick(nullptr, at(0)), WHEYMARK_REFUSED);
  EXPECT_EQ(library->next_tick_ms(nullptr), INT64_MAX);
  library->close(nullptr);

  ASSERT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  EXPECT_EQ(library->connection(hub.instance, nullptr), WHEYMARK_REFUSED);
  EXPECT_EQ(library->message(hub.instance, nullptr, at(0)), WHEYMARK_REFUSED);
  wheymark_message shorter_than_version_1{};
  shorter_than_version_1.struct_size = offsetof(wheymark_message, delivery);
  EXPECT_EQ(library->message(hub.instance, &shorter_than_version_1, at(0)), WHEYMARK_REFUSED);
  EXPECT_EQ(hub.connect(0), WHEYMARK_OK);
}

// --- instances and threads ----------------------------------------------------------------------

TEST_F(AHub, HoldsTwoInstancesAtOnceAndNeitherHearsOfTheOther) {
  Hub first(library);
  Hub second(library);
  ASSERT_EQ(first.open(household_called("upstairs")), WHEYMARK_OK)
      << ::testing::PrintToString(first.log);
  ASSERT_EQ(second.open(household_called("downstairs")), WHEYMARK_OK)
      << ::testing::PrintToString(second.log);
  ASSERT_EQ(first.connect(0), WHEYMARK_OK);
  ASSERT_EQ(second.connect(0), WHEYMARK_OK);
  ASSERT_EQ(first.say("upstairs/say", start_blue, 1), WHEYMARK_OK);
  ASSERT_EQ(second.say("upstairs/say", start_blue, 1), WHEYMARK_OK);

  EXPECT_EQ(first.on("upstairs/events/jar-blue/batch-started").size(), 1u);
  for (const Published& one : second.published) {
    EXPECT_EQ(one.topic.find("batch-started"), std::string::npos);
    EXPECT_EQ(one.topic.find("upstairs"), std::string::npos) << one.topic;
  }
  first.close();
  EXPECT_EQ(second.say("downstairs/say", start_blue, 2), WHEYMARK_OK);
  EXPECT_EQ(second.on("downstairs/events/jar-blue/batch-started").size(), 1u);
}

// Under the thread sanitizer this finds whatever two instances share.
TEST_F(AHub, MayUseTwoInstancesFromTwoThreadsAndHearsTheSameFromBoth) {
  const auto play = [this](Hub& hub) {
    ASSERT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK)
        << ::testing::PrintToString(hub.log);
    ASSERT_EQ(hub.connect(0), WHEYMARK_OK);
    ASSERT_EQ(hub.say("wheymark/say", start_blue, 1), WHEYMARK_OK);
    ASSERT_EQ(hub.live(10, 24 * 60, "22.0"), WHEYMARK_OK);
  };
  Hub first(library);
  Hub second(library);
  std::thread other([&] { play(second); });
  play(first);
  other.join();

  ASSERT_EQ(first.published.size(), second.published.size());
  for (std::size_t i = 0; i < first.published.size(); ++i) {
    EXPECT_EQ(first.published[i].topic, second.published[i].topic);
    EXPECT_EQ(first.published[i].payload, second.published[i].payload);
  }
}

TEST_F(AHub, FindsNoThreadOfTheLibrarysOwn) {
  const auto tasks = [] {
    std::ifstream status("/proc/self/status");
    std::string word;
    while (status >> word && word != "Threads:") {
    }
    int count = 0;
    status >> count;
    return count;
  };
  const int before = tasks();
  Hub hub(library);
  ASSERT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  ASSERT_EQ(hub.connect(0), WHEYMARK_OK);
  EXPECT_GE(before, 1);
  EXPECT_EQ(tasks(), before);
}

// --- loading and unloading ----------------------------------------------------------------------

bool is_mapped(const std::string& part_of_name) {
  std::ifstream maps("/proc/self/maps");
  for (std::string line; std::getline(maps, line);) {
    if (line.find(part_of_name) != std::string::npos) return true;
  }
  return false;
}

void load_play_and_unload() {
  const Library library;
  Hub hub(library);
  ASSERT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  ASSERT_EQ(hub.connect(0), WHEYMARK_OK);
  ASSERT_EQ(hub.say("wheymark/say", start_blue, 1), WHEYMARK_OK);
  ASSERT_TRUE(is_mapped("libwheymark.so"));
}

TEST(TheLibrary, IsGoneWhenItIsUnloadedAndLeavesNothingBehindHoweverOftenItIsLoaded) {
  load_play_and_unload();
  EXPECT_FALSE(is_mapped("libwheymark.so"));
  const std::int64_t pieces = pieces_in_use();
  const std::size_t bytes = mallinfo2().uordblks;
  for (int i = 0; i < 50; ++i) load_play_and_unload();
  EXPECT_EQ(pieces_in_use(), pieces);
  // SQLite and the dynamic loader use malloc itself, whose cache of free pieces counts as used: but
  // a forgotten connection would be some 20 kB a load.
  EXPECT_LT(mallinfo2().uordblks, bytes + 100'000);
}

// --- locale -------------------------------------------------------------------------------------

// A process whose numbers have a decimal comma and dots between thousands, made for this test:
// few machines have more than one locale.
class InAGermanProcess : public AHub {
 protected:
  void SetUp() override {
    const std::string made =
        "localedef -i de_DE -f UTF-8 " + folder_.path_of("de_DE.UTF-8") + " 2>/dev/null";
    ASSERT_EQ(std::system(made.c_str()), 0) << "is the package `locales` installed?";
    setenv("LOCPATH", folder_.path().c_str(), 1);
    ASSERT_NE(std::setlocale(LC_ALL, "de_DE.UTF-8"), nullptr);
    ASSERT_EQ(std::string(std::localeconv()->decimal_point), ",");
  }
  void TearDown() override {
    std::setlocale(LC_ALL, "C");
    unsetenv("LOCPATH");
  }

 private:
  const TemporaryFolder folder_;
};

std::vector<Published> what_is_heard_on_a_day(const Library& library) {
  Hub hub(library);
  EXPECT_EQ(hub.open(household_called("wheymark")), WHEYMARK_OK)
      << ::testing::PrintToString(hub.log);
  EXPECT_EQ(hub.connect(0), WHEYMARK_OK);
  EXPECT_EQ(
      hub.say("wheymark/say", R"({"fact":"start","jar":"blue","milk_c":18.5,"milk_ml":1000.5})", 1),
      WHEYMARK_OK);
  EXPECT_EQ(hub.live(10, 24 * 60, "21.75"), WHEYMARK_OK);
  return hub.published;
}

TEST_F(InAGermanProcess, EveryNumberIsReadAndWrittenAsElsewhere) {
  const auto german = what_is_heard_on_a_day(library);
  EXPECT_EQ(std::string(std::setlocale(LC_ALL, nullptr)), "de_DE.UTF-8");
  std::setlocale(LC_ALL, "C");
  const auto plain = what_is_heard_on_a_day(library);

  EXPECT_THAT(plain, ::testing::SizeIs(::testing::Ge(100)));
  ASSERT_EQ(german.size(), plain.size());
  for (std::size_t i = 0; i < plain.size(); ++i) EXPECT_EQ(german[i].payload, plain[i].payload);
}

}  // namespace
}  // namespace wheymark::test
