// What does the manual say about the commands, and what may a shell complete?
//
// Made from the command line itself, so that help, manual and completion cannot differ. Called when
// the package is built (`wheymarkd manual`), never while a jar is followed.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <string_view>

namespace wheymark {

// wheymarkd(1), as roff.
[[nodiscard]] std::string manual_page_of(const CLI::App& app, std::string_view version);

// For bash: the commands, their options, and files where a file is wanted.
[[nodiscard]] std::string bash_completion_of(const CLI::App& app);

// Text as roff shows it literally, hyphens as one types them.
[[nodiscard]] std::string roff_of(std::string_view text);

}  // namespace wheymark
