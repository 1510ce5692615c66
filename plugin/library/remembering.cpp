#include "plugin/library/remembering.hpp"

#include <chrono>
#include <fmt/format.h>
#include <map>
#include <optional>

#include "plugin/history/table_of_before.hpp"
#include "plugin/wire/instant_text.hpp"

namespace wheymark {
namespace {

// Exported tables are exact to the second.
Instant in_seconds(Instant at) {
  return std::chrono::round<std::chrono::seconds>(at);
}

std::string ref_of(const Remembered& batch) {
  return fmt::format("remembered {} {}", batch.start.jar, rfc3339(in_seconds(batch.started)));
}

bool was_followed(const Remembered& batch, const JarBook& book) {
  for (const Batch& other : book.batches()) {
    if (other.start.jar == batch.start.jar && !other.remembered &&
        in_seconds(other.started) == in_seconds(batch.started)) {
      return true;
    }
  }
  return false;
}

// The line of an earlier row that the same jar cannot have held as well.
std::optional<std::size_t> overlapped_by(const RowOfBefore& row,
                                         const std::vector<RowOfBefore>& rows) {
  for (const RowOfBefore& earlier : rows) {
    if (earlier.line >= row.line) break;
    if (earlier.batch.start.jar == row.batch.start.jar &&
        earlier.batch.started < row.batch.strained && row.batch.started < earlier.batch.strained) {
      return earlier.line;
    }
  }
  return std::nullopt;
}

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

}  // namespace

Remembering remembering(std::string_view csv, const Household& household, Instant now) {
  Remembering out;
  TableOfBefore table = table_of_before(csv, household.setup());
  out.never_strained = table.never_strained;
  out.complaints = std::move(table.complaints);
  std::optional<std::uint64_t> number;
  for (const RowOfBefore& row : table.rows) {
    const auto refuse = [&](const std::string& why) {
      out.complaints.push_back(fmt::format("line {}: {}", row.line, why));
    };
    if (const auto line = overlapped_by(row, table.rows)) {
      refuse(
          fmt::format("the same jar holds the batch of line {} then; allowed is what does not "
                      "overlap it",
                      *line));
      continue;
    }
    const std::string ref = ref_of(row.batch);
    if (household.was_said(ref) || was_followed(row.batch, household.book())) {
      ++out.known;
      continue;
    }
    const auto accepted = household.decide({row.batch, std::nullopt, ref}, now);
    if (!accepted) {
      refuse(accepted.why());
      continue;
    }
    FactRecord record = accepted.value().record;
    number = number ? *number + 1 : record.number;
    record.number = *number;
    out.entries.emplace_back(std::move(record));
  }
  return out;
}

std::string Remembering::answer() const {
  std::string text =
      counted(entries.size(), "batch of before is remembered", "batches of before are remembered");
  if (known > 0) text += "; " + counted(known, "was known already", "were known already");
  if (never_strained > 0) {
    text += "; " + counted(never_strained, "was never strained and is left out",
                           "were never strained and are left out");
  }
  return text;
}

}  // namespace wheymark
