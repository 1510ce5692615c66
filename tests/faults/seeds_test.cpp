// Two hundred worlds of some days in which everything breaks: nothing that was answered is lost,
// everything is announced exactly once, and a daemon that starts again publishes what it published
// before.
//
// WHEYMARK_SEEDS=FROM:TO runs others, for example 1000:3000. A seed that fails prints the smallest
// story that still fails.
#include <cstdlib>
#include <filesystem>
#include <gtest/gtest.h>
#include <optional>
#include <string>

#include "tests/faults/world.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::faults {
namespace {

// What was broken, or nothing.
std::optional<std::string> broken_by(const Story& story, Tally* tally = nullptr) {
  const test::TemporaryFolder folder;
  try {
    const Tally lived = World(story, folder.path()).lives();
    if (tally != nullptr) tally->add(lived);
    return std::nullopt;
  } catch (const std::exception& broken) {
    return broken.what();
  }
}

// Leaves out as many steps as can be left out, halves first, so that it still fails.
Story smallest(Story story) {
  for (std::size_t chunk = std::max<std::size_t>(1, story.steps.size() / 2); chunk > 0;
       chunk /= 2) {
    for (std::size_t from = 0; from < story.steps.size();) {
      Story without = story;
      const auto first = without.steps.begin() + static_cast<std::ptrdiff_t>(from);
      const auto count = std::min(chunk, story.steps.size() - from);
      without.steps.erase(first, first + static_cast<std::ptrdiff_t>(count));
      if (broken_by(without)) {
        story = std::move(without);
      } else {
        from += chunk;
      }
    }
  }
  return story;
}

std::pair<std::uint64_t, std::uint64_t> seeds(std::uint64_t part, std::uint64_t parts) {
  std::uint64_t from = 1;
  std::uint64_t to = 200;
  if (const char* asked = std::getenv("WHEYMARK_SEEDS")) {
    const std::string text = asked;
    from = std::stoull(text);
    to = text.find(':') == std::string::npos ? from : std::stoull(text.substr(text.find(':') + 1));
  }
  const std::uint64_t count = to - from + 1;
  return {from + count * part / parts, from + count * (part + 1) / parts};
}

// In four parts, so that processors share the work.
class Seeds : public testing::TestWithParam<int> {};

TEST_P(Seeds, LoseAndDoubleNothingThatWasAnswered) {
  const auto [from, to] = seeds(static_cast<std::uint64_t>(GetParam()), 4);
  Tally tally;
  int failures = 0;
  for (std::uint64_t seed = from; seed < to; ++seed) {
    const Story story = story_of(seed);
    const auto broken = broken_by(story, &tally);
    if (!broken) continue;
    const Story small = smallest(story);
    ADD_FAILURE() << "seed " << seed << ": " << *broken << "\nthe smallest story that fails ("
                  << broken_by(small).value_or("it fails no more") << "):\n"
                  << shown(small);
    if (++failures == 3) break;
  }
  fmt::print(
      "{} worlds: {} readings, {} sayings, {} accepted, {} events ({} came twice), {} deaths, {} "
      "connections, {} changes of the disk, {} MB written\n",
      to - from, tally.readings, tally.said, tally.accepted, tally.events, tally.doubled_events,
      tally.kills, tally.connections, tally.disk_changes, tally.bytes_written / 1'000'000);
}

INSTANTIATE_TEST_SUITE_P(Quarters, Seeds, testing::Range(0, 4));

}  // namespace
}  // namespace wheymark::faults
