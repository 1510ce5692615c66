#include "plugin/daemon/manual_page.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <sstream>
#include <vector>

#include "plugin/daemon/log.hpp"

namespace wheymark {
namespace {

// What the description of the command line does not have.
constexpr std::string_view description = R"(.SH DESCRIPTION
.B wheymarkd
listens to the room thermometers of a home and to what its people say over MQTT, computes how far
each jar of milk kefir has come and when it will peak, and publishes that as Homie 5 devices and
CloudEvents. It waits for a broker that is not there yet or goes away, for as long as it takes.
.PP
It is a host of the shared library libwheymark, which does all of it but the connection; the
configuration is described in
.BR wheymark.json (5).
)";

constexpr std::string_view after_the_commands = R"(.SH SIGNALS
.TP
.BR SIGTERM ", " SIGINT
Say goodbye, make everything durable and end, within two seconds.
.TP
.B SIGHUP
Read the configuration again (not the files that it names, unless the broker's address has changed).
Jars come and go; batches, bottles and what was learned stay in the store. A configuration that is
refused is told, and the one of before goes on.
.SH ENVIRONMENT
.TP
.BR NOTIFY_SOCKET ", " WATCHDOG_USEC ", " WATCHDOG_PID
Set by
.BR systemd (1)
when it wants to know how the daemon is; see
.BR sd_notify (3).
.TP
.B JOURNAL_STREAM
When standard error is the system journal, every line begins with its priority.
.SH FILES
.TP
.I /etc/wheymark/household.json
The configuration of the packaged service.
.TP
.I /var/lib/wheymark/wheymark.db
Its store: a SQLite database that one daemon at a time may open. Besides,
.I wheymark.db\-wal
while it is open, and
.I wheymark.db.damaged\-\fR...
when a damaged one had to be set aside.
.SH SEE ALSO
.BR wheymark.json (5),
.BR mosquitto (8),
.BR systemd (1)
)";

std::string upper(std::string text) {
  for (char& letter : text) {
    if (letter >= 'a' && letter <= 'z') letter = static_cast<char>(letter - 'a' + 'A');
  }
  return text;
}

std::vector<const CLI::App*> commands_of(const CLI::App& app) {
  return app.get_subcommands([](const CLI::App* one) { return !one->get_group().empty(); });
}

std::string names_of(const CLI::Option& option) {
  std::vector<std::string> names;
  for (const std::string& letter : option.get_snames()) names.push_back("-" + letter);
  for (const std::string& word : option.get_lnames()) names.push_back("--" + word);
  return fmt::format("{}", fmt::join(names, ", "));
}

// "FILE", "LEVEL [notice]", or nothing for a flag.
std::string value_of(const CLI::Option& option) {
  if (!option.get_option_text().empty()) return option.get_option_text();
  return option.get_items_expected_max() == 0 ? "" : option.get_type_name();
}

std::string option_of(const CLI::Option& option) {
  std::string entry = ".TP\n\\fB" + roff_of(names_of(option)) + "\\fR";
  if (const std::string value = value_of(option); !value.empty()) {
    entry += " \\fI" + roff_of(value) + "\\fR";
  }
  return entry + "\n" + roff_of(option.get_description()) +
         (option.get_required() ? " (required)" : "") + "\n";
}

// Indented lines are examples and keep their breaks.
std::string footer_of(const CLI::App& command, const CLI::App& app) {
  std::string footer = command.get_footer();
  if (footer.empty() || footer == app.get_footer()) return "";
  std::istringstream lines(footer);
  std::string page = ".PP\n";
  for (std::string line; std::getline(lines, line);) {
    page += line.rfind("  ", 0) == 0 ? ".PP\n.EX\n" + roff_of(line) + "\n.EE\n.PP\n"
                                     : roff_of(line) + "\n";
  }
  return page;
}

}  // namespace

std::string roff_of(std::string_view text) {
  std::string roff;
  bool line_begins = true;
  for (const char letter : text) {
    if (line_begins && (letter == '.' || letter == '\'')) roff += "\\&";
    line_begins = letter == '\n';
    if (letter == '-') {
      roff += "\\-";
    } else if (letter == '\\') {
      roff += "\\e";
    } else {
      roff += letter;
    }
  }
  return roff;
}

std::string manual_page_of(const CLI::App& app, std::string_view version) {
  std::string page = fmt::format(
      ".\\\" Made by `wheymarkd manual`.\n.TH {} 1 \"\" \"wheymark {}\" \"User Commands\"\n"
      ".SH NAME\n{} \\- {}\n.SH SYNOPSIS\n",
      upper(app.get_name()), version, app.get_name(), roff_of(app.get_description()));
  for (const CLI::App* command : commands_of(app)) {
    page += fmt::format(".B {} {}\n[\\fIoptions\\fR]\n.br\n", app.get_name(), command->get_name());
  }
  page += description;
  page += ".SH COMMANDS\n";
  for (const CLI::App* command : commands_of(app)) {
    page += fmt::format(".SS {}\n{}.\n", command->get_name(), roff_of(command->get_description()));
    for (const CLI::Option* option : command->get_options()) page += option_of(*option);
    page += footer_of(*command, app);
  }
  page += ".SH OPTIONS\n";
  for (const CLI::Option* option : app.get_options()) page += option_of(*option);
  const std::string footer = app.get_footer();
  page += ".SH EXIT STATUS\n" + roff_of(footer.substr(footer.find(": ") + 2));
  page += after_the_commands;
  return page;
}

std::string bash_completion_of(const CLI::App& app) {
  std::vector<std::string> commands;
  std::string cases;
  for (const CLI::App* command : commands_of(app)) {
    commands.push_back(command->get_name());
    std::vector<std::string> words;
    for (const CLI::Option* option : command->get_options()) {
      for (const std::string& word : option->get_lnames()) words.push_back("--" + word);
    }
    cases += fmt::format("    {}) words='{}' ;;\n", command->get_name(), fmt::join(words, " "));
  }
  return fmt::format(R"(# bash completion for wheymarkd; made by `wheymarkd manual`.
_wheymarkd() {{
  local current=${{COMP_WORDS[COMP_CWORD]}} previous=${{COMP_WORDS[COMP_CWORD-1]}}
  local words='{} --help --version'
  COMPREPLY=()
  case $previous in
    --config|--store) compopt -o filenames; COMPREPLY=($(compgen -f -- "$current")); return ;;
    --log-level) COMPREPLY=($(compgen -W '{}' -- "$current")); return ;;
  esac
  case ${{COMP_WORDS[1]}} in
{}  esac
  [ "$COMP_CWORD" -gt 1 ] || words='{} --help --version'
  COMPREPLY=($(compgen -W "$words" -- "$current"))
}}
complete -F _wheymarkd wheymarkd
)",
                     fmt::join(commands, " "), fmt::join(log_level_words, " "), cases,
                     fmt::join(commands, " "));
}

}  // namespace wheymark
