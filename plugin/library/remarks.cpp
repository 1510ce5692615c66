#include "plugin/library/remarks.hpp"

#include <fmt/format.h>
#include <utility>

namespace wheymark {
namespace {

constexpr double remarks_at_once = 100.0;
constexpr double remarks_per_h = 60.0;

}  // namespace

Remarks::Remarks(const Host& host, const HomieHousehold& homie, bool on_the_hub_too)
    : host_(host),
      homie_(homie),
      on_the_hub_too_(on_the_hub_too),
      allowance_(remarks_at_once, remarks_per_h) {}

void Remarks::warn(const std::string& line) const {
  warn(line, homie_.root());
}

void Remarks::warn(const std::string& line, const std::string& device) const {
  host_.log(WHEYMARK_WARNING, line);
  if (!hub_knows_us_ || !on_the_hub_too_) return;
  host_.publish({homie_.topic(device, "$log/warn"), line, {}, 0, false, 0});
}

void Remarks::remark(wheymark_level level, const std::string& line, Instant now) {
  if (!allowance_.allows(now)) {
    ++kept_back_;
    return;
  }
  const std::uint64_t before = std::exchange(kept_back_, 0);
  const std::string all =
      before == 0 ? line : fmt::format("{} (and {} remarks were kept back before)", line, before);
  level == WHEYMARK_WARNING ? warn(all) : host_.log(level, all);
}

}  // namespace wheymark
