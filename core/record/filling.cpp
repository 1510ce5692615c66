#include "core/record/filling.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/record/amounts.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

double room_ml(const JarId& jar, const JarBook& book, const HouseholdSetup& setup) {
  const Batch* held = book.in_jar(jar);
  return std::max(0.0, setup.jar(jar)->capacity_ml - (held == nullptr ? 0.0 : held->ml_now()));
}

// What came out: all that was in the jar but the grains, or what was said, of it or of all
// bottles together.
Outcome measure(Strain& strain, const Batch& batch, const HouseholdSetup& setup) {
  const double there_ml = *batch.start.milk_ml;
  double in_bottles_ml = 0.0;
  bool all_said = !strain.into.empty();
  for (const Portion& portion : strain.into) {
    in_bottles_ml += portion.ml.value_or(0.0);
    all_said = all_said && portion.ml.has_value();
  }
  const double said_ml = strain.ml.value_or(in_bottles_ml);
  if (said_ml > there_ml && !may_be_all_of(said_ml, there_ml)) {
    return Refusal{fmt::format(
        "{:.4g} mL cannot have come out of {}: {:.4g} mL of milk went into it at {}", said_ml,
        name_of_jar(strain.jar, setup), there_ml, day_and_clock_text(batch.started, setup))};
  }
  if (strain.ml && in_bottles_ml > *strain.ml) {
    return Refusal{fmt::format("into: {:.4g} mL in bottles are more than \"ml\", {:.4g}",
                               in_bottles_ml, *strain.ml)};
  }
  const bool said = all_said && may_be_all_of(in_bottles_ml, there_ml);
  if (!strain.ml) strain.ml = said ? in_bottles_ml : std::max(there_ml, in_bottles_ml);
  return Nothing{};
}

// Says what goes into each bottle: no more than there is, and than it has room for.
void fill(Strain& strain, const JarBook& book, const HouseholdSetup& setup) {
  double left_ml = *strain.ml;
  for (Portion& portion : strain.into) {
    if (portion.jar == strain.jar) continue;
    portion.ml =
        std::min({portion.ml.value_or(left_ml), left_ml, room_ml(portion.jar, book, setup)});
    left_ml -= *portion.ml;
    if (portion.lid) continue;
    portion.lid = strain.lid ? strain.lid : setup.jar(portion.jar)->lid.value_or(Lid::tight);
  }
}

}  // namespace

Outcome share_out(Strain& strain, const JarBook& book, const HouseholdSetup& setup) {
  const Batch* batch = book.in_jar(strain.jar);
  if (batch == nullptr || batch->strained) return Nothing{};
  Outcome there = measure(strain, *batch, setup);
  if (there) fill(strain, book, setup);
  return there;
}

Outcome measure(Pour& pour, const JarBook& book, const HouseholdSetup& setup) {
  const Batch* batch = book.kefir_of(pour.jar);
  if (batch == nullptr) return Nothing{};
  const double there_ml = batch->ml_now();
  if (pour.ml && *pour.ml > there_ml && !may_be_all_of(*pour.ml, there_ml)) {
    return Refusal{
        fmt::format("{} holds about {:.0f} mL, less than the {:.4g} mL to pour; say finish if it "
                    "is empty now",
                    name_of_jar(pour.jar, setup), there_ml, *pour.ml)};
  }
  pour.ml = std::min(pour.ml.value_or(glass_ml), there_ml);
  return Nothing{};
}

std::optional<JarId> waits_for_a_bottle(const JarBook& book, const HouseholdSetup& setup) {
  const Batch* last = nullptr;
  for (const JarSetup& jar : setup.jars) {
    const Batch* kefir = book.kefir_of(jar.id);
    if (kefir == nullptr || kefir->start.jar != kefir->jar() || !kefir->stored.empty()) continue;
    if (last == nullptr || kefir->strained->at > last->strained->at) last = kefir;
  }
  return last == nullptr ? std::nullopt : std::optional(last->jar());
}

Outcome fill(StoreAway& store, const JarBook& book, const HouseholdSetup& setup) {
  if (!store.from) {
    if (!store.ml && !store.lid) return Nothing{};
    return Refusal{"ml and lid are said with \"from\", the jar whose kefir this is"};
  }
  if (*store.from == store.jar) {
    return Refusal{fmt::format("from: \"{}\" is the jar that is stored", store.jar)};
  }
  const Batch* kefir = book.kefir_of(*store.from);
  if (kefir == nullptr) return Nothing{};  // the jar book refuses it
  const double room = room_ml(store.jar, book, setup);
  if (room < last_drops_ml) {
    return Refusal{
        fmt::format("{} is full: it holds {:.0f} mL of kefir; say another bottle, or "
                    "finish it first",
                    name_of_jar(store.jar, setup), book.in_jar(store.jar)->ml_now())};
  }
  store.ml = std::min({store.ml.value_or(kefir->ml_now()), kefir->ml_now(), room});
  if (!store.lid) store.lid = setup.jar(store.jar)->lid.value_or(Lid::tight);
  return Nothing{};
}

}  // namespace wheymark
