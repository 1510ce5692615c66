#include "plugin/library/remarks.hpp"

#include <fmt/format.h>
#include <utility>

namespace wheymark {
namespace {

constexpr double remarks_at_once = 1.0;  // of one kind about one topic
constexpr double remarks_per_h = 1.0 / 24.0;
constexpr double all_remarks_at_once = 100.0;
constexpr double all_remarks_per_h = 60.0;
constexpr std::size_t kinds_max = 1'000;  // anybody may send on topics that nobody knows

}  // namespace

Remarks::Remarks(const Host& host, const HomieHousehold& homie, bool on_the_hub_too)
    : host_(host),
      homie_(homie),
      on_the_hub_too_(on_the_hub_too),
      all_(all_remarks_at_once, all_remarks_per_h) {}

void Remarks::warn(const std::string& line) const {
  warn(line, homie_.root());
}

void Remarks::warn(const std::string& line, const std::string& device) const {
  host_.log(WHEYMARK_WARNING, line);
  if (!hub_knows_us_ || !on_the_hub_too_) return;
  host_.publish({homie_.topic(device, "$log/warn"), line, {}, 0, false, 0});
}

void Remarks::remark(wheymark_level level, std::string_view about, std::string_view kind,
                     const std::string& line, Instant now) {
  std::string key = fmt::format("{} {}", kind, about);
  if (kinds_.size() >= kinds_max && !kinds_.contains(key)) key.clear();
  const Kind fresh{Allowance(remarks_at_once, remarks_per_h)};
  Kind& known = kinds_.emplace(std::move(key), fresh).first->second;
  if (!known.allowance.allows(now) || !all_.allows(now)) {
    ++known.kept_back;
    return;
  }
  const std::uint64_t before = std::exchange(known.kept_back, 0);
  const std::string all =
      before == 0 ? line : fmt::format("{} (and {} more like it before)", line, before);
  level == WHEYMARK_WARNING ? warn(all) : host_.log(level, all);
}

}  // namespace wheymark
