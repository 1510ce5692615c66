// A page, a tile, or a file that belongs to them.
#pragma once

#include <string>
#include <string_view>

namespace wheymark {

struct Document {
  std::string content_type;
  std::string body;
};

// The same text as long as the body is the same, as HTTP's ETag with its quotes.
std::string etag_of(std::string_view body);

}  // namespace wheymark
