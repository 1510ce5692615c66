// The household as Homie devices: one root, and a child for each jar, culture and place.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/stock.hpp"
#include "core/record/facts.hpp"
#include "plugin/configuration/configuration.hpp"
#include "plugin/wire/homie_device.hpp"
#include "plugin/wire/placeholders.hpp"

namespace wheymark {

struct HomieDevice {
  std::string id;
  std::string description;
};

class HomieHousehold {
 public:
  explicit HomieHousehold(const Configuration& configuration);

  // The devices' ids.
  [[nodiscard]] const std::string& root() const { return root_; }
  [[nodiscard]] const std::vector<std::string>& children() const { return children_; }
  // The same devices, the root last, as made by this configuration: some kB each.
  [[nodiscard]] std::vector<HomieDevice> described(const Configuration& configuration) const;

  // "homie/5/jar-blue/batch/stage"
  [[nodiscard]] std::string topic(const std::string& device, const std::string& below) const;

  // The values of one device, without its answer.
  [[nodiscard]] static std::vector<PropertyValue> jar_values(const JarState& state, Instant now);
  [[nodiscard]] static std::vector<PropertyValue> culture_values(const Household& household,
                                                                 const CultureSetup& culture,
                                                                 Instant now);
  [[nodiscard]] static std::vector<PropertyValue> place_values(const Household& household,
                                                               const PlaceSetup& place,
                                                               Instant now);
  // Of the root.
  [[nodiscard]] static std::vector<PropertyValue> stock_values(const Stock& stock);

  // The filter for every settable property, and what a message on it is about. Nothing for the
  // topic of somebody else's device.
  [[nodiscard]] std::string set_filter() const;
  struct SetTopic {
    JarId jar;
    std::string property;  // "step", "sign", "say"
  };
  [[nodiscard]] std::optional<SetTopic> set_topic(std::string_view topic) const;

  // What a person's own template may name of a device: {jar.id}, {topic.batch.stage}, ...
  [[nodiscard]] Placeholders placeholders(const JarSetup& jar) const;
  [[nodiscard]] Placeholders placeholders(const CultureSetup& culture) const;
  [[nodiscard]] Placeholders placeholders(const PlaceSetup& place) const;

  static std::string device_of_jar(const JarId& jar) { return "jar-" + jar.text(); }
  static std::string device_of_culture(const CultureId& culture) {
    return "culture-" + culture.text();
  }
  static std::string device_of_place(const PlaceId& place) { return "place-" + place.text(); }

  // Where the last answer to a command stands, below the device that it was about.
  static constexpr const char* answer_property = "care/answer";

 private:
  [[nodiscard]] Placeholders placeholders_of(const std::string& device,
                                             const std::vector<PropertyShape>& properties) const;

  std::string base_;    // "homie/5/"
  std::string prefix_;  // "wheymark"
  std::string home_name_;
  std::string root_;
  std::vector<std::string> children_;
  std::set<JarId> jars_;
};

}  // namespace wheymark
