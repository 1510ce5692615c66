// Any payload of a thermometer's topic is a finite temperature, or nothing, or is told with words.
#include <cmath>
#include <cstdlib>

#include "plugin/wire/reading_text.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace wheymark;
  const std::string_view payload(reinterpret_cast<const char*>(bytes), size);
  static const ThermometerSetup plain{"/p", "t", {}, {}, TemperatureUnit::celsius,
                                      1.0,  {},  {}, 0.0};
  static const ThermometerSetup deep{
      "/p", "t", "/a/0/~1", "/at", TemperatureUnit::fahrenheit, 0.1, {{"/b", "1"}}, {}, -10.0};
  const ZoneOffset utc = [](Instant) { return std::chrono::minutes{0}; };
  for (const ThermometerSetup* plan : {&plain, &deep}) {
    const Heard heard = heard_in(payload, *plan, utc);
    const auto* read = std::get_if<ReadingSaid>(&heard);
    const auto* wrong = std::get_if<NotUnderstood>(&heard);
    if (read != nullptr && !std::isfinite(read->temperature.degrees())) abort();
    if (wrong != nullptr && wrong->what.empty()) abort();
    (void)names_in(payload, *plan);
  }
  return 0;
}
