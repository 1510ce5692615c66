// Any message on `say` is refused with a sentence, or is a fact that reads back the same.
#include <cstdlib>

#include "plugin/wire/fact_json.hpp"
#include "plugin/wire/json_text.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace wheymark;
  const auto json = parsed({reinterpret_cast<const char*>(bytes), size}, Comments::refused);
  if (!json) return json.why().empty() ? abort(), 0 : 0;
  for (const std::optional<JarId>& jar : {std::optional<JarId>(), std::optional<JarId>("blue")}) {
    const auto said = report_from(json.value(), jar);
    if (!said) continue;
    const auto again = report_from(json_of(said.value().fact), std::nullopt);
    if (!again || again.value().fact != said.value().fact) abort();
  }
  return 0;
}
