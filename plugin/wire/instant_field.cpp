#include "plugin/wire/instant_field.hpp"

#include <nlohmann/json.hpp>
#include <string>

#include "plugin/wire/instant_text.hpp"

namespace wheymark {

std::optional<Instant> instant_in(Section& said, std::string_view key) {
  const nlohmann::json* const value = said.anything(key, Need::optional);
  if (value == nullptr) return std::nullopt;
  if (!value->is_string()) {
    said.complain_found(key, "an RFC 3339 instant such as 2027-03-01T08:10:00Z");
    return std::nullopt;
  }
  const auto instant = instant_from_rfc3339(value->get_ref<const std::string&>());
  if (instant) return instant.value();
  said.complain(key, instant.why());
  return std::nullopt;
}

}  // namespace wheymark
