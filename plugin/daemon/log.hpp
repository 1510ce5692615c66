// Where does a line for the person who runs the daemon go, and is it worth one?
//
// To stderr, one line each, nothing repeated. When stderr is the system journal, a line begins
// with its priority ("<4>") as sd-daemon(3) has it, so that the journal can colour and filter it.
// What came from outside may hold anything, so control characters are written as escapes: a topic
// cannot forge a second line. Used by one thread only.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace wheymark {

enum class LogLevel { error, warning, notice, debug };

// In that order.
inline constexpr std::array<std::string_view, 4> log_level_words{"error", "warning", "notice",
                                                                 "debug"};

class Log {
 public:
  // Writes lines up to and including `most_talkative`.
  explicit Log(LogLevel most_talkative);

  void line(LogLevel level, std::string_view text) const;
  void error(std::string_view text) const { line(LogLevel::error, text); }
  void warning(std::string_view text) const { line(LogLevel::warning, text); }
  void notice(std::string_view text) const { line(LogLevel::notice, text); }
  void debug(std::string_view text) const { line(LogLevel::debug, text); }

 private:
  LogLevel most_talkative_;
  bool journal_;
};

// `text` with control characters (C0, DEL and the C1 ones of UTF-8) as \n, \t or \xHH.
[[nodiscard]] std::string without_control_characters(std::string_view text);

}  // namespace wheymark
