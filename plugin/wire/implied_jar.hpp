// The jar that a report or question is about: named in it, or implied by the jar's own topic.
#pragma once

#include <fmt/format.h>
#include <optional>

#include "core/basis/ids.hpp"
#include "plugin/configuration/section.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {

// `need` holds where no jar is implied. Another jar than the implied one is complained about.
inline std::optional<JarId> jar_said_or_implied(Section& said, Need need,
                                                const std::optional<JarId>& implied_jar) {
  const auto jar = said.id<JarId>("jar", implied_jar ? Need::optional : need);
  if (!implied_jar) return jar;
  if (jar && *jar != *implied_jar) {
    said.complain_found("jar",
                        fmt::format("{}, whose topic this is", shown_text(implied_jar->text())));
  }
  return implied_jar;
}

}  // namespace wheymark
