#include "plugin/daemon/asking.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "plugin/daemon/rfc3339.hpp"

namespace wheymark {
namespace {

// As in core/advice/plan_request.hpp; tests/daemon/lists_test.cpp compares them.
const std::vector<std::string> about_words{"feeding", "batch"};
const std::vector<std::string> varied_words{"grain", "milk", "place", "start"};

constexpr const char* instant_like = "2027-03-02T07:00:00Z";

void add_common(CLI::App& command, Question& question, std::string& store) {
  command.add_option("--store", store, "Read the journal here, not as configured")
      ->check(CLI::ExistingFile)
      ->type_name("FILE");
  command.add_flag("--json", question.as_json, "Print the whole answer as one JSON object");
  command
      .add_option_function<std::string>(
          "--at",
          [&question](const std::string& text) {
            question.at_ms = instant_ms_from_rfc3339(text);
            if (!question.at_ms) {
              throw CLI::ValidationError("--at", fmt::format("must be like {}", instant_like));
            }
          },
          "As of this instant, if that is after the journal's last; else now")
      ->type_name("INSTANT");
  command.footer(
      "A daemon that is running has the store to itself: ask it on PREFIX/say, stop it, or read a "
      "copy.");
}

// Nothing ahead is certain, so neither 0 % nor 100 % is printed.
std::string chance(double percent) {
  if (percent > 99.0) return "more than 99 %";
  if (percent < 1.0) return "less than 1 %";
  return fmt::format("{:.0f} %", percent);
}

}  // namespace

void add_plan_options(CLI::App& command, Question& question, std::string& store) {
  command.add_option("--jar", question.jar, "Which jar")->type_name("ID");
  command.add_option("--culture", question.culture, "Which grains; their usual jar then")
      ->type_name("ID");
  command
      .add_option("--ready-by", question.ready_by,
                  "When it should be ready; else whenever somebody is awake")
      ->type_name("INSTANT");
  command
      .add_option(
          "--about", question.about,
          "The next feeding, or the batch that the jar holds; else the batch if it holds one")
      ->check(CLI::IsMember(about_words))
      ->option_text(fmt::format("{}", fmt::join(about_words, "|")));
  command
      .add_option("--vary", question.vary,
                  fmt::format("What may be another than usual: {}; with commas",
                              fmt::join(varied_words, ", ")))
      ->delimiter(',')
      ->check(CLI::IsMember(varied_words))
      ->option_text("WHAT,... [all]");
  command.add_option("--grain-g", question.grain_g, "With so many grams of grains")
      ->type_name("GRAMS");
  command.add_option("--milk-ml", question.milk_ml, "In so much milk")->type_name("ML");
  command.add_option("--place", question.place, "In this room")->type_name("ID");
  command.add_option("--start-at", question.start_at, "Fed at this instant")->type_name("INSTANT");
  add_common(command, question, store);
}

void add_explain_options(CLI::App& command, Question& question, std::string& store) {
  command.add_option("--jar", question.jar, "Which jar")->required()->type_name("ID");
  add_common(command, question, store);
}

std::string Question::json() const {
  nlohmann::json asked = {{"fact", fact}};
  const auto put = [&](const char* key, const std::string& value) {
    if (!value.empty()) asked[key] = value;
  };
  put("about", about);
  put("jar", jar);
  put("culture", culture);
  put("ready_by", ready_by);
  put("start_at", start_at);
  put("place", place);
  if (!vary.empty()) asked["vary"] = vary;
  if (grain_g) asked["grain_g"] = *grain_g;
  if (milk_ml) asked["milk_ml"] = *milk_ml;
  return asked.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

std::string text_to_read(const std::string& answer) {
  const nlohmann::json json = nlohmann::json::parse(answer);
  std::string text;
  if (json.contains("lines")) {
    for (const auto& line : json["lines"]) text += line.get<std::string>() + "\n";
    return text;
  }
  text = json["why"].get<std::string>() + "\n";
  const auto& options = json["options"];
  for (std::size_t i = 1; i < options.size(); ++i) {
    text += fmt::format("Or: {} (a chance of {})\n", options[i]["text"].get<std::string>(),
                        chance(options[i]["chance_percent"].get<double>()));
  }
  return text;
}

}  // namespace wheymark
