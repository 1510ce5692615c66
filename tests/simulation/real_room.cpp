#include "tests/simulation/real_room.hpp"

#include <charconv>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <map>
#include <stdexcept>

namespace wheymark::simulation {
namespace {

constexpr int slots_a_day = 24 * 12;
constexpr int gap_slots_max = 3 * 12;  // bridged; a day with a longer gap is left out

int number_in(const std::string& line, std::size_t from, std::size_t length) {
  int value = 0;
  std::from_chars(line.data() + from, line.data() + from + length, value);
  return value;
}

// The days of the record, each with its readings by slot.
std::map<std::chrono::sys_days, std::map<int, double>> days_of(const std::string& file) {
  std::ifstream in(file);
  if (!in) throw std::runtime_error("cannot read " + file);
  std::map<std::chrono::sys_days, std::map<int, double>> days;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] < '0' || line[0] > '9') continue;
    const std::chrono::sys_days day{std::chrono::year{number_in(line, 0, 4)} /
                                    number_in(line, 5, 2) / number_in(line, 8, 2)};
    const int slot = number_in(line, 11, 2) * 12 + number_in(line, 14, 2) / 5;
    double celsius = 0.0;
    std::from_chars(line.data() + 20, line.data() + line.size(), celsius);
    days[day][slot] = celsius;
  }
  return days;
}

// A whole day in slots; empty when it has a gap.
std::vector<double> filled(const std::map<int, double>& readings) {
  std::vector<double> day;
  const auto first = readings.begin();
  const auto last = std::prev(readings.end());
  if (first->first > gap_slots_max || slots_a_day - last->first > gap_slots_max) return {};
  for (int slot = 0; slot < slots_a_day; ++slot) {
    const auto next = readings.lower_bound(slot);
    if (next == readings.end() || next == first) {
      day.push_back(next == first ? first->second : last->second);
      continue;
    }
    const auto before = std::prev(next);
    if (next->first - before->first > gap_slots_max) return {};
    const double share = static_cast<double>(slot - before->first) /
                         static_cast<double>(next->first - before->first);
    day.push_back(before->second + share * (next->second - before->second));
  }
  return day;
}

}  // namespace

RecordedRoom RecordedRoom::from_csv(const std::string& file) {
  RecordedRoom room;
  for (const auto& [date, readings] : days_of(file)) {
    const std::vector<double> day = filled(readings);
    if (day.empty()) continue;
    room.by_minutes_.insert(room.by_minutes_.end(), day.begin(), day.end());
    ++room.days_;
  }
  if (room.days_ == 0) throw std::runtime_error("no whole day in " + file);
  return room;
}

double RecordedRoom::celsius_at(double hours) const {
  const double slots = static_cast<double>(by_minutes_.size());
  const double place = std::fmod(hours * 12.0, slots);
  const auto left = static_cast<std::size_t>(place);
  const double share = place - static_cast<double>(left);
  const double a = by_minutes_[left];
  const double b = by_minutes_[(left + 1) % by_minutes_.size()];
  return a + share * (b - a);
}

Rooms Rooms::of_the_reference() {
  const std::string folder = std::string(WHEYMARK_SOURCE_DIR) + "/tests/reference/";
  return {{RecordedRoom::from_csv(folder + "room-temperature-2013-hourly.csv"),
           RecordedRoom::from_csv(folder + "room-temperature-february-2015.csv")}};
}

}  // namespace wheymark::simulation
