#include "core/jar/brew_tables.hpp"

namespace wheymark {
namespace {

// Curves that no batch has any more are kept for the next batch, up to so many in all.
constexpr std::size_t kept_max = 64;

}  // namespace

std::shared_ptr<const AcidCurve> BrewTables::curve(const Brew& brew) {
  const Key key{brew.milk, brew.treatment, brew.milk_ml, brew.grain_g};
  const auto found = curves_.find(key);
  if (found != curves_.end()) return found->second;
  if (curves_.size() >= kept_max) forget_unused();
  auto curve = std::make_shared<const AcidCurve>(AcidCurve::solved(brew, parameters_));
  curves_.emplace(key, curve);
  return curve;
}

void BrewTables::forget_unused() {
  std::erase_if(curves_, [](const auto& entry) { return entry.second.use_count() == 1; });
}

}  // namespace wheymark
