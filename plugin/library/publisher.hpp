// What the hub shows of this household: every retained topic, in the order that Homie asks for, and
// what changes of it.
//
// Reads a household and never changes it. All of this can be thrown away and published anew at any
// time: nothing here is kept but the names of the topics. A hub that has not been greeted, because
// there is no connection or the clock is not set, is shown nothing.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "core/announce/alerts.hpp"
#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"
#include "plugin/configuration/configuration.hpp"
#include "plugin/library/looks.hpp"
#include "plugin/library/own_state.hpp"
#include "plugin/library/remarks.hpp"
#include "plugin/library/states.hpp"
#include "plugin/wire/answer.hpp"
#include "plugin/wire/homie_household.hpp"

namespace wheymark {

class Publisher {
 public:
  // All of them must outlive it.
  Publisher(const Host& host, Store& store, const Configuration& configuration,
            const HomieHousehold& homie, const Household& household, Remarks& remarks);

  // The root's `$state`, which is also the will's topic.
  [[nodiscard]] const std::string& own_state_topic() const { return own_state_topic_; }
  [[nodiscard]] bool has_greeted() const { return has_greeted_; }

  // There is another connection, and nothing is shown before the greeting.
  void connected();
  void disconnected();
  // Shows everything that there is, with the root as "init".
  void greet(Instant now);
  // All subscriptions are acknowledged, so a device that is ready hears its commands.
  void become_ready();
  // Publishes what is due, and that we are gone.
  void say_goodbye(Instant now);

  // What has changed must be published again, now or soon.
  void mark(const std::vector<Subject>& changed, Cause cause, Instant now) {
    looks_.schedule(changed, cause, now);
  }
  // Publishes what is due by now: what people, readings or time alone have changed.
  void publish(Instant now);
  // As if everything had changed: the next publishing shows all of it.
  void look_at_everything(Instant now);
  // Shows an answer on the devices that it is about: that of a known jar, and the root.
  void show(const Answer& answer, const std::optional<JarId>& jar, Instant now);
  // The convention's sign that a press was accepted: the same again, without "set".
  void confirm(const HomieHousehold::SetTopic& pressed, std::string_view payload) const;

  // Handles what came on our own `$state`; true when it must be published again, which is then
  // scheduled.
  bool receive_own_state(std::string_view payload, bool retained, Instant now);
  void clock_went_back(Instant now);

  // See States.
  bool delivered(std::uint64_t delivery, Outcome& kept) {
    return states_.delivered(delivery, kept);
  }
  void send();
  [[nodiscard]] bool was_refused() const { return states_.was_refused(); }
  // When something must be published again, if nothing comes in; nothing: never.
  [[nodiscard]] std::optional<Instant> next() const;

 private:
  void publish_what_is_due(Instant now);
  // Publishes it, and schedules when time alone may have changed it.
  void look_at(const Subject& subject, Instant now);
  void publish_jar(const JarSetup& jar, bool with_picture, Instant now);
  void publish_culture(const CultureSetup& culture, Instant now);
  void publish_place(const PlaceSetup& place, Instant now);
  void publish_stock(Instant now);  // of the whole household, on the root
  void publish_values(const std::string& device, const std::vector<PropertyValue>& values);
  void publish_alerts(const std::string& device, const std::vector<Alert>& alerts);
  void publish_root_state(const std::string& state);
  void publish_children_states(const std::string& state);

  const Host& host_;
  const Configuration& configuration_;
  const HomieHousehold& homie_;
  const Household& household_;
  Remarks& remarks_;
  std::string own_state_topic_;
  States states_;
  OwnState own_state_;
  Looks looks_;
  bool has_greeted_ = false;
  bool root_is_described_ = false;              // in this connection: its values come after that
  std::map<std::string, std::string> answers_;  // the last, by device; of this life only
  std::map<std::string, std::set<std::string>> alerts_;  // ids of alerts, by device
};

}  // namespace wheymark
