// Writes the generated parts of core/README.md and core/sensitivity.svg anew.
#include <fstream>
#include <sstream>

#include "tests/reference/next_step.hpp"

int main() {
  using namespace wheymark::published;
  const std::filesystem::path core = std::filesystem::path(WHEYMARK_SOURCE_DIR) / "core";
  std::stringstream readme;
  readme << std::ifstream(core / "README.md").rdbuf();
  std::ofstream(core / "README.md") << with_next_steps(with_generated_parts(readme.str()));
  std::ofstream(core / "sensitivity.svg") << sensitivity_picture();
}
