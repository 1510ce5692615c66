#include "plugin/store/set_aside.hpp"

#include <array>
#include <filesystem>
#include <fmt/format.h>
#include <string_view>
#include <system_error>

namespace wheymark {

namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 4> endings{"", "-wal", "-shm", "-journal"};
constexpr int damaged_files_max = 1'000;  // by then it is the disk that needs help

bool is_taken(const std::string& name) {
  std::error_code ignored;
  // A name that cannot be examined counts as taken; a link to nowhere is taken, too.
  return fs::symlink_status(name, ignored).type() != fs::file_type::not_found;
}

bool is_free_with_all_endings(const std::string& name) {
  for (const std::string_view ending : endings) {
    if (is_taken(name + std::string(ending))) return false;
  }
  return true;
}

}  // namespace

Result<std::string> set_aside(const std::string& file) {
  int n = 1;
  while (n <= damaged_files_max && !is_free_with_all_endings(fmt::format("{}.damaged-{}", file, n)))
    ++n;
  if (n > damaged_files_max) {
    return Refusal{fmt::format("{} damaged files are beside it already", damaged_files_max)};
  }
  std::string name = fmt::format("{}.damaged-{}", file, n);
  for (const std::string_view ending : endings) {
    const std::string from = file + std::string(ending);
    if (!is_taken(from)) continue;
    std::error_code error;
    fs::rename(from, name + std::string(ending), error);
    if (error) return Refusal{fmt::format("{} cannot be renamed: {}", from, error.message())};
  }
  return name;
}

}  // namespace wheymark
