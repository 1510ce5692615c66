// Facts as JSON: what a person reports on a topic, and how a fact is kept in the journal.
//
// {"fact":"sign","jar":"blue","sign":"whey-pockets","at":"2027-03-01T08:10:00Z","ref":"..."}
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>

#include "core/basis/result.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

// The report in an object. Checked here: keys, types, words, the form of ids, that texts are no
// longer than limits::text_bytes_max; not ranges of numbers, nor whether a jar exists: core checks
// those. With `implied_jar` the jar may be left out, and another one is refused. Refused with one
// sentence about the first thing that is wrong, which names the key, the value found, what is
// allowed.
Result<Report> report_from(const nlohmann::json& value, const std::optional<JarId>& implied_jar);

// The fact with every field that is set: report_from() makes the same fact of it, to the last bit.
// Its numbers must be finite, its instants within the years 0000 to 9999.
nlohmann::json json_of(const Fact& fact);

}  // namespace wheymark
