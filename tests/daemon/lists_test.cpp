// Is each list of words that a text, a schema or an example repeats the same as its vocabulary?
//
// The vocabularies (core/basis/words.hpp) own the words; commands and exports belong to the command
// line. Whoever adds a word is led here to every place that needs it.
#include <algorithm>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <map>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "core/advice/plan_request.hpp"
#include "core/advice/steering.hpp"
#include "core/air/thermometer.hpp"
#include "core/announce/announcement.hpp"
#include "core/household/jar_state.hpp"
#include "core/notice/notice.hpp"
#include "core/record/facts.hpp"
#include "core/record/setup.hpp"
#include "plugin/configuration/announce.hpp"
#include "plugin/configuration/configuration.hpp"
#include "plugin/wire/press.hpp"
#include "plugin/wire/question.hpp"
#include "tests/daemon/process.hpp"

namespace wheymark::test {
namespace {

using nlohmann::json;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::IsSupersetOf;
using ::testing::Not;
using ::testing::UnorderedElementsAreArray;

using Words = std::vector<std::string>;

template <class Enum>
Words words_in() {
  Words words;
  for (const auto& entry : Vocabulary<Enum>::words) words.emplace_back(entry.text);
  return words;
}

// What a person may put at "fact": facts and questions.
Words sayable() {
  Words words(fact_words.begin(), fact_words.end());
  for (const std::string& question : words_in<QuestionKind>()) words.push_back(question);
  return words;
}

// The vocabulary of a key of the configuration, a message or an answer that takes one word of a
// few.
const std::map<std::string, Words>& words_at_key() {
  static const std::map<std::string, Words> words{{"milk", words_in<MilkKind>()},
                                                  {"treatment", words_in<Treatment>()},
                                                  {"lid", words_in<Lid>()},
                                                  {"kind", words_in<PlaceKind>()},
                                                  {"unit", words_in<TemperatureUnit>()},
                                                  {"protocol", words_in<MqttProtocol>()},
                                                  {"each", words_in<Each>()},
                                                  {"sign", words_in<Sign>()},
                                                  {"verdict", words_in<Verdict>()},
                                                  {"colour", words_in<GrainColour>()},
                                                  {"smell", words_in<GrainSmell>()},
                                                  {"use", words_in<SpareUse>()},
                                                  {"about", words_in<About>()},
                                                  {"vary", words_in<Varied>()},
                                                  {"step", words_in<Remedy>()}};
  return words;
}

std::string text_in_tree(const std::string& name) {
  const std::string text = text_of_file(std::string(WHEYMARK_SOURCE_DIR) + "/" + name);
  if (text.empty()) throw std::runtime_error(name + " is not there");
  return text;
}

std::string printed_by(Words words) {
  words.insert(words.begin(), WHEYMARKD);
  Process process(words);
  EXPECT_TRUE(process.exit_status().has_value());
  return process.out() + process.err();
}

// The text from `begin` up to the next `end`.
std::string passage(const std::string& text, const std::string& begin, const std::string& end) {
  const std::size_t from = text.find(begin);
  if (from == std::string::npos) throw std::runtime_error("no \"" + begin + "\"");
  const std::size_t until = text.find(end, from + begin.size());
  if (until == std::string::npos) throw std::runtime_error("no \"" + end + "\"");
  return text.substr(from + begin.size(), until - from - begin.size());
}

Words all_matches(const std::string& text, const std::string& pattern) {
  const std::regex rule(pattern);
  Words found;
  for (std::sregex_iterator it(text.begin(), text.end(), rule), end; it != end; ++it) {
    found.push_back((*it)[1].str());
  }
  return found;
}

// The `words` of a passage of README. Code that is no single word (topics, keys) does not count.
Words listed_in_readme(const std::string& begin, const std::string& end) {
  return all_matches(passage(text_in_tree("README.md"), begin, end), "`([a-z][a-z-]*)`");
}

// --- README --------------------------------------------------------------------------------------

TEST(Lists, ReadmeNamesEveryKindOfEventAndNoOther) {
  EXPECT_THAT(listed_in_readme("**Events** on", "When one comes"),
              UnorderedElementsAreArray(words_in<EventKind>()));
}

TEST(Lists, ReadmeNamesEveryKindOfNotice) {
  EXPECT_THAT(listed_in_readme("with the one thing to\n     do.", "(`home.waking`)"),
              IsSupersetOf(words_in<NoticeKind>()));
}

TEST(Lists, ReadmeNamesEveryStageAndNoOther) {
  EXPECT_THAT(listed_in_readme("`batch/stage` (", ")"),
              UnorderedElementsAreArray(words_in<Stage>()));
}

TEST(Lists, ReadmeNamesEveryButtonAndSignAndNoOther) {
  EXPECT_THAT(listed_in_readme("One button each:", "to `homie"),
              UnorderedElementsAreArray(words_in<Step>()));
  EXPECT_THAT(listed_in_readme("Or what you see:", "to `homie"),
              UnorderedElementsAreArray(words_in<Sign>()));
}

TEST(Lists, ReadmeNamesEveryFactAndQuestionAndNoOther) {
  EXPECT_THAT(listed_in_readme("The facts about jars are", "`plugin/schemas"),
              UnorderedElementsAreArray(sayable()));
}

TEST(Lists, ReadmeWarnsOfEveryColourOfGrainsThatIsToBeDiscarded) {
  Words to_discard;
  for (const auto& colour : Vocabulary<GrainColour>::words) {
    if (colour.meaning > GrainColour::yellowish) to_discard.emplace_back(colour.text);
  }
  EXPECT_THAT(all_matches(passage(text_in_tree("README.md"), "grains that are", ", or smell"),
                          "\\b(?!or\\b)([a-z]+)"),
              UnorderedElementsAreArray(to_discard));
}

TEST(Lists, ReadmeTellsOfEveryCommandAndNoOther) {
  const std::string help = printed_by({"--help"});
  Words commands = all_matches(help.substr(help.find("Subcommands:")), "\n  ([a-z]+) ");
  EXPECT_THAT(commands, Not(IsEmpty()));
  const Words told = all_matches(text_in_tree("README.md"), "wheymarkd ([a-z]+) --config");
  EXPECT_THAT(std::set<std::string>(told.begin(), told.end()), UnorderedElementsAreArray(commands));
}

TEST(Lists, ReadmeCallsCommandsWithOptionsThatTheyHave) {
  const std::string text = text_in_tree("README.md");
  int options = 0;
  for (const std::string& call : all_matches(text, "`wheymarkd ([a-z]+ [^`]*)`")) {
    const std::string help = printed_by({call.substr(0, call.find(' ')), "--help"});
    for (const std::string& option : all_matches(call, "(--[a-z-]+)")) {
      EXPECT_THAT(help, HasSubstr("  " + option + " ")) << call;
      ++options;
    }
  }
  EXPECT_GE(options, 6);
}

TEST(Lists, ReadmeNamesEverythingThatCanBeExported) {
  // CLI11's refusal lists what is allowed.
  const std::string refusal = printed_by({"export", "--config", "x", "--what", "nothing"});
  const Words exported = all_matches(passage(refusal, "not in {", "}") + ",", "([a-z]+),");
  EXPECT_THAT(exported, Not(IsEmpty()));
  Words told = listed_in_readme("export --config FILE --what batches`", "writes what");
  told.emplace_back("batches");
  EXPECT_THAT(told, UnorderedElementsAreArray(exported));
}

TEST(Lists, DevelopersAreToldEveryStatusOfAThermometer) {
  EXPECT_THAT(all_matches(passage(text_in_tree("DEVELOPERS.md"), "| thermometer status |", "|"),
                          "`([a-z-]+)`"),
              UnorderedElementsAreArray(words_in<ThermometerStatus>()));
}

// --- the schemas ---------------------------------------------------------------------------------

// Every key of a schema below `schema` that has a list of words, with that list.
void collect_lists(const json& schema, std::vector<std::pair<std::string, Words>>& lists) {
  if (schema.is_object() && schema.contains("properties")) {
    for (const auto& [key, property] : schema["properties"].items()) {
      const json& value = property.contains("items") ? property["items"] : property;
      if (value.contains("enum")) lists.emplace_back(key, value["enum"].get<Words>());
    }
  }
  if (schema.is_structured()) {
    for (const json& part : schema) collect_lists(part, lists);
  }
}

json schema(const std::string& name) {
  return json::parse(text_in_tree("plugin/schemas/" + name + ".json"));
}

TEST(Lists, TheSchemasAllowEveryWordOfTheVocabularyAndNoOther) {
  std::set<std::string> seen;
  for (const char* name : {"configuration", "say", "answer"}) {
    std::vector<std::pair<std::string, Words>> lists;
    collect_lists(schema(name), lists);
    for (const auto& [key, words] : lists) {
      ASSERT_TRUE(words_at_key().contains(key)) << name << ".json: which vocabulary has " << key;
      EXPECT_THAT(words, UnorderedElementsAreArray(words_at_key().at(key))) << name << ": " << key;
      seen.insert(key);
    }
  }
  EXPECT_EQ(seen.size(), words_at_key().size()) << "a vocabulary that no schema has";
}

TEST(Lists, TheSchemaOfEventsKnowsEveryKind) {
  const json event = schema("event");
  Words types;
  for (const std::string& kind : words_in<EventKind>()) types.push_back("wheymark." + kind);
  EXPECT_THAT(event["properties"]["type"]["enum"].get<Words>(), UnorderedElementsAreArray(types));

  Words conditions;
  for (const json& rule : event["allOf"]) {
    const std::string type = rule["if"]["properties"]["type"]["const"];
    conditions.push_back(type);
    const std::string kind = type.substr(std::string("wheymark.").size());
    EXPECT_EQ(rule["then"]["properties"]["data"]["$ref"], "#/$defs/" + kind);
    EXPECT_TRUE(event["$defs"].contains(kind)) << kind;
  }
  EXPECT_THAT(conditions, UnorderedElementsAreArray(types));
}

TEST(Lists, TheSchemaOfNoticesKnowsEveryKindAndUrgency) {
  Words types;
  for (const std::string& kind : words_in<NoticeKind>()) {
    types.push_back("wheymark.notice." + kind);
  }
  const json notice = schema("notice");
  EXPECT_THAT(notice["properties"]["type"]["enum"].get<Words>(), UnorderedElementsAreArray(types));
  EXPECT_THAT(notice["properties"]["data"]["properties"]["urgency"]["enum"].get<Words>(),
              UnorderedElementsAreArray(words_in<Urgency>()));
}

TEST(Lists, TheSchemaOfSayingsKnowsEveryFactAndQuestion) {
  const json say = schema("say");
  Words facts;
  for (const json& one : say["oneOf"]) {
    const std::string fact = one["$ref"].get<std::string>().substr(std::string("#/$defs/").size());
    EXPECT_EQ(say["$defs"].at(fact)["properties"]["fact"]["const"], fact);
    facts.push_back(fact);
  }
  EXPECT_THAT(facts, UnorderedElementsAreArray(sayable()));
}

TEST(Lists, TheSchemaOfAnswersKnowsEveryQuestion) {
  EXPECT_THAT(schema("answer")["if"]["properties"]["fact"]["not"]["enum"].get<Words>(),
              UnorderedElementsAreArray(words_in<QuestionKind>()));
}

// --- manual and command line ---------------------------------------------------------------------

// The configuration's keys by part, with what the manual allows for them.
std::map<std::string, std::map<std::string, std::string>> keys_of_the_manual() {
  std::map<std::string, std::map<std::string, std::string>> keys;
  std::string page = printed_by({"manual", "wheymark.json.5"});
  for (std::size_t hyphen; (hyphen = page.find("\\-")) != std::string::npos;) page.erase(hyphen, 1);
  std::istringstream lines(page);
  std::string part;
  const std::regex entry(R"(\\fB(.*)\\fR \(\\fI(.*)\\fR\))");
  std::smatch found;
  for (std::string line, text; std::getline(lines, line);) {
    if (line.rfind(".SS ", 0) == 0) part = line.substr(4);
    if (!std::regex_match(line, found, entry)) continue;
    std::getline(lines, text);
    // "raw, pasteurised or ultra-pasteurised." below a "word", else "C | F | K [C]".
    const std::string value = found[2].str();
    keys[part][found[1].str()] = value.rfind("word", 0) == 0 ? text : value;
  }
  return keys;
}

TEST(Lists, TheManualAllowsEveryWordOfTheVocabularyAndNoOther) {
  int compared = 0;
  for (const auto& [part, keys] : keys_of_the_manual()) {
    for (const auto& [key, value] : keys) {
      const bool is_list =
          value.find(" | ") != std::string::npos || value.find(" or ") != std::string::npos;
      if (!words_at_key().contains(key) && !is_list) continue;
      if (value == "true | false [true]") continue;
      ASSERT_TRUE(words_at_key().contains(key)) << part << ": which vocabulary has " << key;
      std::string list = value.substr(0, value.find_first_of("["));
      list = std::regex_replace(list, std::regex(", required|\\.$"), "");
      list = std::regex_replace(list, std::regex(" or | \\| "), ", ") + ",";
      EXPECT_THAT(all_matches(list, "([A-Za-z0-9.-]+) ?,"),
                  UnorderedElementsAreArray(words_at_key().at(key)))
          << part << "/" << key;
      ++compared;
    }
  }
  EXPECT_EQ(compared, 7) << "milk, treatment, lid, kind, unit, protocol, each";
}

// Below "jars" come "jars" and its own objects; a list counts as the object that it is a list of.
void collect_keys(const json& schema, const std::string& part,
                  std::map<std::string, std::set<std::string>>& keys) {
  const json& object = schema.contains("items") ? schema["items"] : schema;
  if (!object.contains("properties")) return;
  for (const auto& [key, value] : object["properties"].items()) {
    if (!part.empty()) keys[part].insert(key);
    collect_keys(value, part.empty() ? key : part + "/" + key, keys);
  }
}

TEST(Lists, TheSchemaOfTheConfigurationKnowsTheKeysOfTheManual) {
  std::map<std::string, std::set<std::string>> of_schema;
  collect_keys(schema("configuration"), "", of_schema);
  std::map<std::string, std::set<std::string>> of_manual;
  for (const auto& [part, keys] : keys_of_the_manual()) {
    for (const auto& [key, value] : keys) of_manual[part].insert(key);
  }
  EXPECT_EQ(of_schema, of_manual);
}

TEST(Lists, TheCommandLineAsksForWhatThePlanUnderstands) {
  const std::string help = printed_by({"plan", "--help"});
  EXPECT_THAT(all_matches("|" + passage(help, "--about ", " "), "\\|([a-z]+)"),
              UnorderedElementsAreArray(words_in<About>()));
  const std::string refusal = printed_by({"plan", "--config", "x", "--vary", "moon"});
  EXPECT_THAT(all_matches(passage(refusal, "not in {", "}") + ",", "([a-z]+),"),
              UnorderedElementsAreArray(words_in<Varied>()));
}

// --- examples ------------------------------------------------------------------------------------

TEST(Lists, TheExampleAutomationsNameWhatThereIs) {
  const std::string script = text_in_tree("config-examples/automations.sh");
  for (const char* list : {"press JAR STEP  a button:", "which step:"}) {
    const std::string end = list[0] == 'p' ? "\n" : "?";
    EXPECT_THAT(all_matches(passage(script, list, end), "\\b(?!or\\b)([a-z]+)"),
                UnorderedElementsAreArray(words_in<Step>()));
  }
  const Words stages = words_in<Stage>();
  for (const std::string& stage : all_matches(script, "/batch/stage:([a-z-]+)")) {
    EXPECT_THAT(stages, ::testing::Contains(stage));
  }
  const Words kinds = words_in<EventKind>();
  for (std::string kind : all_matches(script, "wheymark\\.([a-z-]+\\*?)[ )]")) {
    const bool any_ending = kind.back() == '*';
    if (any_ending) kind.pop_back();
    EXPECT_TRUE(std::any_of(kinds.begin(), kinds.end(), [&](const std::string& known) {
      return any_ending ? known.starts_with(kind) : known == kind;
    })) << kind;
  }
}

}  // namespace
}  // namespace wheymark::test
