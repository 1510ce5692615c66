#include "core/household/report_answer.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "core/household/grain_needs.hpp"
#include "core/household/grain_sums.hpp"
#include "core/record/doubtful_report.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

double millilitres(double grain_g) {
  return 50.0 * std::round(milk_ml_for(grain_g) / 50.0);
}

class Answering {
 public:
  Answering(const FactRecord& record, const Household& household)
      : record_(record), household_(household), setup_(household.setup()) {}

  // A weighing that is believed is used at once, so it says for what.
  std::string operator()(const Weigh& weigh) const {
    const CultureSetup& culture = *setup_.culture(weigh.culture);
    const double wanted_g = household_.wanted_grain_g(culture.id);
    const double before_g = household_.book().grain_g(culture);
    const JarBook after = household_.book_with(record_);
    const GrainSums sums = grain_sums(culture, after, wanted_g);
    std::string text = fmt::format("{}: {}", culture.name, text_of(sums, setup_));
    if (weigh.out_of_jars) {
      text += fmt::format("; the {} on the scale count as those that are in no jar",
                          grams_text(weigh.grain_g));
    }
    if (std::abs(sums.all_g - before_g) >= 0.1 * before_g) {
      text += fmt::format("; {} were expected", grams_text(before_g));
    }
    return text + what_to_do(sums) + next_starts(culture, sums);
  }

  std::string operator()(const auto&) const { return ""; }

 private:
  static std::string what_to_do(const GrainSums& sums) {
    if (sums.all_g >= surplus_begins_share * sums.wanted_g) {
      return fmt::format(
          "; {} are more than the jars want: give some away, eat them, freeze or dry "
          "a reserve, or start another jar",
          grams_text(sums.surplus_g()));
    }
    if (sums.all_g * surplus_ends_share < sums.wanted_g) {
      return fmt::format(
          "; {} too few for that: take less milk until they have grown, about "
          "{:.0f} mL for all of them",
          grams_text(sums.wanted_g - sums.all_g), millilitres(sums.all_g));
    }
    return "";
  }

  // What each of its jars is given when nobody says how much.
  [[nodiscard]] std::string next_starts(const CultureSetup& culture, const GrainSums& sums) const {
    std::string text;
    for (const JarSetup& jar : setup_.jars) {
      if (jar.culture != culture.id) continue;
      const double grain_g = jar.grain_g.value_or(sums.all_g);
      text += fmt::format("{} {} takes {}", text.empty() ? "; the next start of" : ",", jar.name,
                          grams_text(std::min(grain_g, sums.all_g)));
      if (jar.grain_g && *jar.grain_g <= sums.all_g) {
        text += ", as set up";
      } else {
        text += ", all there are";
      }
    }
    return text;
  }

  const FactRecord& record_;
  const Household& household_;
  const HouseholdSetup& setup_;
};

}  // namespace

std::string answer_to(const FactRecord& record, const Household& household) {
  std::string text = contradiction(record.fact, record.at, household.book(), household.setup());
  const std::string more = std::visit(Answering(record, household), record.fact);
  if (!text.empty() && !more.empty()) text += "; ";
  return text + more;
}

}  // namespace wheymark
