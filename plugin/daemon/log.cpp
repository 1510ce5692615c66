#include "plugin/daemon/log.hpp"

#include <array>
#include <cstdio>
#include <cstdlib>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

namespace wheymark {
namespace {

struct Style {
  std::string_view name;
  int priority;  // as in syslog(3)
};
constexpr std::array<Style, 4> styles{{{"error", 3}, {"warning", 4}, {"notice", 5}, {"debug", 7}}};

// JOURNAL_STREAM names the device and inode of the journal's socket; a child whose stderr was
// redirected inherits the variable too, so only a stderr that really is that socket counts.
bool stderr_is_the_journal() {
  const char* journal = std::getenv("JOURNAL_STREAM");
  struct stat file {};
  if (journal == nullptr || fstat(STDERR_FILENO, &file) != 0) return false;
  return fmt::format("{}:{}", file.st_dev, file.st_ino) == journal;
}

}  // namespace

Log::Log(LogLevel most_talkative)
    : most_talkative_(most_talkative), journal_(stderr_is_the_journal()) {}

void Log::line(LogLevel level, std::string_view text) const {
  if (level > most_talkative_) return;
  const Style& style = styles.at(static_cast<std::size_t>(level));
  const std::string whole =
      journal_ ? fmt::format("<{}>{}\n", style.priority, without_control_characters(text))
               : fmt::format("{}: {}\n", style.name, without_control_characters(text));
  std::fwrite(whole.data(), 1, whole.size(), stderr);
}

std::string without_control_characters(std::string_view text) {
  std::string clean;
  clean.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const auto next = i + 1 < text.size() ? static_cast<unsigned char>(text[i + 1]) : 0;
    if (byte == '\n') {
      clean += "\\n";
    } else if (byte == '\t') {
      clean += "\\t";
    } else if (byte < 0x20 || byte == 0x7f) {
      clean += fmt::format("\\x{:02x}", byte);
    } else if (byte == 0xc2 && next >= 0x80 && next <= 0x9f) {
      clean += fmt::format("\\x{:02x}", next);
      ++i;
    } else {
      clean += text[i];
    }
  }
  return clean;
}

}  // namespace wheymark
