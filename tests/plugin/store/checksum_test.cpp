// A row's checksum is the one that everybody calls CRC-32: stores of years ago are read by it,
// whatever library computes it.
#include "plugin/store/checksum.hpp"

#include <gtest/gtest.h>
#include <limits>

#include "tests/plugin/store/on_disk.hpp"

namespace wheymark {
namespace {

// Bit by bit, as ISO 3309 has it: x^32 + x^26 + ... + 1, the low bit first.
std::uint32_t crc_32(const std::string& bytes) {
  std::uint32_t crc = 0xFFFFFFFFu;
  for (const char byte : bytes) {
    crc ^= static_cast<unsigned char>(byte);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ ((crc & 1u) != 0 ? 0xEDB88320u : 0u);
  }
  return ~crc;
}

// The row as it is laid out: numbers with the little end first, texts with their length before
// them.
std::string laid(std::uint64_t number) {
  std::string bytes;
  for (int shift = 0; shift < 64; shift += 8) bytes += static_cast<char>(number >> shift);
  return bytes;
}
std::string laid(const std::string& text) {
  return laid(std::uint64_t{text.size()}) + text;
}

TEST(AChecksum, IsTheOneThatIsPublished) {
  // The check value of CRC-32/ISO-HDLC in catalogues of such algorithms: so crc_32 here is right.
  ASSERT_EQ(crc_32("123456789"), 0xCBF43926u);
  for (const JournalRow& row :
       {reading(1'803'859'200'000, "kitchen", 21.4), reading(-1, "", -0.0),
        fact(7, R"({"fact":"sign","sign":"set"})"), fact(8, std::string(3'000, 'x'))}) {
    const std::string bytes = laid(static_cast<std::uint64_t>(row.at.time_since_epoch().count())) +
                              laid(static_cast<std::uint64_t>(row.kind)) + laid(row.subject) +
                              laid(std::bit_cast<std::uint64_t>(row.value)) + laid(row.body);
    EXPECT_EQ(static_cast<std::uint32_t>(checksum_of(row)), crc_32(bytes)) << line(row);
  }
}

TEST(AChecksum, OfAParcelLeavesOutOnlyItsNumber) {
  OutboxMessage sent = message("wheymark/answer", R"({"accepted":true})");
  const std::string bytes =
      laid(sent.topic) + laid(sent.payload) + laid(sent.content_type) + laid(std::uint64_t{1});
  EXPECT_EQ(static_cast<std::uint32_t>(checksum_of(sent)), crc_32(bytes));
  sent.delivery = 7;
  EXPECT_EQ(static_cast<std::uint32_t>(checksum_of(sent)), crc_32(bytes));
}

TEST(AChecksum, OfEveryNaNIsTheSame) {
  const double usual = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(checksum_of(reading(1, "kitchen", usual)), checksum_of(reading(1, "kitchen", -usual)));
}

}  // namespace
}  // namespace wheymark
