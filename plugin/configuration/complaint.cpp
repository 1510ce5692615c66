#include "plugin/configuration/complaint.hpp"

#include <algorithm>

namespace wheymark {

std::string line_of(const Complaint& complaint) {
  std::string line = complaint.pointer.empty() ? complaint.sentence
                                               : complaint.pointer + ": " + complaint.sentence;
  std::replace_if(
      line.begin(), line.end(),
      [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }, '?');
  return line;
}

}  // namespace wheymark
