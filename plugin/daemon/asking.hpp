// `wheymarkd plan` and `wheymarkd explain`: from the command line to a question, and from the
// answer to text that can be read aloud.
#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace wheymark {

// What is left out is not asked for; the library checks the rest.
struct Question {
  std::string fact;  // "plan" or "explain"
  std::string about;
  std::string jar;
  std::string culture;
  std::string ready_by;
  std::string start_at;
  std::string place;
  std::vector<std::string> vary;
  std::optional<double> grain_g;
  std::optional<double> milk_ml;
  std::optional<std::int64_t> at_ms;
  bool as_json = false;

  // In the words of plugin/wheymark.h.
  [[nodiscard]] std::string json() const;
};

void add_plan_options(CLI::App& command, Question& question, std::string& store);
void add_explain_options(CLI::App& command, Question& question, std::string& store);

// An answer of the library, as lines to read.
std::string text_to_read(const std::string& answer);

}  // namespace wheymark
