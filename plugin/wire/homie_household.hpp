// The household as Homie devices: one root, and a child for each jar, culture and place.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/household/facts.hpp"
#include "core/household/household.hpp"
#include "plugin/configuration/configuration.hpp"

namespace wheymark {

// A topic below the device, "batch/stage", and its payload; an empty payload is "not known".
using PropertyValue = std::pair<std::string, std::string>;

struct HomieDevice {
  std::string id;
  std::string description;
};

class HomieHousehold {
 public:
  explicit HomieHousehold(const Configuration& configuration);

  [[nodiscard]] const HomieDevice& root() const { return root_; }
  [[nodiscard]] const std::vector<HomieDevice>& children() const { return children_; }

  // "homie/5/jar-blue/batch/stage"
  [[nodiscard]] std::string topic(const std::string& device, const std::string& below) const;

  // The values of one device.
  [[nodiscard]] static std::vector<PropertyValue> jar_values(const Household& household,
                                                             const PlannedJar& jar, Instant now);
  [[nodiscard]] static std::vector<PropertyValue> culture_values(const Household& household,
                                                                 const PlannedCulture& culture,
                                                                 Instant now);
  [[nodiscard]] static std::vector<PropertyValue> place_values(const Household& household,
                                                               const PlannedPlace& place,
                                                               Instant now);

  // The filter for every settable property, and what a message on it is about.
  [[nodiscard]] std::string set_filter() const;
  struct SetTopic {
    JarId jar;
    std::string property;  // "step", "sign", "say"
  };
  [[nodiscard]] std::optional<SetTopic> set_topic(std::string_view topic) const;

 private:
  std::string base_;  // "homie/5/"
  HomieDevice root_;
  std::vector<HomieDevice> children_;
};

}  // namespace wheymark
