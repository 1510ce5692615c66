// Writes tests/reference/mutations.md anew; takes some minutes.
#include <fstream>

#include "tests/reference/mutations.hpp"

int main() {
  using namespace wheymark::published;
  std::ofstream(folder() / "mutations.md") << mutation_table();
}
