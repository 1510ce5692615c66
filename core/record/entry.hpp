// The entries of the journal: facts of the world, never conclusions.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "core/basis/units.hpp"
#include "core/record/facts.hpp"
#include "core/record/notice_kind.hpp"

namespace wheymark {

// A thermometer's reading that is believed.
struct ReadingTaken {
  PlaceId place;
  Instant at;
  Celsius air;
  double doubt_k = 0.0;  // one standard deviation, for a reason that only its message shows
  bool is_late = false;  // it was older than the place's last when it came, and is put in its place
};

// The first of a row of readings that cannot be true; the others of the row are not kept.
struct ReadingDoubted {
  PlaceId place;
  Instant at;
  Celsius air;
};

// An announcement was handed over to be published.
struct Announced {
  std::string id;
  Instant at;
};

// A notice was handed over to be published, and these matters were told by it.
struct Noticed {
  std::string id;
  Instant at;
  NoticeKind kind;
  std::vector<std::string> matters;
};

using Entry = std::variant<ReadingTaken, ReadingDoubted, FactRecord, Announced, Noticed>;

}  // namespace wheymark
