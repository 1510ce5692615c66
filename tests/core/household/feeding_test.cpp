#include "core/household/feeding.hpp"

#include <gtest/gtest.h>

#include "core/household/local_time.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::testing {
namespace {

TEST(Scratch, Print) {
  World world;
  world.run_for(48h);
  Wish wish;
  wish.jar = "blue";
  for (int k = 0; k < 2; ++k) {
    if (k == 1) wish.ready_by = world.now() + 23h;
    const auto t0 = std::chrono::steady_clock::now();
    const auto advice = advise_feeding(wish, world.household(), world.now());
    const auto t1 = std::chrono::steady_clock::now();
    ASSERT_TRUE(advice.ok()) << advice.why();
    const Plan& plan = world.household().plan();
    const auto show = [&](const Feeding& f) {
      fmt::print("{} {} g {} mL {}: {} .. {} .. {} chance {:.3f}\n", day_and_clock_text(f.start, plan), f.grain_g,
                 f.milk_ml, f.place, day_and_clock_text(f.opens.p10.value_or(Instant{}), plan),
                 day_and_clock_text(f.opens.p50.value_or(Instant{}), plan),
                 day_and_clock_text(f.opens.p90.value_or(Instant{}), plan), f.chance);
    };
    show(advice.value().usual);
    for (const auto& f : advice.value().best) show(f);
    fmt::print("{} combos, {} us\n", advice.value().combinations,
               std::chrono::duration_cast<std::chrono::microseconds>(t1 - t0).count());
  }
}

}  // namespace
}  // namespace wheymark::testing
