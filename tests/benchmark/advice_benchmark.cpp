// What does advice cost: all feedings of a household with four rooms, and all ways of a running
// jar?
#include <benchmark/benchmark.h>
#include <cmath>
#include <numbers>

#include "core/household/feeding.hpp"
#include "core/household/steering.hpp"

namespace wheymark {
namespace {

using std::chrono::hours;
using std::chrono::minutes;

constexpr Instant midnight{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1}};

Plan four_rooms() {
  Plan plan;
  plan.home_name = "Benchmark";
  for (const char* id : {"kitchen", "pantry", "cellar", "hall"}) {
    plan.places.push_back({id, id, PlaceKind::room, true, minutes{45}});
  }
  plan.places.push_back({"fridge", "fridge", PlaceKind::fridge, true, minutes{45}});
  plan.cultures = {{"tilly", "Tilly", 40.0}};
  PlannedJar blue{"blue", "Blue jar", 1250.0, "kitchen", "tilly", {}, {}, {}, {}, {}};
  blue.milk = MilkKind::cow_whole;
  blue.milk_ml = 900.0;
  blue.grain_g = 20.0;
  plan.jars = {blue};
  return plan;
}

// A week of readings, until Mon 8 Mar 08:00.
constexpr Instant now = midnight + hours{7 * 24 + 8};

void live(Household& household) {
  household.listen_from(midnight);
  for (Instant at = midnight; at <= now; at += minutes{10}) {
    const double phase = 2.0 * std::numbers::pi * hours_between(midnight, at) / 24.0;
    double room_c = 21.0;
    for (const PlannedPlace& place : household.plan().places) {
      const bool fridge = place.kind == PlaceKind::fridge;
      household.apply(ReadingTaken{place.id, at, Celsius(fridge ? 4.0 : room_c + std::sin(phase))});
      household.hear(place.id, at);
      room_c -= 1.5;
    }
  }
}

void Feedings(benchmark::State& state) {
  Household household(four_rooms(), default_parameters());
  live(household);
  Wish wish;
  if (state.range(0) == 1) wish.ready_by = now + hours{24};
  std::size_t combinations = 0;
  for (auto _ : state) {
    const auto advice = advise_feeding(wish, household, now);
    combinations = advice.value().combinations;
    benchmark::DoNotOptimize(advice);
  }
  state.counters["combinations"] = static_cast<double>(combinations);
}
BENCHMARK(Feedings)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

void WaysOfARunningJar(benchmark::State& state) {
  Household household(four_rooms(), default_parameters());
  live(household);
  Start start;
  start.jar = "blue";
  const auto accepted = household.decide(Said{start, now, std::nullopt}, now);
  household.apply(accepted.value().record);
  std::size_t ways = 0;
  for (auto _ : state) {
    const auto advice = advise_steering(Wish{}, household, now);
    ways = advice.value().ways;
    benchmark::DoNotOptimize(advice);
  }
  state.counters["ways"] = static_cast<double>(ways);
}
BENCHMARK(WaysOfARunningJar)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace wheymark
