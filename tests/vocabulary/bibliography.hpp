// The published sources, as core/bibliography.md lists them.
#pragma once

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace wheymark::test {

struct Source {
  std::string key;
  std::string said_of_it;
};

// "* [key] ...", going on in lines that are indented.
inline std::vector<Source> bibliography() {
  std::vector<Source> all;
  const std::regex begins(R"(\* \[([a-z]+[0-9]+)\] (.+))");
  std::ifstream in(std::filesystem::path(WHEYMARK_SOURCE_DIR) / "core/bibliography.md");
  std::smatch entry;
  for (std::string line; std::getline(in, line);) {
    if (std::regex_match(line, entry, begins)) all.push_back({entry[1], entry[2]});
    if (line.starts_with("  ") && !all.empty()) all.back().said_of_it += line.substr(1);
  }
  return all;
}

inline std::set<std::string> keys_of_the_bibliography() {
  std::set<std::string> all;
  for (const Source& source : bibliography()) all.insert(source.key);
  return all;
}

}  // namespace wheymark::test
