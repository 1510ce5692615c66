#include "core/notice/told.hpp"

#include <algorithm>

namespace wheymark {
namespace {

std::chrono::sys_days local_day(Instant instant, const HouseholdSetup& setup) {
  return std::chrono::floor<std::chrono::days>(instant + setup.utc_offset(instant));
}

}  // namespace

void ToldNotices::apply(const Noticed& noticed) {
  const Telling telling{noticed.id, noticed.at, noticed.kind};
  for (const std::string& key : noticed.matters) {
    matters_.insert_or_assign(key, telling);
    about_.insert_or_assign(key.substr(0, key.rfind('.')), telling);
  }
  if (recent_.size() == recent_max) recent_.erase(recent_.begin());
  recent_.push_back(telling);
}

const ToldNotices::Telling* ToldNotices::matter(const std::string& key) const {
  const auto found = matters_.find(key);
  return found == matters_.end() ? nullptr : &found->second;
}

std::vector<std::string> ToldNotices::keys_below(const std::string& begins) const {
  std::vector<std::string> keys;
  for (auto found = matters_.lower_bound(begins);
       found != matters_.end() && found->first.starts_with(begins); ++found) {
    keys.push_back(found->first);
  }
  return keys;
}

const ToldNotices::Telling* ToldNotices::latest_about(const std::string& about) const {
  const auto found = about_.find(about);
  return found == about_.end() ? nullptr : &found->second;
}

int ToldNotices::on_day_of(Instant now, const HouseholdSetup& setup) const {
  const auto today = local_day(now, setup);
  return static_cast<int>(
      std::count_if(recent_.begin(), recent_.end(), [&](const Telling& telling) {
        return telling.kind != NoticeKind::safety && local_day(telling.at, setup) == today;
      }));
}

}  // namespace wheymark
