#include "core/household/suspect_words.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {

std::string what_was_seen(const Suspicion& why, const HouseholdSetup& setup) {
  const std::string reason = reason_to_discard(why.said);
  const bool smelt = reason == "a rotten smell";
  const std::string where = why.in_grains
                                ? "in the grains of " + name_of_culture(*why.said.culture, setup)
                                : "in " + name_of_jar(*why.said.jar, setup);
  return fmt::format("{} was {} {} {}", reason, smelt ? "noticed" : "seen", where,
                     day_and_clock_text(why.told.at, setup));
}

std::string what_to_do(const Batch* batch) {
  if (batch == nullptr) {
    return "wash it with hot water before anything goes into it, and say \"wash\"";
  }
  if (!batch->strained) {
    return "discard the milk with its grains, do not taste it, wash the jar with hot water, and "
           "start from a reserve or new grains";
  }
  return "throw out what is in it, do not taste it, and wash it with hot water; follow local "
         "food-safety advice";
}

std::string suspect_text(const JarId& jar, const Suspicion& why, const JarBook& book,
                         const HouseholdSetup& setup) {
  const Batch* batch = book.in_jar(jar);
  const std::string_view held = batch == nullptr ? ", and it held them" : "";
  return fmt::format("{}: {}{}: {}", name_of_jar(jar, setup), what_was_seen(why, setup),
                     why.in_grains ? held : "", what_to_do(batch));
}

std::vector<std::string> affected_kefir(const Suspicion& why, const JarBook& book,
                                        const HouseholdSetup& setup) {
  std::vector<const Batch*> batches;
  for (const Batch& batch : book.batches()) {
    const Suspicion* known = book.suspicion(batch);
    if (!batch.ended && batch.strained && known != nullptr && *known == why) {
      batches.push_back(&batch);
    }
  }
  std::stable_sort(batches.begin(), batches.end(), [](const Batch* a, const Batch* b) {
    return a->strained->at < b->strained->at;
  });
  std::vector<std::string> names;
  for (const Batch* batch : batches) {
    names.push_back(fmt::format("{} (strained {})", name_of_jar(batch->jar(), setup),
                                day_and_clock_text(batch->strained->at, setup)));
  }
  return names;
}

}  // namespace wheymark
