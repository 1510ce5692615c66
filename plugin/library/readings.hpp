// Thermometers' messages become readings: which topic is about which places, and what of its
// messages is accepted.
//
// One topic may be about several places, each at its own pointer, and a place may have several
// thermometers, of which those count that agree. A message that cannot be used is remarked on and
// changes no temperature; what is wrong with it stands as the place's alert until a reading comes.
//
// Of a burst of messages without instants only the last says how warm it is, and nobody knows how
// old it is: it is used, with doubt, once nothing more comes.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "core/air/agreement.hpp"
#include "core/air/rhythm.hpp"
#include "core/air/two_in_one.hpp"
#include "core/household/household.hpp"
#include "plugin/configuration/configuration.hpp"
#include "plugin/library/host.hpp"
#include "plugin/library/journal.hpp"
#include "plugin/library/remarks.hpp"
#include "plugin/wire/reading_text.hpp"

namespace wheymark {

class Readings {
 public:
  Readings(const Configuration& configuration, Household& household, Journal& journal,
           Remarks& remarks);

  void subscribe(const Host& host) const;

  // Whether a thermometer of the configuration uses the topic.
  [[nodiscard]] bool are_about(std::string_view topic) const;
  // Reads, records and applies the message for each thermometer that uses the topic.
  void receive(std::string_view topic, std::string_view payload, bool retained, Instant now);

  // When the last of a burst is to be used if nothing more comes; nothing: there is none.
  [[nodiscard]] std::optional<Instant> next() const;
  void use_what_waits(Instant now);

 private:
  struct Waiting {
    Celsius air;
    Instant came;
    int messages;  // of the burst
  };
  // What two thermometers on one topic call themselves: by pointer, the values of each group.
  struct Names {
    int messages = 0;
    std::map<std::string, std::set<std::string>> low;
    std::map<std::string, std::set<std::string>> high;
    std::string told;  // what was found; empty: not yet
  };
  // A thermometer of the configuration, and what it did since the start.
  struct Sensor {
    PlaceId place;
    const ThermometerSetup* setup;
    Rhythm rhythm;
    std::optional<Reading> last;  // of use where a place has several
    TwoInOne groups;
    Names names;
    bool has_matched = false;
    int of_others = 0;  // messages on its topic, before one has matched
  };
  struct TextHash {
    using is_transparent = void;
    std::size_t operator()(std::string_view text) const {
      return std::hash<std::string_view>()(text);
    }
  };
  // Indices of sensors_ by topic.
  using ByTopic =
      std::unordered_map<std::string, std::vector<std::size_t>, TextHash, std::equal_to<>>;

  void receive(Sensor& sensor, std::string_view payload, bool retained, Instant now);
  void receive_availability(const Sensor& sensor, std::string_view payload, Instant now);
  void take(Sensor& sensor, std::string_view payload, const ReadingSaid& said, bool retained,
            Instant now);
  void keep(const PlaceId& place, Celsius air, Instant at, double doubt_k, bool is_fresh,
            Instant now);
  void say_not_understood(const Sensor& sensor, const std::string& what, Instant now);
  // Whether two thermometers speak on its topic as if they were one; then its readings are of no
  // use, and that is said.
  bool is_two_in_one(Sensor& sensor, std::string_view payload, Celsius air, Instant now);
  // What a place's thermometers agree on, now that this one has said something.
  Agreement agreed(Sensor& sensor, Celsius air, Instant at, Instant now);

  const Configuration& configuration_;
  Household& household_;
  Journal& journal_;
  Remarks& remarks_;
  std::vector<Sensor> sensors_;
  std::unordered_map<PlaceId, std::vector<std::size_t>> of_place_;
  ByTopic reading_at_;
  ByTopic availability_at_;
  std::map<PlaceId, Waiting> waiting_;
};

}  // namespace wheymark
