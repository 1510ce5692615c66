// The daemon's hot paths, each run a fixed number of times, for a program that counts instructions
// (see instruction_counts.py).
//
// hot-paths NAME: prepares what the path needs, and runs it in a function called `counted`. Only
// instructions within that are counted.
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <stdexcept>
#include <stdlib.h>
#include <string>
#include <vector>

#include "core/advice/feeding.hpp"
#include "plugin/store/store.hpp"
#include "tests/benchmark/forecast_task.hpp"
#include "tests/benchmark/four_rooms.hpp"
#include "tests/faults/plugin.hpp"

extern "C" void counted(const std::function<void()>& work) {
  work();
}

namespace wheymark {
namespace {

// Called through this, so that the compiler neither inlines it nor makes variants of it.
void (*volatile counting)(const std::function<void()>&) = counted;

// The results are used, so that the compiler cannot leave the computation out.
double seen = 0.0;

void must(bool holds, const char* what) {
  if (!holds) throw std::runtime_error(what);
}
template <class T>
const T& must(const Result<T>& result) {
  if (!result) throw std::runtime_error(result.why());
  return result.value();
}

// A thousand readings of ten rooms through the C interface: decoded, judged, put into the journal
// (in memory), applied to the running batches, and published.
void readings_with(int batches) {
  std::string places;
  std::string cultures;
  std::string jars;
  for (int i = 0; i < 10; ++i) {
    const char* comma = i == 0 ? "" : ",";
    places += fmt::format(
        R"({0}{{"id":"room-{1}","kind":"room","thermometer":{{"topic":"load/{1}/climate",)"
        R"("pointer":"/temperature","instant_pointer":"/at"}}}})",
        comma, i);
    cultures += fmt::format(R"({}{{"id":"c{}"}})", comma, i);
    jars +=
        fmt::format(R"({0}{{"id":"j{1}","capacity_ml":1250,"place":"room-{1}","culture":"c{1}",)"
                    R"("milk":"cow-whole","milk_ml":950,"grain_g":20}})",
                    comma, i);
  }
  const std::string configuration = fmt::format(
      R"({{"home":{{"name":"Ten rooms","time_zone":"Europe/Dublin"}},"broker":{{"url":"mqtt://h"}},)"
      R"("store":":memory:","places":[{}],"cultures":[{}],"jars":[{}]}})",
      places, cultures, jars);
  std::size_t published = 0;
  faults::HostCalls calls;
  calls.publish = [&](const faults::Message&) { return ++published > 0; };
  calls.subscribe = [](const std::string&) {};
  calls.log = [](wheymark_level, const std::string&) {};
  faults::Plugin plugin(std::move(calls), configuration, ":memory:");
  must(plugin.opened(), "the household must open");
  std::int64_t now_ms = 1'803'859'200'000;  // a midnight
  plugin.connected(now_ms);
  plugin.subscribed(now_ms);
  const auto minutes = [&](int first, int count) {
    for (int minute = first; minute < first + count; ++minute) {
      for (int room = 0; room < 10; ++room) {
        const double air_c = 20.0 + 0.1 * room + 1.5 * std::sin(minute / 229.0);
        plugin.hears(fmt::format("load/{}/climate", room),
                     fmt::format(R"({{"temperature":{:.2f},"humidity":{},"at":{}}})", air_c,
                                 40 + room, now_ms / 1000),
                     false, now_ms);
      }
      now_ms += 60'000;
      if (plugin.next_tick() <= now_ms) plugin.tick(now_ms);
    }
  };
  minutes(0, 1);
  for (int jar = 0; jar < batches; ++jar) {
    plugin.hears("wheymark/say", fmt::format(R"({{"fact":"start","jar":"j{}"}})", jar), false,
                 now_ms);
  }
  minutes(1, 60);
  counting([&] { minutes(61, 100); });
  must(published > 100, "states must be published");
}

void readings() {
  readings_with(0);
}

void followed_readings() {
  readings_with(10);
}

void forecasts() {
  const forecast_task::Task task;
  counting([&] {
    for (int i = 0; i < 100; ++i) {
      const Forecast made = task.made();
      must(made.peak_closes.p90.has_value(), "the whole forecast must be known");
      seen += hours_between(forecast_task::midnight, *made.peak_closes.p90);
    }
  });
}

void beliefs() {
  const forecast_task::Report report;
  const forecast_task::Culture culture;
  counting([&] {
    for (int i = 0; i < 50; ++i) {
      seen += report.weighed().quantile(0.5);
      seen += culture.after_another_batch().quantile(0.5);
    }
  });
}

// A day of a household with one thermometer: its readings minute by minute, and thirty facts.
void journal() {
  std::string folder = (std::filesystem::temp_directory_path() / "hot-paths-XXXXXX").string();
  must(mkdtemp(folder.data()) != nullptr, "a folder must be there");
  auto opened = open_store(folder + "/wheymark.db");
  must(opened);
  std::unique_ptr<Store> store = std::move(opened).value();
  counting([&] {
    std::vector<OutboxMessage> none;
    for (int minute = 0; minute < 1440; ++minute) {
      const Instant at = forecast_task::midnight + std::chrono::minutes{minute};
      const double air_c = 20.0 + 0.01 * minute;
      must(
          store->commit({{JournalRow::Kind::reading, at, "room", air_c, ""}}, none, Durable::soon));
      must(store->flush());
      if (minute % 48 != 0) continue;
      std::vector<OutboxMessage> messages{
          {0, "wheymark/events/jar-blue/peak-near", std::string(600, 'x'), "text/plain", 1}};
      must(store->commit({{JournalRow::Kind::fact, at, "", 0.0, std::string(200, 'y')}}, messages,
                         Durable::at_once));
      must(store->delivered(messages.front().delivery));
    }
  });
  store.reset();
  std::filesystem::remove_all(folder);
}

void setups() {
  Household household(four_rooms::setup(), default_parameters());
  four_rooms::live(household);
  counting([&] {
    const auto advice = advise_feeding(PlanRequest{}, household, four_rooms::now);
    seen += static_cast<double>(must(advice).combinations);
  });
}

int run(const std::string& name) {
  const std::map<std::string, void (*)()> paths{
      {"readings", readings},   {"followed-readings", followed_readings},
      {"forecasts", forecasts}, {"beliefs", beliefs},
      {"journal", journal},     {"plans", setups}};
  const auto path = paths.find(name);
  if (path == paths.end()) {
    std::fputs("usage: hot-paths readings|followed-readings|forecasts|beliefs|journal|plans\n",
               stderr);
    return 2;
  }
  path->second();
  return std::isnan(seen) ? 1 : 0;
}

}  // namespace
}  // namespace wheymark

int main(int count_of_words, char** words) {
  try {
    return wheymark::run(count_of_words == 2 ? words[1] : "");
  } catch (const std::exception& error) {
    std::fprintf(stderr, "hot-paths: %s\n", error.what());
    return 1;
  }
}
