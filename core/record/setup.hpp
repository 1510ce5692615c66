// The household as its configuration describes it: places, cultures, jars, and when to announce.
//
// A setup that exists is valid: ids are unique and well formed, references lead somewhere, numbers
// are in range. The configuration reader in plugin makes it, tests may write it by hand.
#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "core/basis/units.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/by_id.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

enum class PlaceKind { room, fridge };

template <>
struct Vocabulary<PlaceKind> {
  static constexpr std::array words{Word<PlaceKind>{PlaceKind::room, "room"},
                                    Word<PlaceKind>{PlaceKind::fridge, "fridge"}};
};

struct PlaceSetup {
  PlaceId id;
  std::string name;
  PlaceKind kind = PlaceKind::room;
  bool has_thermometer = false;
  std::optional<std::chrono::minutes> silent_after = {};  // without it, by its own rhythm
};

struct CultureSetup {
  CultureId id;
  std::string name;
  double grain_g = 20.0;
  std::vector<UsualBatch> usual = {};  // as its people know it, before any batch here
};

struct JarSetup {
  JarId id;
  std::string name;
  double capacity_ml = 1000.0;
  PlaceId place;
  std::optional<CultureId> culture;
  std::optional<MilkKind> milk;
  std::optional<Treatment> treatment;
  std::optional<double> milk_ml;
  std::optional<double> grain_g;
  std::optional<Lid> lid;
};

// How long before or after something to announce it.
struct LeadTimes {
  double peak_near_h = 2.0;
  double peak_closing_h = 2.0;
  double best_by_near_d = 2.0;
  double last_day_near_d = 2.0;
  double vent_after_h = 24.0;
};

// When somebody in the household is awake, as minutes of the local day; `until` may lie past
// midnight and is then the smaller.
struct Waking {
  std::chrono::minutes from{7 * 60};
  std::chrono::minutes until{22 * 60 + 30};
};

struct HouseholdSetup {
  std::string home_name;
  Waking waking;
  std::string time_zone = "UTC";  // an IANA name; core never looks it up, it asks utc_offset
  std::function<std::chrono::minutes(Instant)> utc_offset = [](Instant) {
    return std::chrono::minutes{0};
  };
  ById<PlaceSetup> places;
  ById<CultureSetup> cultures;
  ById<JarSetup> jars;
  LeadTimes lead_times;

  // The entry with this id, or null.
  [[nodiscard]] const PlaceSetup* place(const PlaceId& id) const { return places.find(id); }
  [[nodiscard]] const CultureSetup* culture(const CultureId& id) const { return cultures.find(id); }
  [[nodiscard]] const JarSetup* jar(const JarId& id) const { return jars.find(id); }
  [[nodiscard]] const PlaceSetup* first_fridge() const;
};

// Common practice: about 20 g of grains to 950 mL of milk.
inline constexpr double usual_grain_g_per_ml = 20.0 / 950.0;

// The milk that so many grains suit, in the usual ratio.
constexpr double milk_ml_for(double grain_g) {
  return grain_g / usual_grain_g_per_ml;
}

// The jar that a culture's batches usually stand in: the first that is set up for it, else the
// first that is for no culture and stands in a room; or null.
const JarSetup* usual_jar(const CultureId& culture, const HouseholdSetup& setup);

// The same batch with the amounts that were left out as the setup of the culture and its usual jar
// gives them, and milk from the fridge. What it says of the air stays as it is.
UsualBatch as_set_up(UsualBatch batch, const CultureId& culture, const HouseholdSetup& setup,
                     const Parameters& parameters);

// The grains that the jars of each culture of the setup take: their own grain masses, or the usual
// ratio to their milk; what the setup says of the culture when it has no jar of its own.
std::unordered_map<CultureId, double> wanted_grains_g(const HouseholdSetup& setup);

}  // namespace wheymark
