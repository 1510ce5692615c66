#include "plugin/wire/fact_json.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "core/basis/check.hpp"
#include "plugin/configuration/milk_word.hpp"
#include "plugin/configuration/nearest_word.hpp"
#include "plugin/configuration/section.hpp"
#include "plugin/wire/implied_jar.hpp"
#include "plugin/wire/instant_field.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

// The readers below return what they could read; where something is missing, the section has
// complained and the half-read fact is thrown away.

CultureId culture_in(Section& said, std::string_view key = "culture") {
  return said.id<CultureId>(key, Need::required).value_or(CultureId());
}

JarId jar_in(Section& said, const std::optional<JarId>& implied_jar) {
  return jar_said_or_implied(said, Need::required, implied_jar).value_or(JarId());
}

Fact start_in(Section& said, JarId jar) {
  Start start;
  start.jar = std::move(jar);
  start.culture = said.id<CultureId>("culture", Need::optional);
  start.milk = milk_in(said, "milk", Need::optional);
  start.treatment = treatment_in(said, "treatment", Need::optional);
  start.milk_ml = said.number("milk_ml", Need::optional);
  start.grain_g = said.number("grain_g", Need::optional);
  start.lid = said.word<Lid>("lid", Need::optional);
  start.place = said.id<PlaceId>("place", Need::optional);
  start.milk_c = said.number("milk_c", Need::optional);
  start.ready_by = instant_in(said, "ready_by");
  return start;
}

Fact strain_in(Section& said, JarId jar) {
  Strain strain;
  strain.jar = std::move(jar);
  strain.into = said.id<JarId>("into", Need::optional);
  strain.verdict = said.word<Verdict>("verdict", Need::optional);
  strain.grain_g = said.number("grain_g", Need::optional);
  strain.lid = said.word<Lid>("lid", Need::optional);
  return strain;
}

Fact weigh_in(Section& said) {
  CultureId culture = culture_in(said);
  return Weigh{std::move(culture), said.number("grain_g", Need::required).value_or(0.0)};
}

Fact rest_in(Section& said) {
  CultureId culture = culture_in(said);
  return Rest{std::move(culture), said.id<PlaceId>("place", Need::optional)};
}

Fact inspect_in(Section& said) {
  Inspect inspect;
  inspect.culture = culture_in(said);
  inspect.colour = said.word<GrainColour>("colour", Need::optional);
  inspect.smell = said.word<GrainSmell>("smell", Need::optional);
  inspect.sticky = said.truth("sticky", Need::optional);
  if (!said.has("colour") && !said.has("smell") && !said.has("sticky")) {
    said.complain("colour", "say what was seen: at least one of colour, smell and sticky");
  }
  return inspect;
}

Fact spare_in(Section& said) {
  CultureId culture = culture_in(said);
  const auto use = said.word<SpareUse>("use", Need::required);
  const auto grain_g = said.number("grain_g", Need::optional);
  const bool all = said.truth("all", Need::optional).value_or(false);
  if (!grain_g && !all) said.complain("grain_g", "say how many grams, or \"all\": true");
  return Spare{std::move(culture), use.value_or(SpareUse::eaten), grain_g, all};
}

Fact split_in(Section& said) {
  CultureId culture = culture_in(said);
  CultureId into = culture_in(said, "into");
  return Split{std::move(culture), std::move(into),
               said.number("grain_g", Need::required).value_or(0.0)};
}

// What is said of a culture, or nothing when `word` is none of that.
std::optional<Fact> fact_of_culture_in(Section& said, std::string_view word) {
  if (word == "weigh") return weigh_in(said);
  if (word == "rest") return rest_in(said);
  if (word == "wake") return Wake{culture_in(said)};
  if (word == "inspect") return inspect_in(said);
  if (word == "spare") return spare_in(said);
  if (word == "split") return split_in(said);
  return std::nullopt;
}

// The fact that `word`, one of fact_words, begins.
Fact fact_in(Section& said, std::string_view word, const std::optional<JarId>& implied_jar) {
  if (auto of_culture = fact_of_culture_in(said, word)) return *std::move(of_culture);
  if (word == "retract") return Retract{said.text("ref", Need::required, remark_form).value_or("")};

  JarId jar = jar_in(said, implied_jar);
  if (word == "start") return start_in(said, std::move(jar));
  if (word == "sign") {
    const auto sign = said.word<Sign>("sign", Need::required);
    return SignSeen{std::move(jar), sign.value_or(Sign::still_milk)};
  }
  if (word == "ph") {
    return PhMeasured{std::move(jar), said.number("ph", Need::required).value_or(0.0)};
  }
  if (word == "move")
    return Move{std::move(jar), said.id<PlaceId>("place", Need::required).value_or(PlaceId())};
  if (word == "lid") {
    return LidPut{std::move(jar), said.word<Lid>("lid", Need::required).value_or(Lid::loose)};
  }
  if (word == "strain") return strain_in(said, std::move(jar));
  if (word == "store") return StoreAway{std::move(jar), said.id<PlaceId>("place", Need::optional)};
  if (word == "take") return Take{std::move(jar), said.id<PlaceId>("place", Need::optional)};
  if (word == "finish") return Finish{std::move(jar)};
  if (word == "wash") return Wash{std::move(jar)};
  check(word == "discard", "every word of a fact is read");
  return Discard{std::move(jar), said.text("why", Need::optional, remark_form)};
}

// One line about the first complaint, in the words of a flat object: "sign: found ...".
Refusal first_of(const Complaints& complaints) {
  Complaint first = complaints.front();
  if (!first.pointer.empty()) first.pointer.erase(0, 1);
  return Refusal{line_of(first)};
}

std::optional<std::string_view> fact_word_in(Section& said) {
  const json* const value = said.anything("fact", Need::required);
  if (value == nullptr) return std::nullopt;
  const std::string written = value->is_string() ? value->get<std::string>() : "";
  const auto* const word = std::find(fact_words.begin(), fact_words.end(), written);
  if (word != fact_words.end()) return *word;
  said.complain_found("fact",
                      fmt::format("{}; or to ask: plan, explain{}", fmt::join(fact_words, ", "),
                                  did_you_mean(written, {fact_words.begin(), fact_words.end()})));
  return std::nullopt;
}

// Puts the fields that are set into an object.
class Writer {
 public:
  explicit Writer(std::string_view word) { object_["fact"] = word; }

  Writer& put(const char* key, const std::string& text) {
    object_[key] = text;
    return *this;
  }
  template <class Thing>
  Writer& put(const char* key, const Id<Thing>& id) {
    return put(key, id.text());
  }
  Writer& put(const char* key, double number) {
    check(std::isfinite(number), "a kept fact holds finite numbers");  // JSON has no other
    object_[key] = number;
    return *this;
  }
  Writer& put(const char* key, bool truth) {
    object_[key] = truth;
    return *this;
  }
  Writer& put(const char* key, Instant instant) {
    std::string text = rfc3339(instant);
    check(!text.empty(), "a kept fact holds instants of the years 0000 to 9999");
    object_[key] = std::move(text);
    return *this;
  }
  template <class Enum>
  requires std::is_enum_v<Enum> Writer& put(const char* key, Enum meaning) {
    object_[key] = word(meaning);
    return *this;
  }
  template <class Value>
  Writer& put(const char* key, const std::optional<Value>& value) {
    return value ? put(key, *value) : *this;
  }

  json take() { return std::move(object_); }

 private:
  json object_ = json::object();
};

void write(Writer& to, const Start& start) {
  to.put("jar", start.jar)
      .put("culture", start.culture)
      .put("milk", start.milk)
      .put("treatment", start.treatment)
      .put("milk_ml", start.milk_ml)
      .put("grain_g", start.grain_g)
      .put("lid", start.lid)
      .put("place", start.place)
      .put("milk_c", start.milk_c)
      .put("ready_by", start.ready_by);
}
void write(Writer& to, const SignSeen& seen) {
  to.put("jar", seen.jar).put("sign", seen.sign);
}
void write(Writer& to, const PhMeasured& measured) {
  to.put("jar", measured.jar).put("ph", measured.ph);
}
void write(Writer& to, const Move& move) {
  to.put("jar", move.jar).put("place", move.place);
}
void write(Writer& to, const LidPut& lid) {
  to.put("jar", lid.jar).put("lid", lid.lid);
}
void write(Writer& to, const Strain& strain) {
  to.put("jar", strain.jar)
      .put("into", strain.into)
      .put("verdict", strain.verdict)
      .put("grain_g", strain.grain_g)
      .put("lid", strain.lid);
}
void write(Writer& to, const StoreAway& store) {
  to.put("jar", store.jar).put("place", store.place);
}
void write(Writer& to, const Take& take) {
  to.put("jar", take.jar).put("place", take.place);
}
void write(Writer& to, const Finish& finish) {
  to.put("jar", finish.jar);
}
void write(Writer& to, const Discard& discard) {
  to.put("jar", discard.jar).put("why", discard.why);
}
void write(Writer& to, const Weigh& weigh) {
  to.put("culture", weigh.culture).put("grain_g", weigh.grain_g);
}
void write(Writer& to, const Rest& rest) {
  to.put("culture", rest.culture).put("place", rest.place);
}
void write(Writer& to, const Wake& wake) {
  to.put("culture", wake.culture);
}
void write(Writer& to, const Inspect& inspect) {
  to.put("culture", inspect.culture)
      .put("colour", inspect.colour)
      .put("smell", inspect.smell)
      .put("sticky", inspect.sticky);
}
void write(Writer& to, const Spare& spare) {
  to.put("culture", spare.culture).put("use", spare.use).put("grain_g", spare.grain_g);
  if (spare.all) to.put("all", true);
}
void write(Writer& to, const Split& split) {
  to.put("culture", split.culture).put("into", split.into).put("grain_g", split.grain_g);
}
void write(Writer& to, const Wash& wash) {
  to.put("jar", wash.jar);
}
void write(Writer& to, const Retract& retract) {
  to.put("ref", retract.ref);
}

}  // namespace

Result<Report> report_from(const json& value, const std::optional<JarId>& implied_jar) {
  Complaints complaints;
  Section said(value, "", complaints);
  const auto word = fact_word_in(said);
  if (!word) return first_of(complaints);

  Fact fact = fact_in(said, *word, implied_jar);
  const auto at = instant_in(said, "at");
  // A retraction's ref is that of the fact which it takes back, not its own.
  const bool retracts = std::holds_alternative<Retract>(fact);
  const auto ref = retracts ? std::nullopt : said.text("ref", Need::optional, remark_form);
  said.refuse_unknown_keys();
  if (!complaints.empty()) return first_of(complaints);
  return Report{std::move(fact), at, ref};
}

json json_of(const Fact& fact) {
  Writer writer(fact_words[fact.index()]);
  std::visit([&writer](const auto& kind) { write(writer, kind); }, fact);
  return writer.take();
}

}  // namespace wheymark
