// What the judges share. Which households are judged: those of the gate, or
// WHEYMARK_JUDGE_SEEDS="from-to".
#pragma once

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <stdexcept>
#include <string>
#include <vector>

namespace wheymark::simulation {

struct Seeds {
  std::uint64_t from;
  std::uint64_t to;
};

inline Seeds seeds_to_judge(Seeds seeds) {
  const char* given = std::getenv("WHEYMARK_JUDGE_SEEDS");
  if (given == nullptr) return seeds;
  const std::string text = given;
  const std::size_t dash = text.find('-');
  if (dash == std::string::npos) throw std::runtime_error("WHEYMARK_JUDGE_SEEDS is from-to");
  std::from_chars(text.data(), text.data() + dash, seeds.from);
  std::from_chars(text.data() + dash + 1, text.data() + text.size(), seeds.to);
  return seeds;
}

inline double median(std::vector<double> values) {
  if (values.empty()) return std::nan("");
  std::sort(values.begin(), values.end());
  const std::size_t middle = values.size() / 2;
  return values.size() % 2 == 1 ? values[middle] : 0.5 * (values[middle - 1] + values[middle]);
}

}  // namespace wheymark::simulation
