// What is wrong at one place of a document, for the person who wrote it.
#pragma once

#include <string>
#include <vector>

namespace wheymark {

struct Complaint {
  std::string pointer;   // JSON Pointer (RFC 6901) to the place; empty for the whole document
  std::string sentence;  // what was found there and what is allowed
};

using Complaints = std::vector<Complaint>;

// The complaint as one line of a log: "/jars/0/place: found ...". Control characters, which a key
// may hold, become question marks.
std::string line_of(const Complaint& complaint);

}  // namespace wheymark
