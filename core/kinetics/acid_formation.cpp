#include "core/kinetics/acid_formation.hpp"

#include "core/kinetics/milk.hpp"

namespace wheymark {
namespace {

// 1 without the inhibitor, 1/2 at `half`, and steep enough that milk sours freely down to the curd.
double left_by(double inhibitor_g_per_l, double half_g_per_l) {
  const double u = inhibitor_g_per_l / half_g_per_l;
  return 1.0 / (1.0 + u * u);
}

}  // namespace

AcidFormation::AcidFormation(const Brew& brew, const Parameters& parameters)
    : p_(parameters), buffering_(composition(brew.milk), parameters) {
  check(brew.milk_ml > 0.0, "a brew has milk");
  check(brew.grain_g >= 0.0, "a brew's grains are not negative");
  grains_g_per_l_ = brew.grain_g / (brew.milk_ml / 1000.0);
  lactose_start_g_per_l_ = composition(brew.milk).lactose_g_per_l();
}

// [luedeking1959] q = alpha dX/dt + beta X, and the same for the grains G without growth:
//
//   growth  = mu X f_growth(U) S / (K_S + S)
//   dX/dt   = growth + r G f_growth(U)
//   dP/dt   = alpha growth + (beta X + beta_G G) f_acid(U) S / (K_S + S)
//
// with U the undissociated part of the acid P, and S the lactose left.
AcidFormation::Rates AcidFormation::rates(double X, double P, double ph) const {
  const double U = P * buffering_.undissociated_share(ph);
  const double S = lactose_g_per_l(P);
  const double G = grains_g_per_l_;
  const double fed = S / (p_.lactose_half_g_per_l + S);
  const double f_growth = left_by(U, p_.growth_half_at_undissociated_g_per_l);
  const double f_acid = left_by(U, p_.acid_half_at_undissociated_g_per_l);
  const double growth = p_.growth_per_h * X * f_growth * fed;
  return {growth + p_.release_g_per_g_h * G * f_growth,
          p_.acid_by_growth_g_per_g * growth +
              (p_.acid_by_milk_organisms_g_per_g_h * X + p_.acid_by_grains_g_per_g_h * G) * f_acid *
                  fed};
}

double AcidFormation::lactose_g_per_l(double acid_g_per_l) const {
  const double left = lactose_start_g_per_l_ - acid_g_per_l / p_.acid_from_lactose_g_per_g;
  return left < 0.0 ? 0.0 : left;
}

}  // namespace wheymark
