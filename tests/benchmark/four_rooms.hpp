// A household with four rooms and a week of readings, from which advice has to choose.
#pragma once

#include <chrono>
#include <cmath>
#include <numbers>

#include "core/household/household.hpp"

namespace wheymark::four_rooms {

using std::chrono::minutes;

inline constexpr Instant midnight{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1}};

inline HouseholdSetup setup() {
  HouseholdSetup setup;
  setup.home_name = "Benchmark";
  for (const char* id : {"kitchen", "pantry", "cellar", "hall"}) {
    setup.places.push_back({id, id, PlaceKind::room, true, minutes{45}});
  }
  setup.places.push_back({"fridge", "fridge", PlaceKind::fridge, true, minutes{45}});
  setup.cultures = {{"tilly", "Tilly", 40.0}};
  JarSetup blue{"blue", "Blue jar", 1250.0, "kitchen", "tilly", {}, {}, {}, {}, {}};
  blue.milk = MilkKind::cow_whole;
  blue.milk_ml = 900.0;
  blue.grain_g = 20.0;
  setup.jars = {blue};
  return setup;
}

// A week of readings, until Mon 8 Mar 08:00.
inline constexpr Instant now = midnight + std::chrono::hours{7 * 24 + 8};

inline void live(Household& household) {
  for (Instant at = midnight; at <= now; at += minutes{10}) {
    const double phase = 2.0 * std::numbers::pi * hours_between(midnight, at) / 24.0;
    double room_c = 21.0;
    for (const PlaceSetup& place : household.setup().places) {
      const bool fridge = place.kind == PlaceKind::fridge;
      household.apply(ReadingTaken{place.id, at, Celsius(fridge ? 4.0 : room_c + std::sin(phase))});
      household.hear(place.id, at);
      room_c -= 1.5;
    }
  }
}

}  // namespace wheymark::four_rooms
