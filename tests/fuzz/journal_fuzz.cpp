// Any row of a journal is refused or is an entry, and an entry that was read is written and read as
// the same.
#include <cstdlib>
#include <cstring>

#include "plugin/library/journal_row.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace wheymark;
  if (size < 18) return 0;
  JournalRow row{};
  row.kind = static_cast<JournalRow::Kind>(bytes[0] % 6);
  std::int64_t at = 0;
  std::memcpy(&at, bytes + 1, sizeof at);
  row.at = Instant(Milliseconds(at));
  std::memcpy(&row.value, bytes + 9, sizeof row.value);
  const std::size_t subject = bytes[17] % (size - 17);
  row.subject.assign(reinterpret_cast<const char*>(bytes) + 18, std::min(subject, size - 18));
  row.body.assign(reinterpret_cast<const char*>(bytes) + 18 + row.subject.size(),
                  size - 18 - row.subject.size());
  const auto entry = entry_of(row);
  if (!entry) return 0;
  const JournalRow written = row_of(entry.value());
  const auto again = entry_of(written);
  if (!again) abort();
  const JournalRow twice = row_of(again.value());
  if (twice.body != written.body || twice.subject != written.subject || twice.at != written.at) {
    abort();
  }
  return 0;
}
