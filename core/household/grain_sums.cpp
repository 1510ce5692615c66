#include "core/household/grain_sums.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/record/names.hpp"

namespace wheymark {

GrainSums grain_sums(const CultureSetup& culture, const JarBook& book, double wanted_g) {
  GrainSums sums{book.grain_g(culture), {}, 0.0, wanted_g};
  for (const Batch* batch : book.fermenting_of(culture.id)) {
    sums.in_jars.push_back({batch->jar(), *batch->start.grain_g});
  }
  sums.free_g = std::max(0.0, sums.all_g - sums.in_jars_g());
  return sums;
}

std::string text_of(const GrainSums& sums, const HouseholdSetup& setup) {
  std::string text = grams_text(sums.all_g) + " of grains";
  if (!sums.in_jars.empty()) {
    text += ":";
    for (const GrainSums::InJar& part : sums.in_jars) {
      text += fmt::format(" {} in {},", grams_text(part.grain_g), name_of_jar(part.jar, setup));
    }
    text += fmt::format(" {} free", grams_text(sums.free_g));
  }
  return text + fmt::format("; the set-up asks for {}", grams_text(sums.wanted_g));
}

}  // namespace wheymark
