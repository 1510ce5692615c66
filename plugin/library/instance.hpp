// One running Wheymark behind the C boundary: what comes in becomes decisions, decisions become
// entries of the journal, entries become state, and state is published.
//
// Always in this order: decide, record, apply, publish. A fact that could not be recorded is
// refused; an announcement that could not be recorded is tried again. One call at a time; `now` is
// what the host's clock is taken for: see host_clock.hpp.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "core/announce/alerts.hpp"
#include "core/household/household.hpp"
#include "plugin/configuration/configuration.hpp"
#include "plugin/library/allowance.hpp"
#include "plugin/library/events.hpp"
#include "plugin/library/host.hpp"
#include "plugin/library/host_clock.hpp"
#include "plugin/library/journal.hpp"
#include "plugin/library/outbox.hpp"
#include "plugin/library/own_state.hpp"
#include "plugin/library/remarks.hpp"
#include "plugin/library/states.hpp"
#include "plugin/store/store.hpp"
#include "plugin/tile/document.hpp"
#include "plugin/wire/answer.hpp"
#include "plugin/wire/homie_household.hpp"

namespace wheymark {

class Instance {
 public:
  // Restores the household from the store's journal. Refused when it cannot be read.
  static Result<std::unique_ptr<Instance>> opened(const Host& host, Configuration configuration,
                                                  std::unique_ptr<Store> store);

  [[nodiscard]] const Configuration& configuration() const { return configuration_; }
  [[nodiscard]] const std::string& will_topic() const { return will_topic_; }

  void connected(Instant now);
  void subscribed(Instant now);
  void disconnected(Instant now);
  void message(std::string_view topic, std::string_view payload, bool retained, Instant now);
  void tick(Instant now);
  void delivered(std::uint64_t delivery, Instant now);
  void stop(Instant now);

  // What can be looked at under a path, as things stand; see plugin/tile/documents.hpp.
  [[nodiscard]] std::optional<Document> document_at(std::string_view path, Instant now) const;
  // A document about the past (see plugin/history/document.hpp), as of `now` or of the journal's
  // last instant, whichever is later. Changes nothing.
  [[nodiscard]] Result<std::string> export_text(std::string_view name, Instant now) const;

  // The answer to a question (see plugin/wire/question.hpp), as JSON. Changes nothing.
  [[nodiscard]] Result<std::string> answer_to(std::string_view question, Instant now) const;

  // When the next tick is wanted; nothing: never, as things are.
  [[nodiscard]] std::optional<Instant> next_tick() const { return next_tick_; }

 private:
  // A place of which a topic tells.
  struct HeardAt {
    PlaceId place;
    const ThermometerSetup* thermometer;  // in the configuration
  };
  struct TextHash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const {
      return std::hash<std::string_view>()(text);
    }
  };
  Instance(const Host& host, Configuration configuration, std::unique_ptr<Store> store);

  // Takes the host's instant; false while the clock is not set, when nothing can be claimed. The
  // first that is sane greets a broker that was connected before.
  bool at(Instant now);
  void subscribe() const;
  // Publishes everything that there is to say.
  void greet();

  void take_reading(const HeardAt& at, std::string_view payload, bool retained);
  bool take_say(std::string_view payload, const std::optional<JarId>& implied_jar);
  void take_set(const HomieHousehold::SetTopic& set, std::string_view payload);
  // Whether it was accepted.
  bool take_said(const Report& said);
  // A question: answered, and nothing changes.
  bool take_question(const nlohmann::json& asked, const std::optional<JarId>& implied_jar);
  void take_own_state(std::string_view payload, bool retained);
  // Says the answer to somebody who asked for something about `jar`, or about no known jar.
  void answer(const Answer& answer, const std::optional<JarId>& jar);
  // Shows the answer on the devices that it is about.
  void show(const Answer& answer, const std::optional<JarId>& jar);

  // Says what is due, publishes what has changed, and finds out when to wake.
  enum class Cause { somebody_said, a_thermometer_read, time_passed };
  void settle(Cause because);
  // Plans to look at what has changed: at once, or for a reading a little later, if one was looked
  // at just before.
  void plan_looks(Cause because);
  void look_at_everything();
  // Publishes whatever is due to be looked at.
  void publish_states();
  void look_at(const Subject& subject);
  void plan_next_tick();
  void publish_jar(const JarSetup& jar);
  void publish_culture(const CultureSetup& culture);
  void publish_place(const PlaceSetup& place);
  void publish_standing(const std::string& device, const std::vector<Alert>& alerts_of);
  // A picture costs more than all the numbers: each five minutes, or when somebody said something.
  void publish_tile(const JarSetup& jar, const JarState& state);
  void become_ready();
  void publish_root_state(const std::string& state);
  void publish_children_states(const std::string& state);
  void send_states();

  Host host_;
  Configuration configuration_;
  std::unique_ptr<Store> store_;
  Household household_;
  HomieHousehold homie_;
  std::string will_topic_;
  std::string say_topic_;
  Remarks remarks_;
  Outbox outbox_;
  Journal journal_;
  Events events_;
  States states_;
  OwnState own_state_;
  std::map<std::string, std::string> answers_;           // the last, by device; of this life only
  std::map<std::string, std::set<std::string>> alerts_;  // ids that stand, by device
  std::unordered_map<std::string, std::vector<HeardAt>, TextHash, std::equal_to<>>
      heard_at_;  // by topic
  // Time went back: what was to be done by an instant of the future is done soon.
  void plan_again_after_going_back();

  HostClock clock_;
  Allowance facts_;      // that are kept
  Allowance questions_;  // that are answered
  Instant now_{};
  bool connected_ = false;
  bool subscribed_ = false;
  bool greeted_ = false;
  bool clock_is_set_ = true;          // until we hear of an instant that cannot be
  std::optional<Instant> repair_at_;  // our `$state` was overwritten
  Instant repaired_{};
  Agenda<Subject> looks_;  // whose states may stand otherwise, and when
  std::unordered_map<Subject, Instant> looked_at_for_reading_;  // the last time
  std::map<JarId, Instant> next_tile_at_;
  std::optional<Instant> next_tick_;
};

}  // namespace wheymark
