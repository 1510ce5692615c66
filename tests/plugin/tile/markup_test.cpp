// Text from outside stays text.
#include "plugin/tile/markup.hpp"

#include <gtest/gtest.h>

namespace wheymark {
namespace {

// XML 1.0, section 2.4 (references) and 2.2 (characters).
TEST(Markup, WhatMeansSomethingToXmlBecomesAReference) {
  EXPECT_EQ(escaped(R"(<script>"a" & 'b'</script>)"),
            "&lt;script&gt;&quot;a&quot; &amp; &#39;b&#39;&lt;/script&gt;");
  EXPECT_EQ(escaped("Ånne's Süße"), "Ånne&#39;s Süße");
}

TEST(Markup, WhatXmlForbidsIsReplaced) {
  EXPECT_EQ(escaped(std::string_view("a\0b\x1F", 4)), "a\uFFFDb\uFFFD");
  EXPECT_EQ(escaped("a\uFFFEb\uFFFF"), "a\uFFFDb\uFFFD");
}

TEST(Markup, ALongTextIsCutBetweenCharactersAndSaysSo) {
  EXPECT_EQ(shortened("äöüß", 4), "äöüß");
  EXPECT_EQ(shortened("äöüßä", 4), "äöü…");
  EXPECT_EQ(shortened("ab cdef", 4), "ab…");  // no space before the ellipsis
  EXPECT_EQ(char_count("äöü…"), 4U);
}

}  // namespace
}  // namespace wheymark
