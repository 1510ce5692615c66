// wheymarkd: a host of libwheymark for a household's MQTT broker.
//
//   wheymarkd run --config FILE       lives on the broker until SIGTERM; SIGHUP reads FILE again
//   wheymarkd check --config FILE     prints what is wrong with the configuration, or what it means
//   wheymarkd replay --config FILE    runs recorded traffic instead of a broker
//   wheymarkd plan --config FILE      prints when to feed, with what, or what to do with a jar now
//   wheymarkd explain --config FILE   prints why we believe what we believe of a jar
//   wheymarkd export --config FILE    prints what the journal knows of batches, bottles and grains
//   wheymarkd remember --config FILE  takes in a table of batches of before
//
// Exit status: 0 all went well, 1 the world was wrong (a file, the configuration, a line of the
// traffic), 2 the call was wrong.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iostream>
#include <map>
#include <string>
#include <vector>

#include "plugin/daemon/asking.hpp"
#include "plugin/daemon/configuration_manual.hpp"
#include "plugin/daemon/loaded_instance.hpp"
#include "plugin/daemon/log.hpp"
#include "plugin/daemon/manual_page.hpp"
#include "plugin/daemon/replay.hpp"
#include "plugin/daemon/run.hpp"
#include "plugin/daemon/text_file.hpp"
#include "plugin/daemon/world_is_wrong.hpp"

namespace wheymark {
namespace {

constexpr int all_went_well = 0;
constexpr int world_was_wrong = 1;
constexpr int call_was_wrong = 2;

constexpr const char* in_memory = ":memory:";  // the library's word for a store that keeps nothing
constexpr std::size_t configuration_bytes_max = 16UL * 1024 * 1024;  // 10,000 jars fit
constexpr std::size_t csv_bytes_max = 4UL * 1024 * 1024;             // 20,000 batches fit

struct Call {
  std::string config;
  std::string store;
  std::string clock_topic;
  LogLevel log_level = LogLevel::notice;
  std::string what;
  std::string format;
  std::string month;
  std::string csv;
  Question question;
};

// The forms in which each thing is exported; the first when none is asked for.
struct Exported {
  std::string_view what;
  std::vector<std::string_view> formats;
};

const std::vector<Exported>& all_exported() {
  static const std::vector<Exported> all{{"batches", {"csv", "json"}},
                                         {"bottles", {"csv", "json"}},
                                         {"cultures", {"csv", "json"}},
                                         {"readings", {"csv", "json"}},
                                         {"all", {"json"}},
                                         {"curves", {"csv"}},
                                         {"inventory", {"txt", "json"}},
                                         {"month", {"txt", "svg"}}};
  return all;
}

// "a, b or c".
template <class Words>
std::string listed(const Words& words) {
  return fmt::format("{} or {}", fmt::join(words.begin(), words.end() - 1, ", "), words.back());
}

// "batches.csv", "month.svg 2027-03"; throws what CLI11 tells as a wrong call.
std::string document_name(const Call& call) {
  // JSON holds everything in one document, CSV one table.
  const std::string what = !call.what.empty()      ? call.what
                           : call.format == "json" ? "all"
                                                   : "batches";
  const auto& all = all_exported();
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Exported& e) { return e.what == what; });
  if (found == all.end()) throw CLI::ValidationError("--what", "is not one of the documents");
  const std::string format =
      call.format.empty() ? std::string(found->formats.front()) : call.format;
  if (std::find(found->formats.begin(), found->formats.end(), format) == found->formats.end()) {
    throw CLI::ValidationError("--format", fmt::format("{} is written as {}, not as {}", what,
                                                       fmt::join(found->formats, " or "), format));
  }
  if (!call.month.empty() && what != "month") {
    throw CLI::ValidationError("--month", "is for --what month");
  }
  return what + "." + format + (call.month.empty() ? "" : " " + call.month);
}

// A file name on the command line is relative to the working directory, one in the configuration to
// the configuration's folder.
std::string meant_from_here(const std::string& store) {
  if (store.empty() || store == in_memory) return store;
  return std::filesystem::absolute(store).string();
}

Settings settings_of(const Call& call) {
  return {whole_text_of(call.config, configuration_bytes_max), folder_of(call.config),
          meant_from_here(call.store)};
}

// For `check`: what was understood is the answer, so it goes to stdout.
class Answer : public HostOfInstance {
 public:
  explicit Answer(const Log& log) : log_(log) {}
  bool publish(Outgoing) override { return false; }
  bool subscribe(std::string_view, std::uint8_t) override { return false; }
  void log(wheymark_level level, std::string_view line) override {
    if (level == WHEYMARK_NOTICE) {
      fmt::print("{}\n", without_control_characters(line));
    } else {
      log_.line(static_cast<LogLevel>(level), line);
    }
  }

 private:
  const Log& log_;
};

int check(const Call& call, const Log& log) {
  Answer answer(log);
  return configuration_is_good(answer, settings_of(call)) ? all_went_well : world_was_wrong;
}

int run(const Call& call, const Log& log) {
  Run([&call] { return settings_of(call); }, call.clock_topic, log).until_stopped();
  return all_went_well;
}

int replay_stdin(const Call& call, const Log& log) {
  Settings settings = settings_of(call);
  if (settings.store.empty()) settings.store = in_memory;
  std::ios::sync_with_stdio(false);
  replay(settings, std::cin, stdout, log);
  return all_went_well;
}

int print_page(const std::string& page, const CLI::App& app) {
  if (page == "wheymarkd.1") fmt::print("{}", manual_page_of(app, library_version()));
  if (page == "wheymark.json.5") fmt::print("{}", configuration_manual(library_version()));
  if (page == "bash-completion") fmt::print("{}", bash_completion_of(app));
  return all_went_well;
}

// Logs, and publishes nothing: the past is only read.
class Reader : public HostOfInstance {
 public:
  explicit Reader(const Log& log) : log_(log) {}
  bool publish(Outgoing) override { return false; }
  bool subscribe(std::string_view, std::uint8_t) override { return false; }
  void log(wheymark_level level, std::string_view line) override {
    log_.line(static_cast<LogLevel>(level), line);
  }

 private:
  const Log& log_;
};

int export_to_stdout(const Call& call, const std::string& name, const Log& log) {
  Reader reader(log);
  LoadedInstance instance(reader, settings_of(call));
  const auto now = std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
  const std::string text = instance.exported(name, now.time_since_epoch().count());
  const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (!written || std::fflush(stdout) != 0) {
    throw WorldIsWrong("the output could not be written");
  }
  return all_went_well;
}

int remember_file(const Call& call, const Log& log) {
  const std::string table = whole_text_of(call.csv, csv_bytes_max);
  Reader reader(log);
  LoadedInstance instance(reader, settings_of(call));
  const auto now = std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
  fmt::print("{}\n", instance.remember(table, now.time_since_epoch().count()));
  return all_went_well;
}

int answer_on_stdout(const Call& call, const Log& log) {
  Reader reader(log);
  LoadedInstance instance(reader, settings_of(call));
  const auto system = std::chrono::system_clock::now().time_since_epoch();
  const std::int64_t now_ms =
      call.question.at_ms.value_or(std::chrono::floor<std::chrono::milliseconds>(system).count());
  const std::string answer = instance.answer_to(call.question.json(), now_ms);
  const std::string text = call.question.as_json ? answer + "\n" : text_to_read(answer);
  const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (!written || std::fflush(stdout) != 0) {
    throw WorldIsWrong("the output could not be written");
  }
  return all_went_well;
}

void add_export_options(CLI::App& command, Call& call) {
  command.add_option("--store", call.store, "Read the journal here, not as configured")
      ->check(CLI::ExistingFile)
      ->type_name("FILE");
  std::vector<std::string> whats;
  for (const Exported& exported : all_exported()) whats.emplace_back(exported.what);
  command.add_option("--what", call.what, listed(whats))
      ->check(CLI::IsMember(whats))
      ->option_text("WHAT [batches; all with json]");
  command
      .add_option("--format", call.format,
                  "csv or json for tables, txt or json for the inventory, txt or svg for a month")
      ->check(CLI::IsMember({"csv", "json", "txt", "svg"}))
      ->option_text("FORMAT [the first]");
  command
      .add_option("--month", call.month, "Which month, such as 2027-03; else the last one told of")
      ->type_name("YYYY-MM");
  command.footer("A daemon that is running has the store to itself: stop it, or export a copy.");
}

void add_remember_options(CLI::App& command, Call& call) {
  command.add_option("--csv", call.csv, "The table, with a line for each batch")
      ->required()
      ->type_name("FILE");
  command.add_option("--store", call.store, "Keep the journal here, not as configured")
      ->type_name("FILE");
  command.footer(
      "The first line names the columns, as those of `wheymarkd export --what batches`: started\n"
      "is required, and strained or hours; jar, culture, milk, milk_ml, grain_g, milk_c, room_c,\n"
      "peak (when whey pockets were seen) and verdict say more. What the configuration gives need\n"
      "not be said. All lines count or none, and a batch that is known already changes nothing.\n"
      "A daemon that is running has the store to itself: stop it first.");
}

void add_common_options(CLI::App& command, Call& call) {
  std::map<std::string, LogLevel> levels;
  for (std::size_t i = 0; i < log_level_words.size(); ++i) {
    levels[std::string(log_level_words[i])] = static_cast<LogLevel>(i);
  }
  command.add_option("--config", call.config, "The configuration, JSON")
      ->required()
      ->type_name("FILE");
  command
      .add_option("--log-level", call.log_level,
                  "How much to tell on stderr: " + listed(log_level_words))
      ->transform(CLI::CheckedTransformer(levels))
      ->option_text("LEVEL [notice]");
}

// Throws only while it describes its options; such a mistake of ours may end the process.
int main(int argc, char** argv) {  // NOLINT(bugprone-exception-escape)
  Call call;
  CLI::App app("Follows jars of milk kefir for a home-automation hub.", "wheymarkd");
  app.require_subcommand(1);
  app.footer(
      "Exit status: 0 all went well; 1 the world was wrong (a file, the configuration, a "
      "line\nof the traffic); 2 the call was wrong.\n");
  app.set_version_flag("--version", [] { return "wheymarkd " + library_version(); });

  CLI::App* run_command = app.add_subcommand(
      "run", "Live on the broker until SIGTERM or SIGINT; SIGHUP reads the configuration again");
  add_common_options(*run_command, call);
  run_command->add_option("--store", call.store, "Keep the journal here, not as configured")
      ->type_name("FILE");
  run_command
      ->add_option("--clock", call.clock_topic,
                   "For demonstrations and tests: take the time from the messages on this topic\n"
                   "(RFC 3339, such as 2027-03-01T08:00:00Z) instead of the system's clock. Time\n"
                   "stands still until the next one comes; then all timers due until that instant\n"
                   "fire in order. The same payload is published on TOPIC/done once the broker\n"
                   "has everything that came of it.")
      ->type_name("TOPIC")
      ->check([](const std::string& topic) {
        return is_topic_to_publish_to(topic) ? std::string() : "must be a topic without + and #";
      });

  CLI::App* check_command = app.add_subcommand(
      "check", "Say what is wrong with the configuration, or what was understood");
  add_common_options(*check_command, call);

  CLI::App* replay_command = app.add_subcommand(
      "replay", "Run recorded traffic (JSON lines on stdin) and print what would be published");
  add_common_options(*replay_command, call);
  replay_command->add_option("--store", call.store, "Keep the journal here; without it, nowhere")
      ->type_name("FILE");
  replay_command->footer(
      "One object a line, in the order of time:\n"
      "  "
      "{\"at\":\"2027-03-01T08:00:00Z\",\"topic\":\"house/kitchen/climate\",\"payload\":\"21.4\"}\n"
      "with \"retain\" and \"qos\" if need be; {\"at\":\"...\"} alone lets time pass. The output "
      "has\nthe same form.");

  CLI::App* export_command = app.add_subcommand(
      "export", "Write what the journal tells of batches, bottles, grains and readings");
  add_common_options(*export_command, call);
  add_export_options(*export_command, call);
  CLI::App* plan_command = app.add_subcommand(
      "plan",
      "Say when to feed, with how much and where; or what to do with a jar that is running");
  add_common_options(*plan_command, call);
  add_plan_options(*plan_command, call.question, call.store);
  CLI::App* explain_command =
      app.add_subcommand("explain", "Say why of a jar is believed what is believed");
  add_common_options(*explain_command, call);
  add_explain_options(*explain_command, call.question, call.store);
  CLI::App* remember_command = app.add_subcommand(
      "remember", "Take a table of batches of before into the history, and learn from it");
  add_common_options(*remember_command, call);
  add_remember_options(*remember_command, call);
  std::string document;
  // For the package: written at build time from the command line as it stands here.
  std::string page;
  CLI::App* manual_command =
      app.add_subcommand("manual", "Print a page of the manual, or the completion for bash")
          ->group("");
  manual_command->add_option("page", page, "Which")
      ->required()
      ->check(CLI::IsMember({"wheymarkd.1", "wheymark.json.5", "bash-completion"}));

  try {
    app.parse(argc, argv);
    if (export_command->parsed()) document = document_name(call);
    call.question.fact = explain_command->parsed() ? "explain" : "plan";
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? all_went_well : call_was_wrong;
  }

  const Log log(call.log_level);
  try {
    if (run_command->parsed()) return run(call, log);
    if (manual_command->parsed()) return print_page(page, app);
    if (check_command->parsed()) return check(call, log);
    if (plan_command->parsed() || explain_command->parsed()) return answer_on_stdout(call, log);
    if (export_command->parsed()) return export_to_stdout(call, document, log);
    if (remember_command->parsed()) return remember_file(call, log);
    return replay_stdin(call, log);
  } catch (const std::exception& error) {
    log.error(error.what());
    return world_was_wrong;
  }
}

}  // namespace
}  // namespace wheymark

int main(int argc, char** argv) {  // NOLINT(bugprone-exception-escape)
  return wheymark::main(argc, argv);
}
