// The kinds of notices, which are for people; events are for automations.
#pragma once

#include <array>

#include "core/basis/words.hpp"

namespace wheymark {

enum class NoticeKind { in_the_morning, in_the_evening, leaving, now, safety };

template <>
struct Vocabulary<NoticeKind> {
  static constexpr std::array words{Word<NoticeKind>{NoticeKind::in_the_morning, "morning"},
                                    Word<NoticeKind>{NoticeKind::in_the_evening, "evening"},
                                    Word<NoticeKind>{NoticeKind::leaving, "leaving"},
                                    Word<NoticeKind>{NoticeKind::now, "now"},
                                    Word<NoticeKind>{NoticeKind::safety, "safety"}};
};

}  // namespace wheymark
