// What was told by notices: folded from the journal, so that a restart repeats nothing.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/basis/units.hpp"
#include "core/record/entry.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

class ToldNotices {
 public:
  struct Telling {
    std::string id;
    Instant at;
    NoticeKind kind;
  };

  void apply(const Noticed& noticed);

  // When a matter was told, by its key; nothing: never.
  [[nodiscard]] const Telling* matter(const std::string& key) const;
  // The keys that begin so, in their order.
  [[nodiscard]] std::vector<std::string> keys_below(const std::string& begins) const;
  // The latest notice about a batch, culture or place.
  [[nodiscard]] const Telling* latest_about(const std::string& about) const;
  // How many notices, but for those of safety, were told on the local day of `now`.
  [[nodiscard]] int on_day_of(Instant now, const HouseholdSetup& setup) const;

 private:
  // Older tellings count for no day.
  static constexpr std::size_t recent_max = 64;

  std::map<std::string, Telling> matters_;
  std::map<std::string, Telling> about_;
  std::vector<Telling> recent_;  // in the order of the journal
};

}  // namespace wheymark
