// A home of some jars in the simulated world, and what the people there do not know of each.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "core/record/setup.hpp"
#include "tests/simulation/other_kinetics.hpp"

namespace wheymark::simulation {

inline HouseholdSetup setup_of(std::size_t jars) {
  HouseholdSetup setup;
  setup.home_name = "Simulated";
  setup.places = {{"kitchen", "Kitchen", PlaceKind::room, true, std::chrono::minutes{45}},
                  {"fridge", "Fridge", PlaceKind::fridge, true, std::chrono::minutes{45}},
                  {"pantry", "Pantry", PlaceKind::room, true, std::chrono::minutes{45}}};
  for (std::size_t i = 0; i < jars; ++i) {
    const std::string number = std::to_string(i + 1);
    setup.cultures.push_back({CultureId("grains-" + number), "Grains " + number, 20.0});
    JarSetup jar;
    jar.id = JarId("jar-" + number);
    jar.name = "Jar " + number;
    jar.capacity_ml = 1250.0;
    jar.place = "kitchen";
    jar.culture = CultureId("grains-" + number);
    jar.milk = MilkKind::cow_whole;
    jar.milk_ml = 950.0;
    jar.grain_g = 20.0;
    setup.jars.push_back(jar);
  }
  return setup;
}

inline double hour_of_day(Instant instant) {
  return hours_between(std::chrono::floor<std::chrono::days>(instant), instant);
}

// From then on a jar stands there.
struct Stood {
  Instant from;
  PlaceId place;
};

struct JarLivedWith {
  JarId id;
  TrueGrains grains{};
  double speed = 1.0;
  std::size_t begun = 0;
  // The running batch.
  bool judged = false;  // its forecast
  bool running = false;
  Instant started;
  double batch_speed = 1.0;
  double grain_g = 20.0, milk_ml = 950.0, milk_c = 6.0;
  std::vector<Stood> stood;
  TrueBatch truth{};
  Dice of_the_batch{0};
};

// Somebody means to do it then.
struct Todo {
  Instant at;
  std::size_t jar;
  std::function<void()> act;
};

}  // namespace wheymark::simulation
