// What do a forecast, a report and ten thousand jars cost?
#include <benchmark/benchmark.h>
#include <chrono>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"
#include "tests/benchmark/forecast_task.hpp"

namespace wheymark {
namespace {

void ThisForecast(benchmark::State& state) {
  const forecast_task::Task task;
  double ahead_h = 0.0;
  for (auto _ : state) {
    const Forecast made = task.made();
    ahead_h = hours_between(task.cold.at, made.peak_closes.p90.value());
    benchmark::DoNotOptimize(made);
  }
  state.counters["late_end_h"] = ahead_h;
}
BENCHMARK(ThisForecast)->Unit(benchmark::kMicrosecond);

// A reported sign, from the look to the batch's new belief.
void PosteriorUpdate(benchmark::State& state) {
  const forecast_task::Report report;
  for (auto _ : state) benchmark::DoNotOptimize(report.weighed());
}
BENCHMARK(PosteriorUpdate)->Unit(benchmark::kMicrosecond);

// A finished batch updates the culture's belief, and that gives the belief of the next batch.
void CultureUpdate(benchmark::State& state) {
  const forecast_task::Culture culture;
  for (auto _ : state) benchmark::DoNotOptimize(culture.after_another_batch());
}
BENCHMARK(CultureUpdate)->Unit(benchmark::kMicrosecond);

// Computes every jar's forecast again: a thousand rooms, each with a running batch in each of ten
// jars and with a new reading of its thermometer.
class ManyJars {
 public:
  static constexpr int rooms = 1000;
  static constexpr int jars = 10'000;

  ManyJars() : household_(setup(), default_parameters()) {
    for (int hour = -48; hour < 0; ++hour) read_all_rooms(std::chrono::minutes{60});
    for (int i = 0; i < jars; ++i) {
      Start start;
      start.jar = JarId(fmt::format("j{}", i));
      const auto accepted = household_.decide(Report{start, now_, std::nullopt}, now_);
      household_.apply(accepted.value().record);
    }
  }
  void read_all_rooms(std::chrono::minutes later) {
    now_ += later;
    const double phase =
        2.0 * std::numbers::pi * hours_between(forecast_task::midnight, now_) / 24.0;
    for (int i = 0; i < rooms; ++i) {
      const Celsius air(19.0 + 0.003 * i + 1.5 * std::sin(phase));
      household_.apply(ReadingTaken{room(i), now_, air});
    }
  }
  [[nodiscard]] int forecast_jars() const {
    int count = 0;
    for (const Batch& batch : household_.book().batches()) {
      const Fermentation* fermentation = household_.fermentation(batch);
      if (fermentation != nullptr && fermentation->forecast()) ++count;
    }
    return count;
  }

 private:
  static PlaceId room(int i) { return PlaceId(fmt::format("room-{}", i)); }
  static HouseholdSetup setup() {
    HouseholdSetup setup;
    setup.home_name = "Benchmark";
    for (int i = 0; i < rooms; ++i) {
      setup.places.push_back({room(i), "Room", PlaceKind::room, true, std::chrono::minutes{45}});
    }
    for (int i = 0; i < jars; ++i) {
      const CultureId culture(fmt::format("c{}", i));
      setup.cultures.push_back({culture, "Culture", 20.0});
      JarSetup jar{JarId(fmt::format("j{}", i)),
                   "Jar",
                   1250.0,
                   room(i % rooms),
                   culture,
                   {},
                   {},
                   {},
                   {},
                   {}};
      jar.milk = MilkKind::cow_whole;
      jar.milk_ml = 900.0;
      jar.grain_g = 20.0;
      setup.jars.push_back(jar);
    }
    return setup;
  }

  Instant now_ = forecast_task::midnight;
  Household household_;
};

void TenThousandJars(benchmark::State& state) {
  ManyJars household;
  for (auto _ : state) household.read_all_rooms(std::chrono::minutes{5});
  state.counters["jars"] = household.forecast_jars();
}
BENCHMARK(TenThousandJars)->Unit(benchmark::kMillisecond)->Iterations(20);

}  // namespace
}  // namespace wheymark

BENCHMARK_MAIN();
