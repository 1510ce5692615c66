// Tables as RFC 4180 wants them, and as JSON.
#include "plugin/history/table.hpp"

#include <gtest/gtest.h>
#include <limits>

namespace wheymark {
namespace {

using nlohmann::json;

// RFC 4180, section 2: each record on a line ended by CRLF; fields with commas, quotes or line
// breaks in quotes; a quote inside is two.
TEST(Csv, QuotesAsRfc4180Says) {
  const Table table{{"name", "why"},
                    {{std::string("plain"), std::string("a,b")},
                     {std::string("say \"when\""), std::string("two\r\nlines")},
                     {std::string(""), std::string("crème")}}};
  EXPECT_EQ(csv_of(table),
            "name,why\r\n"
            "plain,\"a,b\"\r\n"
            "\"say \"\"when\"\"\",\"two\r\nlines\"\r\n"
            ",crème\r\n");
}

TEST(Csv, WritesNumbersShortlyAndNothingAsAnEmptyField) {
  const Instant instant{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1} +
                        std::chrono::hours{8}};
  const Table table{
      {"a", "b", "c", "d", "e", "f"},
      {{20.0, 1.0 / 3.0, std::int64_t{7}, true, instant, Cell{}},
       {std::numeric_limits<double>::quiet_NaN(), -0.5, std::int64_t{0}, false, Cell{}, Cell{}}}};
  EXPECT_EQ(csv_of(table),
            "a,b,c,d,e,f\r\n20,0.333,7,true,2027-03-01T08:00:00Z,\r\n,-0.5,0,false,,\r\n");
}

TEST(Csv, OfNothingIsItsHeader) {
  EXPECT_EQ(csv_of(Table{{"a", "b"}, {}}), "a,b\r\n");
}

TEST(JsonTable, IsAnObjectEachRowWithNullForNothing) {
  const Table table{{"jar", "grain_g", "ended"}, {{std::string("blue"), 21.50049, Cell{}}}};
  EXPECT_EQ(json_of(table), json::parse(R"([{"jar":"blue","grain_g":21.5,"ended":null}])"));
}

}  // namespace
}  // namespace wheymark
