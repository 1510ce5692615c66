#include "plugin/configuration/configuration.hpp"

#include <array>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "plugin/configuration/announce.hpp"
#include "plugin/configuration/household.hpp"
#include "plugin/configuration/section.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

void read_broker(Section broker, BrokerSetup& setup) {
  const nlohmann::json* const url = broker.anything("url", Need::required);
  const bool holds_a_login = url != nullptr && url->is_string() &&
                             url->get_ref<const std::string&>().find('@') != std::string::npos;
  if (holds_a_login) {
    broker.complain("url",
                    "found a user or password in the URL (not shown); allowed: \"user\" and "
                    "\"password_file\" beside a URL without them");
  } else {
    setup.url = broker.text("url", Need::optional, broker_url_form).value_or("");
  }
  setup.protocol = broker.word<MqttProtocol>("protocol", Need::optional).value_or(setup.protocol);
  setup.client_id = broker.text("client_id", Need::optional, name_form).value_or(setup.client_id);
  setup.user = broker.text("user", Need::optional, remark_form).value_or("");
  setup.password_file = broker.text("password_file", Need::optional, file_form).value_or("");
  setup.ca_file = broker.text("ca_file", Need::optional, file_form).value_or("");
  setup.certificate_file = broker.text("certificate_file", Need::optional, file_form).value_or("");
  setup.key_file = broker.text("key_file", Need::optional, file_form).value_or("");
  broker.forbid("password",
                "found a password (not shown); allowed: \"password_file\" with the name of a file "
                "that holds it and that only the daemon may read");
  if (broker.has("certificate_file") != broker.has("key_file")) {
    const bool has_key = broker.has("key_file");
    broker.complain(has_key ? "certificate_file" : "key_file",
                    fmt::format("found nothing; required beside \"{}\"",
                                has_key ? "key_file" : "certificate_file"));
  }
  broker.refuse_unknown_keys();
}

// Our own devices' ids begin with these; a root device of such a name could be one of them.
constexpr std::array device_prefixes{std::string_view("jar-"), std::string_view("culture-"),
                                     std::string_view("place-")};

void read_wire(Section wire, Configuration& configuration) {
  const auto read = [&wire](std::string_view key, Form form, std::string& into) {
    into = wire.text(key, Need::optional, form).value_or(into);
  };
  read("homie_domain", id_form, configuration.homie_domain);
  read("prefix", topic_prefix_form, configuration.prefix);
  read("root_device", id_form, configuration.root_device);
  configuration.homie_log = wire.truth("log", Need::optional).value_or(configuration.homie_log);
  for (const auto prefix : device_prefixes) {
    if (configuration.root_device.starts_with(prefix)) {
      wire.complain_found("root_device",
                          "an id that does not begin with jar-, culture- or place-, "
                          "as those of the jars, cultures and places do");
    }
  }
  wire.refuse_unknown_keys();
}

void read_tile(Section tile, Configuration& configuration) {
  constexpr const char* only_this_machine = "127.0.0.1:8078";
  configuration.tile_listen =
      tile.text("listen", Need::optional, listen_form).value_or(only_this_machine);
  if (!is_loopback(*configuration.tile_listen)) {
    configuration.advice.push_back(
        {tile.pointer_to("listen"),
         "everybody who reaches this address can look at the page, without a password; "
         "127.0.0.1:8078 would be for this machine alone"});
  }
  tile.refuse_unknown_keys();
}

bool lies_under(std::string_view topic, std::string_view root) {
  return topic == root || (topic.starts_with(root) && topic[root.size()] == '/');
}

// Whether we publish on `topic` ourselves. Other devices of the same Homie domain are welcome:
// their thermometers are as good as any.
bool is_our_own(std::string_view topic, const Configuration& configuration) {
  if (lies_under(topic, configuration.prefix)) return true;
  const std::string devices = configuration.homie_domain + "/5/";
  if (!topic.starts_with(devices)) return false;
  topic.remove_prefix(devices.size());
  if (lies_under(topic, configuration.root_device)) return true;
  const auto is_under = [topic](std::string_view kind, const auto& entries) {
    for (const auto& entry : entries) {
      if (lies_under(topic, fmt::format("{}-{}", kind, entry.id))) return true;
    }
    return false;
  };
  const HouseholdSetup& setup = configuration.setup;
  return is_under("jar", setup.jars) || is_under("culture", setup.cultures) ||
         is_under("place", setup.places);
}

// A reading from our own topics would be our own echo.
void refuse_our_own(const std::vector<ReadTopic>& topics, const Configuration& configuration,
                    Complaints& complaints) {
  for (const auto& [pointer, topic] : topics) {
    if (!is_our_own(topic, configuration)) continue;
    complaints.push_back(
        {pointer,
         fmt::format("found {}; allowed: a topic that we do not publish on ourselves "
                     "(below {}, and our devices below {}/5)",
                     shown_text(topic), configuration.prefix, configuration.homie_domain)});
  }
}

}  // namespace

ConfigurationRead configuration_from(std::string_view text) {
  const auto document_text = parsed(text, Comments::allowed);
  if (!document_text) return Complaints{{"", document_text.why()}};

  Configuration configuration;
  Complaints complaints;
  Section document(document_text.value(), "", complaints);
  if (auto broker = document.section("broker", Need::required)) {
    read_broker(*broker, configuration.broker);
  }
  configuration.store =
      document.text("store", Need::optional, file_form).value_or(configuration.store);
  if (auto wire = document.section("wire", Need::optional)) read_wire(*wire, configuration);
  if (auto tile = document.section("tile", Need::optional)) read_tile(*tile, configuration);
  const auto topics = read_household(document, configuration);
  read_announce(document, configuration, complaints.empty());
  document.refuse_unknown_keys();

  refuse_our_own(topics, configuration, complaints);
  if (!complaints.empty()) return complaints;
  return configuration;
}

}  // namespace wheymark
