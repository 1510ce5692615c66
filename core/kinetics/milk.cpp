#include "core/kinetics/milk.hpp"

#include <array>

namespace wheymark {
namespace {

// protein, lactose, fat, ash, density, pH. Densities are from memory (whole cow's milk 1.030,
// skim 1.033, sheep's 1.036).
constexpr std::array rows{
    MilkRow{MilkKind::cow_whole, {3.3, 4.7, 3.3, 0.7, 1.030, 6.64}, "fao2013", "mahmood2010"},
    MilkRow{
        MilkKind::cow_2_percent, {3.3, 4.8, 2.0, 0.7, 1.032, 6.64}, "our estimate", "mahmood2010"},
    MilkRow{
        MilkKind::cow_1_percent, {3.4, 4.8, 1.0, 0.7, 1.033, 6.64}, "our estimate", "mahmood2010"},
    MilkRow{MilkKind::cow_skim, {3.4, 4.9, 0.1, 0.7, 1.034, 6.64}, "our estimate", "mahmood2010"},
    // Made up as its label says; its calcium salts and proteins have been heated twice.
    MilkRow{
        MilkKind::cow_powder, {3.3, 4.8, 3.3, 0.7, 1.031, 6.60}, "our estimate", "our estimate"},
    MilkRow{MilkKind::goat, {3.4, 4.4, 3.9, 0.8, 1.031, 6.55}, "fao2013", "mahmood2010"},
    MilkRow{MilkKind::sheep, {5.6, 5.1, 6.4, 0.9, 1.036, 6.63}, "fao2013", "mahmood2010"},
    MilkRow{MilkKind::buffalo, {4.0, 4.4, 7.5, 0.8, 1.031, 6.75}, "fao2013", "mahmood2010"},
};

}  // namespace

std::span<const MilkRow> milk_table() {
  return rows;
}

const MilkComposition& composition(MilkKind kind) {
  for (const MilkRow& row : rows) {
    if (row.kind == kind) return row.composition;
  }
  throw BrokenCheck("every kind of milk has a composition");
}

double milk_pace(MilkKind kind, Treatment treatment, const Parameters& p) {
  double pace = 1.0;
  if (kind == MilkKind::goat) pace /= p.goat_time_factor;
  if (treatment == Treatment::ultra_pasteurised) pace /= p.ultra_pasteurised_time_factor;
  return pace;
}

}  // namespace wheymark
