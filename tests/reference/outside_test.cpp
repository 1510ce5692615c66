// Does everything outside agree, and would it object if the computation were another?
#include "tests/reference/outside.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sstream>

#include "tests/core/given.hpp"
#include "tests/reference/mutations.hpp"

namespace wheymark::published {
namespace {

TEST(Outside, AgreesWithTheDefaults) {
  const OutsideChecks checks(p);
  EXPECT_GE(checks.all().size(), 70u);
  for (const OutsideCheck& one : checks.all()) {
    fmt::print("{:44} {:8.3f}  {:.3f} to {:.3f}  {}\n", one.name, one.value, one.low, one.high,
               one.source);
    EXPECT_TRUE(one.holds()) << one.name;
  }
}

// Changes that no published check saw while a pace was fitted to each set. Goat's milk as fast as
// cow's, a load that hardly matters and the heating of UHT milk are still seen by nothing.
TEST(Outside, SeesWhatNoPublishedCheckOnceSaw) {
  const auto broken = [](const std::function<void(Parameters&)>& change) {
    Parameters other = p;
    change(other);
    return broken_check(other).has_value();
  };
  EXPECT_TRUE(broken([](Parameters& o) { o.growth_per_h *= 1.25; }));
  EXPECT_TRUE(broken([](Parameters& o) { o.release_g_per_g_h /= 10; }));
  EXPECT_TRUE(broken([](Parameters& o) { o.gas_lag_h = 1e-6; }));
  EXPECT_TRUE(broken([](Parameters& o) { o.gas_at_40_g_per_l_g_per_l_h *= 2; }));
  EXPECT_TRUE(broken([](Parameters& o) { o.pace_prior_log_sd = 0.75; }));
}

std::string committed_table() {
  std::stringstream text;
  text << std::ifstream(folder() / "mutations.md").rdbuf();
  return text.str();
}

// Every fifteenth constant and every seventh term is computed again.
TEST(Outside, TheMutationTableIsCurrentWhereItIsLookedAt) {
  const std::string table = committed_table();
  const auto rows = parameter_table();
  for (std::size_t i = 4; i < rows.size(); i += 15) {
    EXPECT_NE(table.find(fmt::format("| {} |", rows[i].name)), std::string::npos) << rows[i].name;
    const auto up = smallest_seen(rows[i], true);
    const std::string cell =
        up ? up->moved.by + (up->plausible ? "" : " (implausible)") : std::string("never");
    const std::size_t at =
        table.find(fmt::format("| {} | {:g} | ", rows[i].name, rows[i].value(p)));
    ASSERT_NE(at, std::string::npos) << rows[i].name;
    EXPECT_NE(table.substr(at, table.find('\n', at) - at).find(" | " + cell + " | "),
              std::string::npos)
        << rows[i].name << ' ' << cell;
  }
  const std::vector<Term> all = terms();
  for (std::size_t i = 0; i < all.size(); i += 7) {
    Parameters without = p;
    all[i].leave_out(without);
    EXPECT_NE(table.find(fmt::format("| {} | {} |", all[i].name,
                                     broken_check(without).value_or("nothing"))),
              std::string::npos)
        << all[i].name;
  }
}

TEST(Outside, TheMutationTableHasARowForEachConstant) {
  const std::string table = committed_table();
  for (const ParameterRow& row : parameter_table()) {
    EXPECT_NE(table.find(fmt::format("| {} |", row.name)), std::string::npos) << row.name;
  }
}

}  // namespace
}  // namespace wheymark::published
