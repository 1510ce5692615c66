#include "plugin/store/recognise.hpp"

#include <array>
#include <filesystem>
#include <string_view>
#include <system_error>

#include "plugin/store/schema.hpp"

namespace wheymark {

namespace {

// SQLite's file format, section 1.3: where in the first 100 bytes these numbers stand.
constexpr std::string_view every_database_begins("SQLite format 3\0", 16);
constexpr std::size_t version_at = 60;
constexpr std::size_t application_id_at = 68;

std::uint32_t big_endian(std::string_view bytes, std::size_t at) {
  std::uint32_t number = 0;
  for (std::size_t i = at; i < at + 4; ++i) {
    number = number << 8 | static_cast<unsigned char>(bytes[i]);
  }
  return number;
}

}  // namespace

Result<Recognised> recognise(const sqlite::Connection& connection) {
  sqlite3_file* file = connection.file();
  if (file == nullptr) return Refusal{"SQLite has no file for it"};

  // Not by asking SQLite, to which a file of one byte is empty.
  std::error_code error;
  const auto size_bytes =
      std::filesystem::file_size(sqlite3_db_filename(connection.raw(), "main"), error);
  if (error) return Refusal{error.message()};
  if (size_bytes == 0) return Recognised{.owner = Recognised::Owner::nobody};

  // The text of our first table is in the first page or, when the schema does not fit into it, soon
  // after.
  std::array<char, 16'384> page{};
  const int code = file->pMethods->xRead(file, page.data(), page.size(), 0);
  if (code != SQLITE_OK && code != SQLITE_IOERR_SHORT_READ) return Refusal{sqlite3_errstr(code)};

  const std::string_view bytes(page.data(), page.size());
  const bool is_database = bytes.starts_with(every_database_begins);
  const bool ours =
      big_endian(bytes, application_id_at) == static_cast<std::uint32_t>(schema::application_id) ||
      bytes.find(schema::first_words) != std::string_view::npos;
  const auto version = static_cast<std::int32_t>(big_endian(bytes, version_at));

  Recognised recognised{Recognised::Owner::somebody_else, version, is_database};
  if (ours) {
    const bool newer = is_database && version > schema::version;
    recognised.owner = newer ? Recognised::Owner::newer_us : Recognised::Owner::us;
  }
  return recognised;
}

}  // namespace wheymark
