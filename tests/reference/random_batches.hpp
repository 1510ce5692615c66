// Two hundred random batches, the same on every machine.
#pragma once

#include <random>
#include <vector>

#include "core/kinetics/acid_formation.hpp"
#include "core/kinetics/heat.hpp"

namespace wheymark::published {

struct RandomBatch {
  Brew brew;
  double pace;
  double milk_c;  // at the start
  double room_from_c;
  double room_to_c;  // two days later, linear between
  double tau_h;
};

inline constexpr double random_batch_h = 48.0;

// Standard engine, own mapping to numbers: standard distributions differ between libraries.
inline std::vector<RandomBatch> random_batches(int count = 200) {
  std::mt19937_64 engine(20251125);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(engine() >> 11) * 0x1p-53;
  };
  std::vector<RandomBatch> batches;
  for (int i = 0; i < count; ++i) {
    const auto kind = static_cast<MilkKind>(engine() % Vocabulary<MilkKind>::words.size());
    const auto treatment = static_cast<Treatment>(engine() % Vocabulary<Treatment>::words.size());
    const double milk_ml = between(200, 4000);
    const double grain_g = milk_ml / 1000 * between(3, 150);
    const double tau_h = jar_time_constant_h(milk_ml, 1.2 * milk_ml, default_parameters());
    batches.push_back({{kind, treatment, milk_ml, grain_g},
                       between(0.4, 2.0),
                       between(2, 30),
                       between(14, 33),
                       between(14, 33),
                       tau_h});
  }
  return batches;
}

}  // namespace wheymark::published
