// wheymarkd: a host of libwheymark for a household's MQTT broker.
//
//   wheymarkd run --config FILE       lives on the broker until SIGTERM
//   wheymarkd check --config FILE     says what is wrong with the configuration, or what it means
//   wheymarkd replay --config FILE    runs recorded traffic instead of a broker
//
// Exit status: 0 all went well, 1 the world was wrong (a file, the configuration, a line of the
// traffic), 2 the call was wrong.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <filesystem>
#include <fmt/format.h>
#include <iostream>
#include <map>
#include <string>

#include "plugin/daemon/loaded_instance.hpp"
#include "plugin/daemon/log.hpp"
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
constexpr std::size_t configuration_bytes_max = 16 * 1024 * 1024;  // 10,000 jars fit

struct Call {
  std::string config;
  std::string store;
  std::string clock_topic;
  LogLevel log_level = LogLevel::notice;
};

// A file named on the command line is meant from here, one named in the configuration from there.
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
  Run(settings_of(call), call.clock_topic, log).until_stopped();
  return all_went_well;
}

int replay_stdin(const Call& call, const Log& log) {
  Settings settings = settings_of(call);
  if (settings.store.empty()) settings.store = in_memory;
  std::ios::sync_with_stdio(false);
  replay(settings, std::cin, stdout, log);
  return all_went_well;
}

void add_common_options(CLI::App& command, Call& call) {
  static const std::map<std::string, LogLevel> levels{{"error", LogLevel::error},
                                                      {"warning", LogLevel::warning},
                                                      {"notice", LogLevel::notice},
                                                      {"debug", LogLevel::debug}};
  command.add_option("--config", call.config, "The configuration, JSON")
      ->required()
      ->type_name("FILE");
  command
      .add_option("--log-level", call.log_level,
                  "How much to tell on stderr: error, warning, notice or debug")
      ->transform(CLI::CheckedTransformer(levels))
      ->option_text("LEVEL [notice]");
}

int main(int argc, char** argv) {
  Call call;
  CLI::App app("Follows jars of milk kefir for a home-automation hub.", "wheymarkd");
  app.require_subcommand(1);
  app.footer(
      "Exit status: 0 all went well; 1 the world was wrong (a file, the configuration, a "
      "line\nof the traffic); 2 the call was wrong.\n");
  app.set_version_flag("--version", [] { return "wheymarkd " + library_version(); });

  CLI::App* run_command = app.add_subcommand("run", "Live on the broker until SIGTERM or SIGINT");
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

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? all_went_well : call_was_wrong;
  }

  const Log log(call.log_level);
  try {
    if (run_command->parsed()) return run(call, log);
    if (check_command->parsed()) return check(call, log);
    return replay_stdin(call, log);
  } catch (const std::exception& error) {
    log.error(error.what());
    return world_was_wrong;
  }
}

}  // namespace
}  // namespace wheymark

int main(int argc, char** argv) {
  return wheymark::main(argc, argv);
}
