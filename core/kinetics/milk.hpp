// What is in the milk, as far as it matters to grains?
//
// Means for each kind of milk; one farm's milk, one breed or one season differs by a tenth, and
// what that does to a household's batches is left to the culture's learned pace.
#pragma once

#include <span>
#include <string_view>

#include "core/kinetics/milk_kind.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

struct MilkComposition {
  double protein_g_per_100_g;
  double lactose_g_per_100_g;
  double fat_g_per_100_g;
  double ash_g_per_100_g;
  double density_g_per_ml;
  double ph;  // fresh

  [[nodiscard]] double protein_g_per_l() const {
    return 10.0 * protein_g_per_100_g * density_g_per_ml;
  }
  [[nodiscard]] double lactose_g_per_l() const {
    return 10.0 * lactose_g_per_100_g * density_g_per_ml;
  }
};

struct MilkRow {
  MilkKind kind;
  MilkComposition composition;
  std::string_view source;     // of the composition, as in the parameter table
  std::string_view ph_source;  // of the pH
};

// One row for each kind of milk.
std::span<const MilkRow> milk_table();

const MilkComposition& composition(MilkKind kind);

// How fast grains work in this milk: acid-clock hours that count for one hour of pasteurised cow's
// milk at the same temperature. It holds what is known of goat's and ultra-pasteurised milk beyond
// their composition, and nothing else is different from 1. Raw milk counts as pasteurised: its own
// flora may help or hinder.
double milk_pace(MilkKind kind, Treatment treatment, const Parameters& parameters);

}  // namespace wheymark
