// What does a forecast cost, and what would an ensemble of integrated paths cost for the same task?
//
// The task: three quantiles of a peak's opening and closing, 72 h ahead, through a room that goes
// by a five-minute profile and may turn out otherwise, for grains whose pace is a belief. The
// ensemble draws 256 paces and rooms, integrates milk and clock of each with Boost.Odeint (dopri5,
// relative tolerance 1e-6) and sorts the crossings.
#include <algorithm>
#include <array>
#include <benchmark/benchmark.h>
#include <boost/numeric/odeint.hpp>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "core/forecast/culture_pace.hpp"
#include "core/forecast/forecast.hpp"
#include "core/forecast/observation.hpp"
#include "core/forecast/room_habit.hpp"
#include "core/kinetics/temperature_response.hpp"

namespace wheymark {
namespace {

constexpr Instant midnight{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1}};
constexpr double tau_h = 2.5;
constexpr double hours_ahead = 72.0;
constexpr std::size_t members = 256;

// A slow culture in a cold room: the forecast's late end lies three days ahead.
struct Task {
  Parameters parameters;
  RateTable rates{parameters};
  Condition cold{midnight, Celsius(5.0), 0.0, 0.0};
  Milestones milestones{20.0, 25.0, 30.0, 41.0};
  PaceBelief pace = PaceBelief::prior(1.0, 0.15);
  AirAhead air = learned();

  static AirAhead learned() {
    RoomHabit habit;
    Reading last{midnight, Celsius(20.0)};
    for (int i = -7 * 288; i <= 0; ++i) {
      const Instant at = midnight + std::chrono::minutes{5 * i};
      const double phase = 2.0 * std::numbers::pi * static_cast<double>(i) / 288.0;
      last = {at, Celsius(20.0 + 1.5 * std::sin(phase))};
      habit.read(last, std::chrono::minutes{0});
    }
    return habit.ahead(last, std::chrono::minutes{0});
  }
};

void ThisForecast(benchmark::State& state) {
  const Task task;
  const ClockTrack past;
  double ahead_h = 0.0;
  for (auto _ : state) {
    const ClockAhead clock(task.cold, task.air, tau_h, task.rates,
                           enough_clock_h(task.pace, task.milestones));
    const Forecast seen = forecast(past, clock, task.pace, task.milestones, task.parameters);
    ahead_h = static_cast<double>(clock.points().size() - 1) / 12.0;
    benchmark::DoNotOptimize(seen);
  }
  state.counters["ahead_h"] = ahead_h;
}
BENCHMARK(ThisForecast)->Unit(benchmark::kMicrosecond);

double evenly(std::mt19937_64& engine) {
  return (static_cast<double>(engine() >> 11U) + 0.5) * 0x1.0p-53;
}
double normally(std::mt19937_64& engine) {
  return std::sqrt(-2.0 * std::log(evenly(engine))) *
         std::cos(2.0 * std::numbers::pi * evenly(engine));
}

void OdeintEnsemble(benchmark::State& state) {
  namespace odeint = boost::numeric::odeint;
  using State = std::array<double, 2>;  // milk, clock
  const Task task;
  constexpr std::size_t slots = static_cast<std::size_t>(hours_ahead) * 12;
  std::vector<double> expected_c;
  for (std::size_t i = 0; i <= slots; ++i) {
    expected_c.push_back(task.air.at(midnight + std::chrono::minutes{5 * i}).degrees());
  }
  const double kept = std::exp(-1.0 / 12.0 / air_relaxes_h);
  std::mt19937_64 engine(1);
  for (auto _ : state) {
    std::vector<double> opens;
    std::vector<double> closes;
    for (std::size_t member = 0; member < members; ++member) {
      std::vector<double> room_c = expected_c;
      double deviation_k = 0.0;
      for (double& air_c : room_c) {
        air_c += deviation_k;
        deviation_k =
            kept * deviation_k + task.air.sd_k * std::sqrt(1.0 - kept * kept) * normally(engine);
      }
      const double pace = std::exp(0.15 * normally(engine));
      const auto slopes = [&](const State& x, State& dxdt, double hours) {
        const double place = std::min(hours * 12.0, static_cast<double>(slots) - 1e-9);
        const auto left = static_cast<std::size_t>(place);
        const double share = place - static_cast<double>(left);
        const double air_c = room_c[left] + share * (room_c[left + 1] - room_c[left]);
        dxdt[0] = (air_c - x[0]) / tau_h;
        dxdt[1] = acid_rate(Celsius(x[0]), task.parameters);
      };
      double opened = hours_ahead;
      double closed = hours_ahead;
      State before{task.cold.milk.degrees(), 0.0};
      double before_h = 0.0;
      State x = before;
      const auto look = [&](const State& now, double hours) {
        const auto crossing = [&](double clock_h, double& when) {
          if (before[1] >= clock_h || now[1] < clock_h) return;
          when = before_h + (hours - before_h) * (clock_h - before[1]) / (now[1] - before[1]);
        };
        crossing(task.milestones.peak_opens_h / pace, opened);
        crossing(task.milestones.peak_closes_h / pace, closed);
        before = now;
        before_h = hours;
      };
      odeint::integrate_adaptive(
          odeint::make_controlled(1e-6, 1e-6, odeint::runge_kutta_dopri5<State>()), slopes, x, 0.0,
          hours_ahead, 1.0 / 12.0, look);
      opens.push_back(opened);
      closes.push_back(closed);
    }
    std::sort(opens.begin(), opens.end());
    std::sort(closes.begin(), closes.end());
    benchmark::DoNotOptimize(opens[members / 10] + closes[members / 2]);
  }
}
BENCHMARK(OdeintEnsemble)->Unit(benchmark::kMicrosecond);

// A reported sign, from the look to the batch's new belief.
void PosteriorUpdate(benchmark::State& state) {
  const Task task;
  ClockTrack track;
  for (int i = 0; i <= 200; ++i) track.add(midnight + std::chrono::minutes{15 * i}, 0.2 * i);
  const LookedHours looked = [](Instant from, Instant to) { return hours_between(from, to); };
  for (auto _ : state) {
    PaceEvidence evidence;
    const Look look(track, midnight + std::chrono::hours{40}, looked);
    weigh_sign(evidence, Sign::whey_pockets, Sign::set, look, task.milestones, task.parameters);
    benchmark::DoNotOptimize(task.pace.given(evidence));
  }
}
BENCHMARK(PosteriorUpdate)->Unit(benchmark::kMicrosecond);

// A finished batch, into the culture's belief, and the belief of the next batch out of it.
void CultureUpdate(benchmark::State& state) {
  const Task task;
  PaceEvidence evidence;
  evidence.weigh([](double log_pace, Course course) {
    return std::exp(-0.5 * log_pace * log_pace / 0.01) * course.before;
  });
  CulturePace culture(task.parameters);
  culture.learn(evidence, midnight);
  for (auto _ : state) {
    CulturePace learned = culture;
    learned.learn(evidence, midnight + std::chrono::hours{24});
    benchmark::DoNotOptimize(learned.of_a_batch(midnight + std::chrono::hours{25}));
  }
}
BENCHMARK(CultureUpdate)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace wheymark

BENCHMARK_MAIN();
