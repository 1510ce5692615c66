// Any configuration is understood, or refused with at least one complaint.
#include <cstdlib>
#include <variant>

#include "plugin/configuration/configuration.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace wheymark;
  const auto read = configuration_from({reinterpret_cast<const char*>(bytes), size});
  if (const auto* complaints = std::get_if<Complaints>(&read)) {
    if (complaints->empty()) abort();
    for (const auto& complaint : *complaints) (void)line_of(complaint);
  } else {
    (void)understood(std::get<Configuration>(read));
  }
  return 0;
}
