// An answer as a person reads it on the command line.
#include "plugin/daemon/asking.hpp"

#include <gtest/gtest.h>

namespace wheymark::test {
namespace {

TEST(TextToRead, TellsWhyThenTheOtherWaysAndCallsNoChanceCertain) {
  EXPECT_EQ(text_to_read(R"({"why": "Feed at noon.", "options": [
                {"text": "Feed at noon.", "chance_percent": 99.9},
                {"text": "Feed at one.", "chance_percent": 100},
                {"text": "Feed at two.", "chance_percent": 95.6},
                {"text": "Feed at three.", "chance_percent": 0.2}]})"),
            "Feed at noon.\n"
            "Or: Feed at one. (a chance of more than 99 %)\n"
            "Or: Feed at two. (a chance of 96 %)\n"
            "Or: Feed at three. (a chance of less than 1 %)\n");
}

TEST(TextToRead, OfAnAccountIsItsLines) {
  EXPECT_EQ(text_to_read(R"({"lines": ["Blue jar.", "It is warm."]})"), "Blue jar.\nIt is warm.\n");
}

}  // namespace
}  // namespace wheymark::test
