// A start from a store whose old readings were thinned: is something announced a second time?
#include <gtest/gtest.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

class AHomeWithAPast : public AtHome {
 protected:
  // A reading every seven minutes, with a tenth or two of noise.
  void the_fridge_is(double air_c, std::chrono::hours time) {
    for (Milliseconds past{0}; past < time; past += 7min, ++reading_) {
      home.run_for(7min);
      home.hears("house/fridge", fmt::format("{:.1f}", air_c + 0.1 * (reading_ * 7 % 5 - 2)));
    }
  }
  [[nodiscard]] std::size_t warnings_of_the_fridge() const {
    std::size_t count = 0;
    for (const nlohmann::json& event : home.events()) {
      count += event["type"] == "wheymark.fridge-too-warm" ? 1 : 0;
    }
    return count;
  }
  int reading_ = 0;
};

// The event's id is made of the excursion's beginning, which is made of readings three weeks old.
TEST_F(AHomeWithAPast, AFridgeThatIsTooWarmForWeeksIsToldOnceAndNotAgainAfterARestart) {
  the_fridge_is(4.5, 24h);
  the_fridge_is(7.1, 24h * 20);
  ASSERT_EQ(warnings_of_the_fridge(), 1U);
  home.stops();
  home.restarts();
  home.connects();
  the_fridge_is(7.1, 1h);
  EXPECT_EQ(warnings_of_the_fridge(), 1U);
}

}  // namespace
}  // namespace wheymark::test
