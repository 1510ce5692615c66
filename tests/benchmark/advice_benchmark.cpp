// What does advice cost: all feedings of a household with four rooms, and all options for a running
// jar?
#include <benchmark/benchmark.h>
#include <chrono>

#include "core/advice/feeding.hpp"
#include "core/advice/steering.hpp"
#include "tests/benchmark/four_rooms.hpp"

namespace wheymark {
namespace {

using namespace four_rooms;

void Feedings(benchmark::State& state) {
  Household household(setup(), default_parameters());
  live(household);
  PlanRequest request;
  if (state.range(0) == 1) request.ready_by = now + std::chrono::hours{24};
  std::size_t combinations = 0;
  for (auto _ : state) {
    const auto advice = advise_feeding(request, household, now);
    combinations = advice.value().combinations;
    benchmark::DoNotOptimize(advice);
  }
  state.counters["combinations"] = static_cast<double>(combinations);
}
BENCHMARK(Feedings)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

void WaysOfARunningJar(benchmark::State& state) {
  Household household(setup(), default_parameters());
  live(household);
  Start start;
  start.jar = "blue";
  const auto accepted = household.decide(Report{start, now, std::nullopt}, now);
  household.apply(accepted.value().record);
  std::size_t ways = 0;
  for (auto _ : state) {
    const auto advice = advise_steering(PlanRequest{}, household, now);
    ways = advice.value().ways;
    benchmark::DoNotOptimize(advice);
  }
  state.counters["ways"] = static_cast<double>(ways);
}
BENCHMARK(WaysOfARunningJar)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace wheymark
