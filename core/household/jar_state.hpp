// How a jar stands at an instant, in the words and numbers that are published.
//
// What is not known is missing; nothing here is made up.
#pragma once

#include <optional>

#include "core/basis/units.hpp"
#include "core/basis/words.hpp"
#include "core/forecast/forecast.hpp"
#include "core/household/household.hpp"
#include "core/household/stored_kefir.hpp"
#include "core/record/batch.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

enum class Stage {
  empty,
  working,
  thickened,
  set,
  peak,
  over_fermented,
  strained,
  second,
  fridge,
  use_soon,
  past_best,
  suspect
};

template <>
struct Vocabulary<Stage> {
  static constexpr std::array words{Word<Stage>{Stage::empty, "empty"},
                                    Word<Stage>{Stage::working, "working"},
                                    Word<Stage>{Stage::thickened, "thickened"},
                                    Word<Stage>{Stage::set, "set"},
                                    Word<Stage>{Stage::peak, "peak"},
                                    Word<Stage>{Stage::over_fermented, "over-fermented"},
                                    Word<Stage>{Stage::strained, "strained"},
                                    Word<Stage>{Stage::second, "second"},
                                    Word<Stage>{Stage::fridge, "fridge"},
                                    Word<Stage>{Stage::use_soon, "use-soon"},
                                    Word<Stage>{Stage::past_best, "past-best"},
                                    Word<Stage>{Stage::suspect, "suspect"}};
};

struct JarState {
  Stage stage = Stage::empty;
  const Batch* batch = nullptr;  // what it holds; lives as long as the household is not changed
  // Why the stage is `suspect`, also of an empty jar. Then nothing below is forecast or dated.
  const Suspicion* suspicion = nullptr;
  std::optional<double> progress_percent;  // while fermenting; 100 when the peak opens
  Forecast forecast;                       // while fermenting
  std::optional<double> hours_to_peak;     // while fermenting; negative once passed
  std::optional<double> ph;
  std::optional<double> acidity_percent;  // titratable, as lactic acid
  std::optional<double> milk_c;
  std::optional<double> pressure_kpa;  // under a tight lid, above the air's; rough
  std::optional<double> kefir_ml;      // left of it, once it is strained
  std::optional<StoredKefir> kept;     // once it was stored
  std::optional<LeftOut> left_out;     // while strained kefir stands out of the fridge
  bool not_souring = false;            // a look shows plain milk; then nothing is forecast of it
};

JarState jar_state(const Household& household, const JarId& jar, Instant now);

// The latest that a person has seen of a fermenting batch: Sign::still_milk when nothing.
Sign latest_seen(const Batch& batch);
// When this sign or a later one was first seen.
std::optional<Instant> first_seen(const Batch& batch, Sign sign);

}  // namespace wheymark
