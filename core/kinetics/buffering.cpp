#include "core/kinetics/buffering.hpp"

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace wheymark {
namespace {

constexpr double acid_g_per_l_max = 200.0;
constexpr double ph_min = 2.0;  // far beyond acid_g_per_l_max in any milk
constexpr double water_ion_product = 1e-14;
constexpr double mmol_per_mol = 1000.0;

double exponential10(double x) {
  return std::exp(std::numbers::ln10 * x);
}

double share_bound(double h, double k, bool together) {
  return together ? h * h / (h * h + k * k) : h / (h + k);
}

}  // namespace

Buffering::Buffering(const MilkComposition& milk, const Parameters& p)
    : start_ph_(milk.ph),
      density_g_per_ml_(milk.density_g_per_ml),
      lactic_k_mol_per_l_(exponential10(-p.lactic_pk)) {
  // Colloidal calcium phosphate goes with the casein (in ewes' milk too), dissolved phosphate and
  // citrate hardly differ between milks.
  const double protein = milk.protein_g_per_l();
  const auto group = [](double protons_mmol_per_l, double pk, bool together = false) {
    return Group{protons_mmol_per_l, exponential10(-pk), together};
  };
  groups_ = {group(protein * p.glutamate_mmol_per_g, p.glutamate_pk),
             group(protein * p.aspartate_mmol_per_g, p.aspartate_pk),
             group(protein * p.histidine_mmol_per_g, p.histidine_pk),
             group(protein * p.phosphoserine_mmol_per_g, p.phosphoserine_pk),
             group(protein * p.lysine_mmol_per_g, p.lysine_pk),
             group(p.phosphate_mmol_per_l, p.phosphate_first_pk),
             group(p.phosphate_mmol_per_l, p.phosphate_second_pk),
             group(p.citrate_mmol_per_l, p.citrate_first_pk),
             group(p.citrate_mmol_per_l, p.citrate_second_pk),
             group(p.citrate_mmol_per_l, p.citrate_third_pk),
             group(protein * p.colloidal_mmol_per_g, p.colloidal_pk, true),
             group(protein * p.precipitation_mmol_per_g, p.precipitation_pk)};
  start_bound_mmol_per_l_ = bound_mmol_per_l(exponential10(-start_ph_));
}

// Protons held at this acidity: by the groups, and free (less hydroxide).
double Buffering::bound_mmol_per_l(double h) const {
  double bound = mmol_per_mol * (h - water_ion_product / h);
  for (const Group& g : groups_) {
    bound += g.protons_mmol_per_l * share_bound(h, g.k_mol_per_l, g.together);
  }
  return bound;
}

// Every proton taken up since the start came from lactic acid, which gave up the share that is
// dissociated, K / (K + h):  acid = (bound(h) - bound(start)) (1 + h / K).
double Buffering::acid_g_per_l(double ph) const {
  const double h = exponential10(-ph);
  const double taken_mmol_per_l = bound_mmol_per_l(h) - start_bound_mmol_per_l_;
  return taken_mmol_per_l * (1.0 + h / lactic_k_mol_per_l_) * lactic_acid_g_per_mol / mmol_per_mol;
}

double Buffering::acid_slope_g_per_l_per_ph(double ph) const {
  const double h = exponential10(-ph);
  const double taken_mmol_per_l = bound_mmol_per_l(h) - start_bound_mmol_per_l_;
  const double per_mmol = lactic_acid_g_per_mol / mmol_per_mol;
  return -per_mmol * (buffering_mmol_per_l_per_ph(ph) * (1.0 + h / lactic_k_mol_per_l_) +
                      taken_mmol_per_l * std::numbers::ln10 * h / lactic_k_mol_per_l_);
}

double Buffering::ph(double acid) const {
  check(!(acid < 0.0 || acid > acid_g_per_l_max), "acid in milk is 0 to 200 g/L");
  if (std::isnan(acid)) return acid;
  if (acid == 0.0) return start_ph_;
  std::uintmax_t evaluations = 100;
  const auto [low, high] = boost::math::tools::toms748_solve(
      [&](double ph) { return acid_g_per_l(ph) - acid; }, ph_min, start_ph_,
      [](double a, double b) { return std::abs(b - a) <= 1e-12; }, evaluations);
  return 0.5 * (low + high);
}

double Buffering::acidity_percent(double acid) const {
  const double own_mmol_per_l =
      start_bound_mmol_per_l_ - bound_mmol_per_l(exponential10(-titration_end_ph));
  const double as_lactic_g_per_l = own_mmol_per_l * lactic_acid_g_per_mol / mmol_per_mol + acid;
  return as_lactic_g_per_l / (10.0 * density_g_per_ml_);
}

double Buffering::undissociated_share(double ph) const {
  const double h = exponential10(-ph);
  return h / (lactic_k_mol_per_l_ + h);
}

// Van Slyke's sum: ln 10 n c s (1 - s) for each group, n = 2 for one that binds in pairs.
double Buffering::buffering_mmol_per_l_per_ph(double ph) const {
  const double h = exponential10(-ph);
  double sum = mmol_per_mol * (h + water_ion_product / h);
  for (const Group& g : groups_) {
    const double s = share_bound(h, g.k_mol_per_l, g.together);
    sum += (g.together ? 2.0 : 1.0) * g.protons_mmol_per_l * s * (1.0 - s);
  }
  return std::numbers::ln10 * sum;
}

}  // namespace wheymark
