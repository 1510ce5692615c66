// A folder for one world, gone afterwards.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <gtest/gtest.h>
#include <stdexcept>
#include <string>

namespace wheymark::faults {

class Folder {
 public:
  Folder() {
    // In memory where there is such a folder: two hundred worlds shall not wear a disk.
    const std::string in_memory = "/dev/shm/";
    std::string name = std::filesystem::exists(in_memory) ? in_memory : testing::TempDir();
    name += "wheymark-world-XXXXXX";
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder");
    path = name;
  }
  ~Folder() { std::filesystem::remove_all(path); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::string path;
};

}  // namespace wheymark::faults
