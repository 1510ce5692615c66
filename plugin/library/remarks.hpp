// What a person should know of this instance: a line in the host's log, and for a warning one on
// the hub as well.
//
// What comes in from outside can be wrong a thousand times a minute. Each topic gets one line a day
// for each kind of remark; the others are counted, and the next line has their number. So one
// device that goes mad does not hide another's only line.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>

#include "core/basis/units.hpp"
#include "plugin/library/allowance.hpp"
#include "plugin/library/host.hpp"
#include "plugin/wire/homie_household.hpp"

namespace wheymark {

class Remarks {
 public:
  // With `on_the_hub_too`, warnings are published on Homie's $log topics.
  Remarks(const Host& host, const HomieHousehold& homie, bool on_the_hub_too);

  // Whether the hub knows our devices already, so that their $log may be published.
  void hub_knows_us(bool knows) { hub_knows_us_ = knows; }

  // Tells the host, and the hub on a device's $log: that of the root unless told otherwise.
  void warn(const std::string& line) const;
  void warn(const std::string& line, const std::string& device) const;
  // About a message that came in: limited as above. `about` is its topic, `kind` a word for what is
  // remarked on.
  void remark(wheymark_level level, std::string_view about, std::string_view kind,
              const std::string& line, Instant now);

 private:
  struct Kind {
    Allowance allowance;
    std::uint64_t kept_back = 0;
  };

  const Host& host_;
  const HomieHousehold& homie_;
  bool on_the_hub_too_;
  bool hub_knows_us_ = false;
  std::unordered_map<std::string, Kind> kinds_;
  Allowance all_;
};

}  // namespace wheymark
