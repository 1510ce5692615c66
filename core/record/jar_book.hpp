// What every jar holds and how much grain there is, after a row of facts in the order of time.
//
// Bookkeeping only: nothing here knows of temperatures or clocks. A fact that cannot have happened
// (straining an empty jar) is refused with what would make sense.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <vector>

#include "core/basis/result.hpp"
#include "core/record/batch.hpp"
#include "core/record/facts.hpp"
#include "core/record/grains.hpp"
#include "core/record/jar_care.hpp"
#include "core/record/setup.hpp"
#include "core/record/suspicion.hpp"

namespace wheymark {

class JarBook {
 public:
  // Whether this fact can have happened next. The fact is complete (see completion.hpp). One that
  // was `kept` before, and is asked again because something was told late, may follow the kefir
  // into the bottle that it turns out to be in.
  [[nodiscard]] Outcome allows(const FactRecord& record, const HouseholdSetup& setup,
                               bool kept = false) const;

  // Applies a fact that is allowed.
  void apply(const FactRecord& record);

  // In the order of their starts.
  [[nodiscard]] const std::vector<Batch>& batches() const { return batches_; }
  // What the jar holds, or null.
  [[nodiscard]] const Batch* in_jar(const JarId& jar) const;
  // What came out of the jar for the next milk and is in no bottle that is known, or null.
  [[nodiscard]] const Batch* without_bottle(const JarId& jar) const;
  // The kefir that a person means who pours from the jar or finishes it: what is in it, or what
  // came out of it last; or null.
  [[nodiscard]] const Batch* kefir_of(const JarId& jar) const;
  // The batch with this number, or null.
  [[nodiscard]] const Batch* numbered(std::uint64_t number) const;
  // The numbers of the batches that the last fact changed or ended.
  [[nodiscard]] const std::vector<std::uint64_t>& changed_batches() const { return changed_; }
  // What was done with a culture's grains.
  [[nodiscard]] const Grains& grains(const CultureId& culture) const;
  // The mass of a culture's grains as last weighed; nothing when nobody has.
  [[nodiscard]] std::optional<double> weighed_grain_g(const CultureId& culture) const;
  // The mass of all grains of a culture of the setup, in jars and out of them, by weighings and
  // growth.
  [[nodiscard]] double grain_g(const CultureSetup& culture) const;
  // The part of it that is in milk.
  [[nodiscard]] double in_jars_g(const CultureId& culture) const;
  // The batch with a culture's grains in it that started last, or null.
  [[nodiscard]] const Batch* with_grains(const CultureId& culture) const;
  // All of them, in the order of their starts.
  [[nodiscard]] std::vector<const Batch*> fermenting_of(const CultureId& culture) const;
  // Why nobody must taste what the jar holds, or use it before it is washed; or null. Every outlet
  // asks here.
  [[nodiscard]] const Suspicion* suspicion(const JarId& jar) const {
    const Batch* batch = in_jar(jar);
    return batch == nullptr ? suspicions_.of_glass(jar) : suspicion(*batch);
  }
  // The same of one batch, also of one that has ended.
  [[nodiscard]] const Suspicion* suspicion(const Batch& batch) const {
    return suspicions_.of_batch(batch.number);
  }
  // What the jar of a batch had held before it, unwashed; or null.
  [[nodiscard]] const Suspicion* filled_unwashed(const Batch& batch) const {
    return suspicions_.filled_unwashed(batch.number);
  }
  // What was told of a culture's usual batches, the latest last.
  [[nodiscard]] const std::vector<UsualBatch>& usual(const CultureId& culture) const;
  // How a jar was used since it was washed.
  [[nodiscard]] const JarCare& care(const JarId& jar) const;

 private:
  struct Allowing;
  struct Taking;

  // The bottle into which a jar's last content went, while it is there; or null.
  [[nodiscard]] const Batch* went_on(const JarId& jar) const;

  std::vector<Batch> batches_;
  std::map<std::uint64_t, std::size_t> by_number_;  // index into batches_
  // The batches with a culture's grains in them, by index.
  std::map<CultureId, std::set<std::size_t>> with_grains_;
  std::map<JarId, std::size_t> contents_;        // index into batches_
  std::map<JarId, std::size_t> without_bottle_;  // by the jar that it came out of
  std::map<CultureId, Grains> grains_;
  std::map<CultureId, std::vector<UsualBatch>> usual_;
  std::map<JarId, JarCare> care_;
  Suspicions suspicions_;
  std::vector<std::uint64_t> changed_;
};

}  // namespace wheymark
