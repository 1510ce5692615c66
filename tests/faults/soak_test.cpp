// Five thermometers that send once a minute, a batch a day, for weeks or a year: what is written,
// what is kept, how much memory it takes, and how long a start takes then.
//
// Two weeks; WHEYMARK_SOAK_DAYS=365 for a year.
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <gtest/gtest.h>
#include <numbers>
#include <string>
#include <unistd.h>

#include "tests/faults/disk.hpp"
#include "tests/faults/plugin.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::faults {
namespace {

constexpr const char* household = R"({
  "home": {"name": "Soak", "time_zone": "Europe/Lisbon"}, "broker": {"url": "mqtt://h"},
  "store": "unused.db", "places": [
    {"id": "p0", "kind": "room", "thermometer": {"topic": "t/0"}},
    {"id": "p1", "kind": "room", "thermometer": {"topic": "t/1"}},
    {"id": "p2", "kind": "room", "thermometer": {"topic": "t/2"}},
    {"id": "p3", "kind": "fridge", "thermometer": {"topic": "t/3"}},
    {"id": "p4", "kind": "fridge", "thermometer": {"topic": "t/4"}}],
  "cultures": [{"id": "c"}],
  "jars": [{"id": "b", "capacity_ml": 1250, "place": "p0", "culture": "c", "milk": "cow-whole",
            "milk_ml": 950, "grain_g": 20}, {"id": "s", "capacity_ml": 1000, "place": "p3"}]})";

double resident_mb() {
  std::ifstream file("/proc/self/statm");
  double size = 0.0;
  double resident = 0.0;
  file >> size >> resident;
  return resident * static_cast<double>(sysconf(_SC_PAGESIZE)) / 1e6;
}

class Soak : public testing::Test {
 protected:
  [[nodiscard]] std::unique_ptr<Plugin> opened() {
    HostCalls calls;
    calls.publish = [this](const Message& m) {
      if (m.delivery != 0) owed.push_back(m.delivery);
      return true;
    };
    calls.subscribe = [](const std::string&) {};
    calls.log = [](wheymark_level level, const std::string& line) {
      EXPECT_GT(level, WHEYMARK_WARNING) << line;
    };
    return std::make_unique<Plugin>(std::move(calls), household, store);
  }
  void says(const std::string& fields) {
    plugin->hears("wheymark/say", "{" + fields + "}", false, now);
    acknowledge();
  }
  void acknowledge() {
    while (!owed.empty()) {
      for (const std::uint64_t delivery : std::exchange(owed, {})) plugin->delivered(delivery, now);
    }
  }
  void lives_a_day() {
    for (int minute = 0; minute < 24 * 60; ++minute) {
      for (int place = 0; place < 5; ++place) {
        const double swing = std::sin(2.0 * std::numbers::pi * (minute / 1440.0 + 0.1 * place));
        const double air_c =
            (place < 3 ? 20.0 + 2.0 * swing : 4.5 + 0.8 * swing) + 0.05 * dice.bell();
        plugin->hears(fmt::format("t/{}", place), fmt::format("{:.1f}", air_c), false, now);
      }
      if (minute == 480) says(R"("fact":"start","jar":"b")");
      if (minute == 1320) {
        if (!first) says(R"("fact":"finish","jar":"s")");
        first = false;
        says(R"("fact":"strain","jar":"b","into":"s")");
        says(R"("fact":"store","jar":"s")");
      }
      now += 60'000;
      if (plugin->next_tick() <= now) plugin->tick(now);
      acknowledge();
    }
  }

  test::TemporaryFolder folder;
  std::string store = folder.path() + "/wheymark.db";
  Disk disk;
  std::vector<std::uint64_t> owed;
  std::unique_ptr<Plugin> plugin;
  bool first = true;
  Dice dice{1, 1};
  std::int64_t now = 1'803'859'200'000;  // a midnight
};

TEST_F(Soak, WritesLittleKeepsLittleAndStartsQuickly) {
  const char* asked = std::getenv("WHEYMARK_SOAK_DAYS");
  const int days = asked == nullptr ? 14 : std::atoi(asked);
  disk.is_ordinary(true);
  plugin = opened();
  plugin->connected(now);
  plugin->subscribed(now);
  double resident_mb_before = 0.0;
  std::uint64_t bytes_before = 0;
  for (int day = 0; day < days; ++day) {
    if (day == days / 2) {
      resident_mb_before = resident_mb();
      bytes_before = disk.bytes_written();
    }
    lives_a_day();
  }
  const double growth_mb = resident_mb() - resident_mb_before;
  const double mb_a_day =
      static_cast<double>(disk.bytes_written() - bytes_before) / 1e6 / (days - days / 2);
  plugin->stop(now);
  plugin.reset();
  const double store_mb = static_cast<double>(std::filesystem::file_size(store)) / 1e6;

  // The processor's time, so that a busy machine does not count.
  const std::clock_t begin = std::clock();
  plugin = opened();
  ASSERT_TRUE(plugin->opened());
  const double start_ms = 1000.0 * static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;

  fmt::print(
      "{} days: {:.2f} MB written a day, {:.1f} MB kept, {:.1f} MB more memory in the later "
      "half, start {:.0f} ms\n",
      days, mb_a_day, store_mb, growth_mb, start_ms);
  EXPECT_LT(mb_a_day, 3.0);
  EXPECT_LT(store_mb, 20.0);
  // Two weeks of readings are kept in memory, 16 bytes each, and then no more.
  EXPECT_LT(growth_mb, 8.0);
}

}  // namespace
}  // namespace wheymark::faults
