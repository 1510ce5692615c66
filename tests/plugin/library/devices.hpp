// The words of tests about devices: their settings, and what people are told of them.
#pragma once

#include <algorithm>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {

// Our kitchen with other settings of its thermometer, or several.
inline json kitchen_with(const json& thermometer) {
  json configuration = small_configuration();
  if (thermometer.is_array()) {
    configuration["places"][0].erase("thermometer");
    configuration["places"][0]["thermometers"] = thermometer;
  } else {
    configuration["places"][0]["thermometer"].update(thermometer);
  }
  return configuration;
}

// A thermometer that sends when it measured.
inline const json timed{{"pointer", "/t"}, {"instant_pointer", "/at"}};

// How often "place-kitchen thermometer-silent" was told.
inline std::size_t times(const Home& home, const std::string& told) {
  const std::vector<std::string> all = home.told();
  return static_cast<std::size_t>(std::count(all.begin(), all.end(), told));
}

// What was told of a place: "thermometer-silent".
inline std::vector<std::string> told_of(const Home& home, const std::string& place) {
  const std::string subject = "place-" + place + " ";
  std::vector<std::string> all;
  for (const std::string& told : home.told()) {
    if (told.starts_with(subject)) all.push_back(told.substr(subject.size()));
  }
  return all;
}

// The lines of the log with these words.
inline std::vector<std::string> log_of(const Home& home, const std::string& words) {
  std::vector<std::string> lines;
  for (const std::string& line : home.broker.log) {
    if (line.find(words) != std::string::npos) lines.push_back(line);
  }
  return lines;
}

// What stands of a place, a line each.
inline std::string alerts_of(const Home& home, const std::string& place) {
  std::string all;
  for (const auto& [topic, text] : home.broker.retained) {
    if (topic.starts_with("homie/5/place-" + place + "/$alert/")) all += text + "\n";
  }
  return all;
}

}  // namespace wheymark::test
