// What does a small text file say, and where is it?
#pragma once

#include <cstddef>
#include <string>

namespace wheymark {

// The whole file. Throws WorldIsWrong, naming the file, when it cannot be read or is larger than
// `bytes_max`.
[[nodiscard]] std::string whole_text_of(const std::string& file, std::size_t bytes_max);

// The absolute path of the folder that `file` lies in; throws as above.
[[nodiscard]] std::string folder_of(const std::string& file);

}  // namespace wheymark
