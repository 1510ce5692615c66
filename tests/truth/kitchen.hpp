// A household made by chance: its jars, bottles, rooms and cultures, and how its people are.
//
// Zones with one offset all year keep the judge independent of time zone tables.
#pragma once

#include <cstdint>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/vocabulary/dice.hpp"

namespace wheymark::truth {

struct Vessel {
  std::string id;
  std::string name;
  double capacity_ml;
  std::string place;
  std::string culture;  // none for a bottle
};

struct Room {
  std::string id;
  bool is_fridge;
  bool is_measured;
};

struct Kitchen {
  std::uint64_t seed = 0;
  std::string configuration;
  std::vector<Vessel> jars;
  std::vector<Vessel> bottles;
  std::vector<std::string> cultures;
  std::vector<Room> rooms;  // the kitchen, a larder, the fridge
  int offset_min = 0;       // of the household's clock from UTC

  // How its people are: chances, by the hour or by the saying.
  double strains_in_time = 0.0;  // by the hour, once the peak is open
  double stores_at_once = 0.0;
  double stores_later = 0.0;  // by the hour
  double tells_late = 0.0;
  double mistakes = 0.0;
  bool grains_are_dead = false;
  bool buys_raw_milk = false;

  [[nodiscard]] std::vector<const Vessel*> vessels() const {
    std::vector<const Vessel*> all;
    for (const Vessel& jar : jars) all.push_back(&jar);
    for (const Vessel& bottle : bottles) all.push_back(&bottle);
    return all;
  }
  [[nodiscard]] bool is_fridge(const std::string& place) const {
    for (const Room& room : rooms) {
      if (room.id == place) return room.is_fridge;
    }
    return false;
  }
  [[nodiscard]] const std::string& name_of(const std::string& id) const {
    for (const Vessel* vessel : vessels()) {
      if (vessel->id == id) return vessel->name;
    }
    return id;
  }
};

namespace detail {

inline void add_vessels(Kitchen& kitchen, test::Dice& dice) {
  constexpr std::array colours{"blue", "red", "green", "white"};
  constexpr std::array jar_ml{1000.0, 1250.0, 1500.0, 3000.0};
  constexpr std::array bottle_ml{500.0, 750.0, 1000.0, 1500.0};
  const auto jars = dice.whole(1, 4);
  for (std::int64_t i = 0; i < jars; ++i) {
    const std::string colour = colours[static_cast<std::size_t>(i)];
    kitchen.jars.push_back({colour, "The " + colour + " jar", dice.one_of(jar_ml),
                            dice.happens(0.8) ? "kitchen" : "larder",
                            dice.one_of(kitchen.cultures)});
  }
  const auto bottles = dice.whole(1, 4);
  for (std::int64_t i = 1; i <= bottles; ++i) {
    kitchen.bottles.push_back(
        {fmt::format("b{}", i), fmt::format("Bottle {}", i), dice.one_of(bottle_ml), "fridge", ""});
  }
}

inline std::string configuration_of(const Kitchen& kitchen, test::Dice& dice) {
  nlohmann::json places = nlohmann::json::array();
  for (const Room& room : kitchen.rooms) {
    nlohmann::json place{{"id", room.id}, {"kind", room.is_fridge ? "fridge" : "room"}};
    if (room.is_measured) place["thermometer"] = {{"topic", "house/" + room.id}};
    places.push_back(place);
  }
  nlohmann::json cultures = nlohmann::json::array();
  for (const std::string& culture : kitchen.cultures) {
    cultures.push_back({{"id", culture}, {"grain_g", dice.whole(15, 90)}});
  }
  nlohmann::json jars = nlohmann::json::array();
  for (const Vessel& jar : kitchen.jars) {
    const double milk_ml = 50.0 * static_cast<double>(dice.whole(
                                      8, static_cast<std::int64_t>(jar.capacity_ml * 0.9 / 50.0)));
    jars.push_back({{"id", jar.id},
                    {"name", jar.name},
                    {"capacity_ml", jar.capacity_ml},
                    {"place", jar.place},
                    {"culture", jar.culture},
                    {"milk", dice.happens(0.8) ? "cow-whole" : "goat"},
                    {"milk_ml", milk_ml},
                    {"grain_g", dice.whole(10, 40)},
                    {"lid", dice.happens(0.8) ? "loose" : "tight"}});
  }
  for (const Vessel& bottle : kitchen.bottles) {
    jars.push_back({{"id", bottle.id},
                    {"name", bottle.name},
                    {"capacity_ml", bottle.capacity_ml},
                    {"place", bottle.place}});
  }
  return nlohmann::json{{"home",
                         {{"name", "A generated home"},
                          {"time_zone", kitchen.offset_min == 0 ? "Etc/UTC" : "Asia/Kolkata"}}},
                        {"broker", {{"url", "mqtt://127.0.0.1:1883"}}},
                        {"store", ":memory:"},
                        {"places", places},
                        {"cultures", cultures},
                        {"jars", jars}}
      .dump();
}

}  // namespace detail

inline Kitchen kitchen_of(std::uint64_t seed) {
  test::Dice dice(seed, 1);
  Kitchen kitchen;
  kitchen.seed = seed;
  kitchen.offset_min = dice.happens(0.5) ? 0 : 330;
  kitchen.rooms = {{"kitchen", false, true},
                   {"larder", false, dice.happens(0.6)},
                   {"fridge", true, dice.happens(0.7)}};
  kitchen.cultures = {"tilly"};
  if (dice.happens(0.4)) kitchen.cultures.emplace_back("otto");
  detail::add_vessels(kitchen, dice);
  kitchen.strains_in_time = dice.between(0.01, 0.4);
  kitchen.stores_at_once = dice.between(0.1, 0.9);
  kitchen.stores_later = dice.happens(0.3) ? 0.002 : dice.between(0.02, 0.3);
  kitchen.tells_late = dice.between(0.0, 0.25);
  kitchen.mistakes = dice.between(0.0, 0.15);
  kitchen.grains_are_dead = dice.happens(0.1);
  kitchen.buys_raw_milk = dice.happens(0.15);
  kitchen.configuration = detail::configuration_of(kitchen, dice);
  return kitchen;
}

}  // namespace wheymark::truth
