// How the grains of a culture add up: what is in each jar, what is free, what the set-up asks for.
//
// One sum, which the page, Homie, explanations and answers show. Grains in a jar count as what went
// in, until they come out.
#pragma once

#include <string>
#include <vector>

#include "core/record/jar_book.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

struct GrainSums {
  struct InJar {
    JarId jar;
    double grain_g;
  };
  double all_g;
  std::vector<InJar> in_jars;  // in the order of their starts
  double free_g;
  double wanted_g;  // by all jars of the culture together

  [[nodiscard]] double in_jars_g() const {
    double grain_g = 0.0;
    for (const InJar& part : in_jars) grain_g += part.grain_g;
    return grain_g;
  }
  [[nodiscard]] double surplus_g() const { return all_g > wanted_g ? all_g - wanted_g : 0.0; }
};

GrainSums grain_sums(const CultureSetup& culture, const JarBook& book, double wanted_g);

// "41.5 g of grains: 20 g in Blue jar, 21.5 g free; the set-up asks for 20 g".
std::string text_of(const GrainSums& sums, const HouseholdSetup& setup);

}  // namespace wheymark
