// Every `new` of this program and of the libraries that it loads, counted, and refused on request.
//
// libwheymark.so takes its memory from the process's own operator new, as every C++ library does; a
// program that has its own gives it to all of them.
#pragma once

#include <cstdint>

namespace wheymark::test {

// How many allocations are in use now.
std::int64_t pieces_in_use();

// Lets the n-th `new` of this thread from now on fail, and no other; 0: none fails.
void fail_to_give(std::int64_t n);

// While this lives no `new` fails: what a host does while it is called is not the library's.
class EnoughMemory {
 public:
  EnoughMemory();
  ~EnoughMemory();
  EnoughMemory(const EnoughMemory&) = delete;
  EnoughMemory& operator=(const EnoughMemory&) = delete;

 private:
  std::int64_t until_failure_;
};

}  // namespace wheymark::test
