// A folder for one test, gone afterwards.
#pragma once

#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <stdexcept>
#include <stdlib.h>
#include <string>

namespace wheymark::test {

class TemporaryFolder {
 public:
  TemporaryFolder() {
    // In memory where there is such a folder: hundreds of stores shall not wear a disk.
    const std::string in_memory = "/dev/shm/";
    std::string name = std::filesystem::exists(in_memory) ? in_memory : ::testing::TempDir();
    name += "wheymark-XXXXXX";
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
    path_ = name;
  }
  ~TemporaryFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;

  [[nodiscard]] std::string path() const { return path_; }
  [[nodiscard]] std::string path_of(const std::string& name) const { return path_ / name; }

  // Writes a file and returns its path.
  std::string file(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
    return path_of(name);
  }

 private:
  std::filesystem::path path_;
};

inline std::string text_of_file(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace wheymark::test
