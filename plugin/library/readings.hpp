// Thermometers' messages become readings: which topic is about which places, and what of its
// messages is accepted.
//
// One topic may be about several places, each at its own pointer. A message that cannot be used is
// logged and changes nothing.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "core/household/household.hpp"
#include "plugin/configuration/configuration.hpp"
#include "plugin/library/host.hpp"
#include "plugin/library/journal.hpp"
#include "plugin/library/remarks.hpp"

namespace wheymark {

class Readings {
 public:
  Readings(const Configuration& configuration, Household& household, Journal& journal,
           Remarks& remarks);

  void subscribe(const Host& host) const;

  // A place that a topic is about.
  struct HeardAt {
    PlaceId place;
    const ThermometerSetup* thermometer;  // in the configuration
  };
  // Null when no thermometer of the configuration uses the topic.
  [[nodiscard]] const std::vector<HeardAt>* heard_on(std::string_view topic) const;
  // Reads, records and applies the message for each of these places.
  void receive(const std::vector<HeardAt>& places, std::string_view payload, bool retained,
               Instant now);

 private:
  void receive(const HeardAt& at, std::string_view payload, bool retained, Instant now);

  struct TextHash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const {
      return std::hash<std::string_view>()(text);
    }
  };

  Household& household_;
  Journal& journal_;
  Remarks& remarks_;
  std::unordered_map<std::string, std::vector<HeardAt>, TextHash, std::equal_to<>>
      heard_at_;  // by topic
};

}  // namespace wheymark
