// What pH does milk have once so much lactic acid has formed in it?
//
// A charge balance: the acid's protons go to the groups that bind them (side chains of the
// protein, phosphate, citrate, and the colloidal calcium phosphate that dissolves near pH 5), and
// the balance is closed by the fresh milk's own pH. Acid as a function of pH is a plain sum;
// only pH as a function of acid needs a solver. It holds from fresh milk down to about pH 3.5;
// the groups' own interplay, temperature and activity coefficients are inside the fitted constants.
#pragma once

#include <array>

#include "core/kinetics/milk.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

class Buffering {
 public:
  Buffering(const MilkComposition& milk, const Parameters& parameters);

  [[nodiscard]] double start_ph() const { return start_ph_; }

  // Lactic acid, g/L, that brings fresh milk to `ph`: 0 at its start pH, growing as pH falls, and
  // negative above (as much base). NaN for NaN.
  [[nodiscard]] double acid_g_per_l(double ph) const;

  // How that acid changes with pH, g/L for each pH unit: always negative.
  [[nodiscard]] double acid_slope_g_per_l_per_ph(double ph) const;

  // The pH with so much lactic acid added (not negative): the inverse of acid_g_per_l, to 1e-12.
  // More acid than any milk's lactose can yield, 200 g/L, is a mistake of ours. NaN for NaN.
  [[nodiscard]] double ph(double acid_g_per_l) const;

  // Titratable acidity with so much lactic acid added, as per cent (mass) of lactic acid: the base
  // that brings the milk to pH 8.3.
  [[nodiscard]] double acidity_percent(double acid_g_per_l) const;

  // The share of lactic acid that is undissociated at `ph`: what passes into cells and stops them.
  [[nodiscard]] double undissociated_share(double ph) const;

  // The milk's own buffering against a strong acid, mmol/L for each pH unit.
  [[nodiscard]] double buffering_mmol_per_l_per_ph(double ph) const;

 private:
  struct Group {
    double protons_mmol_per_l;
    double k_mol_per_l;
    bool together;  // takes up its protons in pairs, as a dissolving solid does: a sharper step
  };

  [[nodiscard]] double bound_mmol_per_l(double h_mol_per_l) const;

  std::array<Group, 12> groups_;
  double start_ph_;
  double start_bound_mmol_per_l_;
  double density_g_per_ml_;
  double lactic_k_mol_per_l_;
};

inline constexpr double titration_end_ph = 8.3;
inline constexpr double lactic_acid_g_per_mol = 90.08;

}  // namespace wheymark
