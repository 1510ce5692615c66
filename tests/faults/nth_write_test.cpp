// One short day of a jar, again and again: each time another change of the disk fails, or is the
// last one before the process is killed, or before the power goes.
//
// Every tenth change is tried; WHEYMARK_EVERY_WRITE=1 tries them all, N every N-th.
#include <algorithm>
#include <cstdlib>
#include <gtest/gtest.h>
#include <string>

#include "tests/faults/world.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::faults {
namespace {

Story short_day() {
  Story story{7, 5, {}};
  int number = 0;
  const auto says = [&](int at_min, const std::string& fields) {
    story.steps.push_back({at_min, ++number, Says{fields, -1}});
  };
  says(10, R"("fact":"start","jar":"blue")");
  says(60, R"("fact":"sign","jar":"blue","sign":"thickened")");
  says(120, R"("fact":"strain","jar":"blue","into":"bottle")");
  says(125, R"("fact":"store","jar":"bottle")");
  says(130, R"("fact":"start","jar":"blue","at":0,"milk_ml":2e9)");  // refused
  says(180, R"("fact":"finish","jar":"bottle")");
  story.steps.push_back({200, ++number, Restarts{5}});
  return story;
}

// `how` is put in front of the day. Returns how many changes the disk saw.
std::uint64_t day_with(EventKind how) {
  Story story = short_day();
  story.steps.insert(story.steps.begin(), {1, 99, std::move(how)});
  const test::TemporaryFolder folder;
  try {
    return World(story, folder.path()).lives().disk_changes;
  } catch (const std::exception& broken) {
    ADD_FAILURE() << broken.what() << "\n" << shown(story);
    return 0;
  }
}

class TheNthWrite : public testing::Test {
 protected:
  // With the n-th change different, for n = 1, 11, 21, ... or 1, 2, 3, ...
  template <class Different>
  void for_each_change(Different different) {
    const std::uint64_t changes = day_with(WriteFails{1 << 30});
    const char* asked = std::getenv("WHEYMARK_EVERY_WRITE");
    const int step = asked == nullptr ? 10 : std::max(1, std::atoi(asked));
    int failures = 0;
    int tried = 0;
    for (int n = 1; n <= static_cast<int>(changes) && failures < 3; n += step, ++tried) {
      if (day_with(different(n)) == 0) ++failures;
    }
    fmt::print("{} of {} changes of the disk tried\n", tried, changes);
    EXPECT_GT(changes, 200u);
  }
};

TEST_F(TheNthWrite, MayFailOnceAndNothingThatWasAnsweredIsLost) {
  for_each_change([](int n) { return WriteFails{n}; });
}

TEST_F(TheNthWrite, MayBeTheLastBeforeAKillAndNothingThatWasAnsweredIsLost) {
  for_each_change([](int n) { return Dies{n, false, 2}; });
}

TEST_F(TheNthWrite, MayBeTheLastBeforeAPowerCutAndNothingThatWasAnsweredIsLost) {
  for_each_change([](int n) { return Dies{n, true, 2}; });
}

}  // namespace
}  // namespace wheymark::faults
