// What would an ensemble of integrated paths cost for the task of one forecast?
//
// 256 rooms and paces, drawn once and outside the timed part; the milk's temperature and the acid
// clock of each are integrated until its peak has closed, the crossings are found to within a few
// seconds, and the quantiles read off. Once with Boost.Odeint (dopri5 with its dense output, and a
// bisection on that) and once with CVODE (Adams, with its own root finding), each with the loosest
// tolerance that is accurate enough: `off_s` is how far the worst crossing lies from that of a
// hundred times finer integration.
#include <algorithm>
#include <array>
#include <benchmark/benchmark.h>
#include <boost/numeric/odeint.hpp>
#include <cmath>
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <random>
#include <stdexcept>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>
#include <vector>

#include "core/kinetics/temperature_response.hpp"
#include "tests/benchmark/forecast_task.hpp"

namespace wheymark {
namespace {

using forecast_task::hours_ahead;
using forecast_task::midnight;
using forecast_task::Task;
using forecast_task::tau_h;

constexpr std::size_t members = 256;
constexpr std::size_t slots = static_cast<std::size_t>(hours_ahead) * 12;

double evenly(std::mt19937_64& engine) {
  return (static_cast<double>(engine() >> 11U) + 0.5) * 0x1.0p-53;
}
double normally(std::mt19937_64& engine) {
  return std::sqrt(-2.0 * std::log(evenly(engine))) *
         std::cos(2.0 * std::numbers::pi * evenly(engine));
}

struct Crossings {
  double opened_h = hours_ahead;
  double closed_h = hours_ahead;
};

// One possible future of the room and the grains.
class Member {
 public:
  Member(const Task& task, std::mt19937_64& engine) : task_(&task) {
    const double kept = std::exp(-1.0 / 12.0 / air_relaxes_h);
    double deviation_k = 0.0;
    for (std::size_t i = 0; i <= slots; ++i) {
      const Instant at = midnight + std::chrono::minutes{5 * i};
      room_c_.push_back(task.air.at(at).degrees() + deviation_k);
      deviation_k =
          kept * deviation_k + task.air.sd_k * std::sqrt(1.0 - kept * kept) * normally(engine);
    }
    const double pace = std::exp(0.15 * normally(engine));
    opens_clock_h_ = task.milestones.peak_opens_h / pace;
    closes_clock_h_ = task.milestones.peak_closes_h / pace;
  }

  [[nodiscard]] double milk_slope(double hours, double milk_c) const {
    const double place = std::min(hours * 12.0, static_cast<double>(slots) - 1e-9);
    const auto left = static_cast<std::size_t>(place);
    const double share = place - static_cast<double>(left);
    const double air_c = room_c_[left] + share * (room_c_[left + 1] - room_c_[left]);
    return (air_c - milk_c) / tau_h;
  }
  [[nodiscard]] double clock_slope(double milk_c) const {
    return acid_rate(Celsius(milk_c), task_->parameters);
  }
  [[nodiscard]] double milk_at_start_c() const { return task_->cold.milk.degrees(); }
  [[nodiscard]] double opens_clock_h() const { return opens_clock_h_; }
  [[nodiscard]] double closes_clock_h() const { return closes_clock_h_; }

 private:
  const Task* task_;
  std::vector<double> room_c_;
  double opens_clock_h_;
  double closes_clock_h_;
};

std::vector<Member> drawn(const Task& task) {
  std::mt19937_64 engine(1);
  std::vector<Member> all;
  for (std::size_t i = 0; i < members; ++i) all.emplace_back(task, engine);
  return all;
}

Crossings by_odeint(const Member& member, double tolerance) {
  namespace odeint = boost::numeric::odeint;
  using State = std::array<double, 2>;  // milk, clock
  const auto slopes = [&](const State& x, State& dxdt, double hours) {
    dxdt[0] = member.milk_slope(hours, x[0]);
    dxdt[1] = member.clock_slope(x[0]);
  };
  auto stepper =
      odeint::make_dense_output(tolerance, tolerance, odeint::runge_kutta_dopri5<State>());
  stepper.initialize(State{member.milk_at_start_c(), 0.0}, 0.0, 1.0 / 12.0);
  Crossings found;
  double before_clock_h = 0.0;
  const auto look_for = [&](double clock_h, double& when_h) {
    if (before_clock_h >= clock_h || stepper.current_state()[1] < clock_h) return;
    double early = stepper.previous_time();
    double late = stepper.current_time();
    State x{};
    while (late - early > 1e-4) {  // hours
      const double middle = 0.5 * (early + late);
      stepper.calc_state(middle, x);
      (x[1] < clock_h ? early : late) = middle;
    }
    when_h = 0.5 * (early + late);
  };
  while (stepper.current_time() < hours_ahead && before_clock_h < member.closes_clock_h()) {
    stepper.do_step(slopes);
    look_for(member.opens_clock_h(), found.opened_h);
    look_for(member.closes_clock_h(), found.closed_h);
    before_clock_h = stepper.current_state()[1];
  }
  found.closed_h = std::min(found.closed_h, hours_ahead);
  return found;
}

Crossings by_odeint_steps(const Member& member, double step_h) {
  using State = std::array<double, 2>;  // milk, clock
  const auto slopes = [&](const State& x, State& dxdt, double hours) {
    dxdt[0] = member.milk_slope(hours, x[0]);
    dxdt[1] = member.clock_slope(x[0]);
  };
  boost::numeric::odeint::runge_kutta4<State> stepper;
  State x{member.milk_at_start_c(), 0.0};
  Crossings found;
  for (int step = 0; step * step_h < hours_ahead && x[1] < member.closes_clock_h(); ++step) {
    const double before_h = step * step_h;
    const double before_clock_h = x[1];
    stepper.do_step(slopes, x, before_h, step_h);
    const auto look_for = [&](double clock_h, double& when_h) {
      if (before_clock_h >= clock_h || x[1] < clock_h) return;
      when_h = before_h + step_h * (clock_h - before_clock_h) / (x[1] - before_clock_h);
    };
    look_for(member.opens_clock_h(), found.opened_h);
    look_for(member.closes_clock_h(), found.closed_h);
  }
  found.closed_h = std::min(found.closed_h, hours_ahead);
  return found;
}

void good(int status) {
  if (status < 0) throw std::runtime_error("CVODE does not go on");
}

// Its memory is allocated once for all members.
class Cvode {
 public:
  explicit Cvode(double tolerance) {
    good(SUNContext_Create(nullptr, &context_));
    state_ = N_VNew_Serial(2, context_);
    solver_ = CVodeCreate(CV_ADAMS, context_);
    good(CVodeInit(solver_, slopes, 0.0, state_));
    good(CVodeSStolerances(solver_, tolerance, tolerance));
    iteration_ = SUNNonlinSol_FixedPoint(state_, 0, context_);
    good(CVodeSetNonlinearSolver(solver_, iteration_));
    good(CVodeRootInit(solver_, 2, distances));
    good(CVodeSetMaxNumSteps(solver_, 100'000));
  }
  ~Cvode() {
    CVodeFree(&solver_);
    SUNNonlinSolFree(iteration_);
    N_VDestroy(state_);
    SUNContext_Free(&context_);
  }
  Cvode(const Cvode&) = delete;
  Cvode& operator=(const Cvode&) = delete;

  Crossings follow(Member member) {
    NV_Ith_S(state_, 0) = member.milk_at_start_c();
    NV_Ith_S(state_, 1) = 0.0;
    good(CVodeReInit(solver_, 0.0, state_));
    good(CVodeSetUserData(solver_, &member));
    Crossings found;
    double hours = 0.0;
    for (;;) {
      const int status = CVode(solver_, hours_ahead, state_, &hours, CV_NORMAL);
      good(status);
      if (status != CV_ROOT_RETURN) return found;
      std::array<int, 2> crossed{};
      good(CVodeGetRootInfo(solver_, crossed.data()));
      if (crossed[0] != 0) found.opened_h = hours;
      if (crossed[1] == 0) continue;
      found.closed_h = hours;
      return found;
    }
  }

 private:
  static int slopes(double hours, N_Vector x, N_Vector dxdt, void* member) {
    const auto& of = *static_cast<const Member*>(member);
    NV_Ith_S(dxdt, 0) = of.milk_slope(hours, NV_Ith_S(x, 0));
    NV_Ith_S(dxdt, 1) = of.clock_slope(NV_Ith_S(x, 0));
    return 0;
  }
  static int distances(double, N_Vector x, double* to_go, void* member) {
    const auto& of = *static_cast<const Member*>(member);
    to_go[0] = NV_Ith_S(x, 1) - of.opens_clock_h();
    to_go[1] = NV_Ith_S(x, 1) - of.closes_clock_h();
    return 0;
  }

  SUNContext context_ = nullptr;
  N_Vector state_ = nullptr;
  SUNNonlinearSolver iteration_ = nullptr;
  void* solver_ = nullptr;
};

template <class Follow>
void ensemble(benchmark::State& state, const Follow& follow) {
  const Task task;
  const std::vector<Member> all = drawn(task);
  double off_h = 0.0;
  for (const Member& member : all) {
    const Crossings found = follow(member);
    const Crossings truth = by_odeint(member, 1e-11);
    off_h = std::max({off_h, std::abs(found.opened_h - truth.opened_h),
                      std::abs(found.closed_h - truth.closed_h)});
  }
  for (auto _ : state) {
    std::vector<double> opens;
    std::vector<double> closes;
    for (const Member& member : all) {
      const Crossings found = follow(member);
      opens.push_back(found.opened_h);
      closes.push_back(found.closed_h);
    }
    std::sort(opens.begin(), opens.end());
    std::sort(closes.begin(), closes.end());
    benchmark::DoNotOptimize(opens[members / 10] + closes[members / 2]);
  }
  state.counters["off_s"] = 3600.0 * off_h;
}

// The argument: the tolerance's negative exponent of ten.
void OdeintEnsemble(benchmark::State& state) {
  const double tolerance = std::pow(10.0, -static_cast<double>(state.range(0)));
  ensemble(state, [&](const Member& member) { return by_odeint(member, tolerance); });
}
BENCHMARK(OdeintEnsemble)->DenseRange(4, 7)->Unit(benchmark::kMicrosecond);

// The argument: minutes.
void OdeintStepsEnsemble(benchmark::State& state) {
  const double step_h = static_cast<double>(state.range(0)) / 60.0;
  ensemble(state, [&](const Member& member) { return by_odeint_steps(member, step_h); });
}
BENCHMARK(OdeintStepsEnsemble)->Arg(5)->Arg(10)->Arg(15)->Unit(benchmark::kMicrosecond);

void CvodeEnsemble(benchmark::State& state) {
  Cvode cvode(std::pow(10.0, -static_cast<double>(state.range(0))));
  ensemble(state, [&](const Member& member) { return cvode.follow(member); });
}
BENCHMARK(CvodeEnsemble)->DenseRange(3, 6)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace wheymark
