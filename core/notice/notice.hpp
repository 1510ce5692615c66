// A notice: for a person, not for an automation. Few, in time, with the one thing to do.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/basis/ids.hpp"
#include "core/basis/units.hpp"
#include "core/basis/words.hpp"
#include "core/record/facts.hpp"
#include "core/record/notice_kind.hpp"

namespace wheymark {

enum class Urgency { now, today, whenever };

template <>
struct Vocabulary<Urgency> {
  static constexpr std::array words{Word<Urgency>{Urgency::now, "now"},
                                    Word<Urgency>{Urgency::today, "today"},
                                    Word<Urgency>{Urgency::whenever, "whenever"}};
};

// Something to do, with what is reported once it was done: a button for a hub.
struct NoticeStep {
  Instant at;
  std::string text;
  Fact say;
};

// What wants a person's attention, whenever it will be told and together with what else.
struct Matter {
  std::string key;  // never changes; a matter is told once
  std::string
      about;  // "jar-blue.12": the batch, culture or place; the latest notice about it holds
  Urgency urgency = Urgency::whenever;
  bool is_safety = false;  // glass or food is at risk: told day and night
  std::vector<JarId> jars;
  std::string text;
  std::optional<std::string> caution;
  std::optional<Instant> until;  // afterwards of no use
  std::vector<NoticeStep> steps;
  std::optional<Instant> back_at;  // when what it moves is to be moved back
};

struct Notice {
  NoticeKind kind;
  std::string id;  // never changes
  Instant time;
  std::string text;
  std::optional<std::string> caution;
  Urgency urgency = Urgency::whenever;
  std::vector<JarId> jars;
  std::optional<Instant> until;
  std::optional<std::string> replaces;  // the id of a notice that this one takes back
  std::vector<NoticeStep> steps;
  std::vector<std::string> matters;  // their keys
};

}  // namespace wheymark
