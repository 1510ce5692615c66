#include "plugin/library/journal_row.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "plugin/wire/fact_json.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;
using Kind = JournalRow::Kind;

JournalRow row_of_entry(const ReadingTaken& taken) {
  json body = json::object();
  if (taken.doubt_k != 0.0) body["doubt_k"] = taken.doubt_k;
  if (taken.is_late) body["late"] = true;
  return {Kind::reading, taken.at, taken.place.text(), taken.air.degrees(),
          body.empty() ? "" : text_of(body)};
}

JournalRow row_of_entry(const ReadingDoubted& doubted) {
  return {Kind::doubt, doubted.at, doubted.place.text(), doubted.air.degrees(), ""};
}

JournalRow row_of_entry(const FactRecord& record) {
  json body = {{"number", record.number},
               {"told_at", rfc3339(record.told_at)},
               {"fact", json_of(record.fact)}};
  if (record.ref) body["ref"] = *record.ref;
  if (record.not_before) body["not_before"] = rfc3339(*record.not_before);
  return {Kind::fact, record.at, "", 0.0, text_of(body)};
}

JournalRow row_of_entry(const Announced& announced) {
  return {Kind::announced, announced.at, announced.id, 0.0, ""};
}

// A reading of an older program has no body.
Result<Entry> reading_of(const JournalRow& row) {
  ReadingTaken taken{PlaceId(row.subject), row.at, Celsius(row.value)};
  if (row.body.empty()) return Entry{taken};
  const auto body = parsed(row.body, Comments::refused);
  if (!body) return body.refusal();
  if (!body.value().is_object()) return Refusal{"what is known of a reading is an object"};
  const json& fields = body.value();
  if (fields.contains("doubt_k") && fields["doubt_k"].is_number()) {
    taken.doubt_k = fields["doubt_k"].get<double>();
  }
  taken.is_late = fields.contains("late") && fields["late"] == true;
  return Entry{std::move(taken)};
}

// An older program reads it as an announcement with this id.
JournalRow row_of_entry(const Noticed& noticed) {
  const json body = {{"notice", word(noticed.kind)}, {"matters", noticed.matters}};
  return {Kind::announced, noticed.at, noticed.id, 0.0, text_of(body)};
}

Result<Entry> noticed_of(const JournalRow& row) {
  const auto body = parsed(row.body, Comments::refused);
  if (!body) return body.refusal();
  const json& fields = body.value();
  if (!fields.is_object() || !fields.contains("notice") || !fields["notice"].is_string() ||
      !fields.contains("matters") || !fields["matters"].is_array()) {
    return Refusal{"a notice has notice and matters"};
  }
  const auto kind = meaning_of<NoticeKind>(fields["notice"].get<std::string>());
  if (!kind) return Refusal{"a notice of a kind that is not known"};
  Noticed noticed{row.subject, row.at, *kind, {}};
  for (const json& matter : fields["matters"]) {
    if (!matter.is_string()) return Refusal{"a notice's matters are texts"};
    noticed.matters.push_back(matter.get<std::string>());
  }
  return Entry{std::move(noticed)};
}

// Only what row_of_entry wrote is read here; anything else makes the row unreadable.
Result<Entry> fact_of(const JournalRow& row) {
  const auto body = parsed(row.body, Comments::refused);
  if (!body) return body.refusal();
  const json& fields = body.value();
  if (!fields.is_object() || !fields.contains("number") || !fields.contains("told_at") ||
      !fields.contains("fact") || !fields["number"].is_number_unsigned() ||
      !fields["told_at"].is_string()) {
    return Refusal{"a fact has number, told_at and fact"};
  }
  const auto told_at = instant_from_rfc3339(fields["told_at"].get<std::string>());
  if (!told_at) return told_at.refusal();
  const auto said = report_from(fields["fact"], std::nullopt);
  if (!said) return said.refusal();
  FactRecord record{fields["number"].get<std::uint64_t>(), row.at, told_at.value(), std::nullopt,
                    said.value().fact};
  if (fields.contains("ref") && fields["ref"].is_string()) {
    record.ref = fields["ref"].get<std::string>();
  }
  if (fields.contains("not_before") && fields["not_before"].is_string()) {
    const auto not_before = instant_from_rfc3339(fields["not_before"].get<std::string>());
    if (!not_before) return not_before.refusal();
    record.not_before = not_before.value();
  }
  return Entry{std::move(record)};
}

}  // namespace

JournalRow row_of(const Entry& entry) {
  return std::visit([](const auto& what) { return row_of_entry(what); }, entry);
}

Result<Entry> entry_of(const JournalRow& row) {
  switch (row.kind) {
    case Kind::reading:
      return reading_of(row);
    case Kind::doubt:
      return Entry{ReadingDoubted{PlaceId(row.subject), row.at, Celsius(row.value)}};
    case Kind::fact:
      return fact_of(row);
    case Kind::announced:
      if (!row.body.empty()) return noticed_of(row);
      return Entry{Announced{row.subject, row.at}};
  }
  return Refusal{fmt::format("a row of kind {} is not known", static_cast<int>(row.kind))};
}

}  // namespace wheymark
