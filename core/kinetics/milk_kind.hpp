// The milks that grains live on, by the names used in configuration and on the wire.
#pragma once

#include "core/basis/words.hpp"

namespace wheymark {

enum class MilkKind {
  cow_whole,
  cow_2_percent,
  cow_1_percent,
  cow_skim,
  cow_powder,
  goat,
  sheep,
  buffalo
};

template <>
struct Vocabulary<MilkKind> {
  static constexpr std::array words{Word<MilkKind>{MilkKind::cow_whole, "cow-whole"},
                                    Word<MilkKind>{MilkKind::cow_2_percent, "cow-2-percent"},
                                    Word<MilkKind>{MilkKind::cow_1_percent, "cow-1-percent"},
                                    Word<MilkKind>{MilkKind::cow_skim, "cow-skim"},
                                    Word<MilkKind>{MilkKind::cow_powder, "cow-powder"},
                                    Word<MilkKind>{MilkKind::goat, "goat"},
                                    Word<MilkKind>{MilkKind::sheep, "sheep"},
                                    Word<MilkKind>{MilkKind::buffalo, "buffalo"}};
};

enum class Treatment { raw, pasteurised, ultra_pasteurised };

template <>
struct Vocabulary<Treatment> {
  static constexpr std::array words{
      Word<Treatment>{Treatment::raw, "raw"},
      Word<Treatment>{Treatment::pasteurised, "pasteurised"},
      Word<Treatment>{Treatment::ultra_pasteurised, "ultra-pasteurised"}};
};

}  // namespace wheymark
