// Which ids say that a batch may be ready?
#include "core/household/told_to_strain.hpp"

#include <gtest/gtest.h>

#include "core/announce/occurrence_ids.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

std::string id_of(EventKind kind) {
  return of_jar("blue", kind, noon, morning, 12).id;
}

TEST(ToldToStrain, IsTheBatchOfAnOpenPeakAndOfANoticesMatter) {
  EXPECT_EQ(told_to_strain(id_of(EventKind::peak_open)), 12U);
  EXPECT_EQ(told_to_strain("jar-blue.12.strain"), 12U);
  EXPECT_EQ(told_to_strain("jar-blue.12.strain-2"), 12U);
}

TEST(ToldToStrain, IsNothingElse) {
  for (const EventKind kind : {EventKind::peak_near, EventKind::over_fermented, EventKind::strained,
                               EventKind::batch_started}) {
    EXPECT_FALSE(told_to_strain(id_of(kind))) << word(kind);
  }
  for (const char* id : {"", ".", "strain", "jar-blue.strain", "jar-blue..strain",
                         "jar-blue.-1.strain", "jar-blue.99999999999999999999.strain",
                         "jar-blue.12.night-20270301", "place-a.20270301T081000Z.peak-open"}) {
    EXPECT_FALSE(told_to_strain(id)) << id;
  }
}

}  // namespace
}  // namespace wheymark
