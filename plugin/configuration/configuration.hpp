// What did the person write into the configuration, and does it hold together?
//
// Everything that is wrong is found in one run, each with its JSON Pointer. The names of the keys
// are agreed; beside them there are `notice.peak_closing_h`, `wire.log` and `broker.protocol`. No
// file that is named here is opened.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <variant>
#include <vector>

#include "core/record/setup.hpp"
#include "plugin/configuration/complaint.hpp"
#include "plugin/configuration/presence_setup.hpp"
#include "plugin/configuration/thermometer_setup.hpp"

namespace wheymark {

enum class MqttProtocol { version_5, version_3_1_1 };

template <>
struct Vocabulary<MqttProtocol> {
  static constexpr std::array words{Word<MqttProtocol>{MqttProtocol::version_5, "5"},
                                    Word<MqttProtocol>{MqttProtocol::version_3_1_1, "3.1.1"}};
};

// How to reach the broker. An empty field was not given. Secrets are in files, never here.
struct BrokerSetup {
  std::string url;
  std::string client_id = "wheymark";
  MqttProtocol protocol = MqttProtocol::version_5;
  std::string user;
  std::string password_file;
  std::string ca_file;
  std::string certificate_file;
  std::string key_file;
};

// A retained message that introduces a device to the person's hub in the hub's own words; from
// `announce`, filled in.
struct Introduction {
  std::string topic;
  std::string payload;
};

struct Configuration {
  HouseholdSetup setup;
  BrokerSetup broker;
  std::string store = "wheymark.db";
  std::string homie_domain = "homie";
  std::string prefix = "wheymark";
  std::string root_device = "wheymark";
  bool homie_log = true;  // warnings on Homie's $log topics as well
  std::optional<std::string> tile_listen;
  // Of the places that have any; no list is empty.
  std::unordered_map<PlaceId, std::vector<ThermometerSetup>> thermometers;
  std::vector<Introduction> introductions;
  std::optional<PresenceSetup> presence;
  Complaints advice;  // allowed, but hardly what the person wants
};

// A valid configuration, or at least one complaint.
using ConfigurationRead = std::variant<Configuration, Complaints>;

// Reads the JSON text of a configuration (comments allowed). Never throws for what is in the text;
// a secret that was put into it by mistake is not repeated in a complaint. Text that is not JSON is
// one complaint about the whole document.
ConfigurationRead configuration_from(std::string_view text);

// What was understood, a line each, for the person to compare with what they meant.
std::vector<std::string> understood(const Configuration& configuration);

}  // namespace wheymark
