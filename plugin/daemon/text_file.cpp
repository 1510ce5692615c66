#include "plugin/daemon/text_file.hpp"

#include <array>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <fmt/format.h>
#include <memory>
#include <system_error>

#include "plugin/daemon/world_is_wrong.hpp"

namespace wheymark {
namespace {

std::string why(int error_number) {
  return std::generic_category().message(error_number);
}

}  // namespace

std::string whole_text_of(const std::string& file, std::size_t bytes_max) {
  errno = 0;
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> open(std::fopen(file.c_str(), "rb"),
                                                             &std::fclose);
  if (!open) throw WorldIsWrong(fmt::format("cannot read {}: {}", file, why(errno)));
  // Piece by piece: a buffer for the largest file would stay allocated with a small text for years.
  std::string text;
  std::array<char, 4096> piece{};
  while (text.size() <= bytes_max) {
    const std::size_t length = std::fread(piece.data(), 1, piece.size(), open.get());
    if (length == 0) break;
    text.append(piece.data(), length);
  }
  if (std::ferror(open.get()) != 0) {  // a folder opens, but does not read
    throw WorldIsWrong(fmt::format("cannot read {}: {}", file, why(errno)));
  }
  if (text.size() > bytes_max) {
    throw WorldIsWrong(
        fmt::format("{} is larger than {} bytes, which is the most allowed", file, bytes_max));
  }
  return text;
}

std::string folder_of(const std::string& file) {
  std::error_code error;
  const std::filesystem::path whole = std::filesystem::absolute(file, error);
  if (error) throw WorldIsWrong(fmt::format("cannot find {}: {}", file, error.message()));
  return whole.parent_path().string();
}

}  // namespace wheymark
