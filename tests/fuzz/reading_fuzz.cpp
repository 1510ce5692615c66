// Any payload of a thermometer's topic is a finite temperature or is refused with a sentence.
#include <cmath>
#include <cstdlib>

#include "plugin/wire/reading_text.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace wheymark;
  const std::string_view payload(reinterpret_cast<const char*>(bytes), size);
  static const ThermometerSetup plain{"t", std::nullopt, std::nullopt, TemperatureUnit::celsius, 0};
  static const ThermometerSetup deep{"t", "/a/0/~1", "/at", TemperatureUnit::fahrenheit, -10.0};
  for (const ThermometerSetup* plan : {&plain, &deep}) {
    const auto read = reading_from(payload, *plan);
    if (read ? !std::isfinite(read.value().temperature.degrees()) : read.why().empty()) abort();
  }
  return 0;
}
