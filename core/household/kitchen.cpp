#include "core/household/kitchen.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/check.hpp"
#include "core/household/local_time.hpp"

namespace wheymark {
namespace {

std::string name_of_jar(const JarId& id, const Plan& plan) {
  const PlannedJar* jar = plan.jar(id);
  return jar == nullptr ? "Jar " + id : jar->name;
}

}  // namespace

const Batch* Kitchen::in_jar(const JarId& jar) const {
  const auto found = contents_.find(jar);
  return found == contents_.end() ? nullptr : &batches_[found->second];
}

const Batch* Kitchen::numbered(std::uint64_t number) const {
  const auto found = std::find_if(batches_.begin(), batches_.end(),
                                  [&](const Batch& batch) { return batch.number == number; });
  return found == batches_.end() ? nullptr : &*found;
}

std::optional<double> Kitchen::weighed_grain_g(const CultureId& culture) const {
  const auto found = weighed_g_.find(culture);
  return found == weighed_g_.end() ? std::nullopt : std::optional(found->second);
}

// One refusal, or none, for each kind of fact.
struct Kitchen::Allowing {
  const Kitchen& kitchen;
  const Plan& plan;
  Instant at;

  [[nodiscard]] std::string jar_name(const JarId& id) const { return name_of_jar(id, plan); }

  [[nodiscard]] Refusal empty(const JarId& jar, std::string_view instead) const {
    return {fmt::format("{} holds nothing at {}; {}", jar_name(jar), day_and_clock_text(at, plan),
                        instead)};
  }

  [[nodiscard]] Outcome holds_something(const JarId& jar, std::string_view instead) const {
    if (kitchen.in_jar(jar) == nullptr) return empty(jar, instead);
    return Nothing{};
  }

  [[nodiscard]] Outcome holds_grains(const JarId& jar, std::string_view what) const {
    const Batch* batch = kitchen.in_jar(jar);
    if (batch == nullptr) return empty(jar, "start a batch first");
    if (batch->strained) {
      return Refusal{fmt::format("{} was strained at {}; {} is said of a batch with its grains",
                                 jar_name(jar), day_and_clock_text(batch->strained->at, plan),
                                 what)};
    }
    return Nothing{};
  }

  [[nodiscard]] Outcome holds_kefir(const JarId& jar, std::string_view what) const {
    const Batch* batch = kitchen.in_jar(jar);
    if (batch == nullptr) return empty(jar, "strain a batch into it first");
    if (!batch->strained) {
      return Refusal{
          fmt::format("{} still has its grains in it; strain it before you {} it, or discard it",
                      jar_name(jar), what)};
    }
    return Nothing{};
  }

  Outcome operator()(const Start& start) const {
    const Batch* batch = kitchen.in_jar(start.jar);
    if (batch == nullptr) return Nothing{};
    if (!batch->strained) {
      return Refusal{fmt::format("{} holds a batch since {}; strain or discard it first",
                                 jar_name(start.jar), day_and_clock_text(batch->started, plan))};
    }
    if (batch->in_fridge) {
      return Refusal{
          fmt::format("{} holds kefir in the fridge since {}; finish or discard it first",
                      jar_name(start.jar), day_and_clock_text(batch->stored.back().at, plan))};
    }
    return Nothing{};  // strained kefir that was poured out without a word
  }

  Outcome operator()(const SignSeen& seen) const { return holds_grains(seen.jar, "a sign"); }
  Outcome operator()(const PhMeasured& measured) const {
    return holds_something(measured.jar, "start a batch first");
  }
  Outcome operator()(const Move& move) const {
    if (Outcome something = holds_something(move.jar, "start a batch first"); !something) {
      return something;
    }
    const Batch* batch = kitchen.in_jar(move.jar);
    const PlannedPlace* to = plan.place(move.place);
    const bool to_a_fridge = to != nullptr && to->kind == PlaceKind::fridge;
    // Kefir goes in and out of the fridge with its own words: they begin and end its storing.
    if (batch->in_fridge && !to_a_fridge) {
      return Refusal{fmt::format("{} is kefir in the fridge since {}; take it out instead",
                                 jar_name(move.jar),
                                 day_and_clock_text(batch->stored.back().at, plan))};
    }
    if (batch->strained && !batch->in_fridge && to_a_fridge) {
      return Refusal{jar_name(move.jar) + " holds kefir; store it instead"};
    }
    return Nothing{};
  }
  Outcome operator()(const LidPut& lid) const {
    return holds_something(lid.jar, "start a batch first");
  }

  Outcome operator()(const Strain& strain) const {
    if (Outcome grains = holds_grains(strain.jar, "straining"); !grains) return grains;
    if (!strain.into || *strain.into == strain.jar) return Nothing{};
    const Batch* other = kitchen.in_jar(*strain.into);
    if (other == nullptr) return Nothing{};
    return Refusal{
        fmt::format("{} is not empty: it holds {} since {}; finish it first, or strain "
                    "into another jar",
                    jar_name(*strain.into), other->strained ? "kefir" : "a batch",
                    day_and_clock_text(other->started, plan))};
  }

  Outcome operator()(const StoreAway& store) const {
    if (Outcome kefir = holds_kefir(store.jar, "store"); !kefir) return kefir;
    const Batch* batch = kitchen.in_jar(store.jar);
    if (!batch->in_fridge) return Nothing{};
    return Refusal{fmt::format("{} is in the fridge already, since {}", jar_name(store.jar),
                               day_and_clock_text(batch->stored.back().at, plan))};
  }

  Outcome operator()(const Take& take) const {
    if (Outcome kefir = holds_kefir(take.jar, "take"); !kefir) return kefir;
    if (kitchen.in_jar(take.jar)->in_fridge) return Nothing{};
    return Refusal{jar_name(take.jar) + " is not in the fridge"};
  }

  Outcome operator()(const Finish& finish) const { return holds_kefir(finish.jar, "finish"); }
  Outcome operator()(const Discard& discard) const {
    return holds_something(discard.jar, "there is nothing to discard");
  }
  Outcome operator()(const Weigh&) const { return Nothing{}; }
  Outcome operator()(const Retract&) const { return Nothing{}; }
};

Outcome Kitchen::allows(const FactRecord& record, const Plan& plan) const {
  return std::visit(Allowing{*this, plan, record.at}, record.fact);
}

// What each kind of fact changes.
struct Kitchen::Taking {
  Kitchen& kitchen;
  const FactRecord& record;

  [[nodiscard]] Batch& batch_in(const JarId& jar) const {
    const auto found = kitchen.contents_.find(jar);
    check(found != kitchen.contents_.end(), "a fact about a jar's contents was allowed");
    kitchen.last_touched_ = kitchen.batches_[found->second].number;
    return kitchen.batches_[found->second];
  }

  void end(const JarId& jar, Ending how) const {
    batch_in(jar).ended = Ended{record.at, how};
    kitchen.contents_.erase(jar);
  }

  void stands_at(const JarId& jar, const PlaceId& place) const {
    batch_in(jar).stays.push_back({record.at, jar, place});
  }

  void operator()(const Start& start) const {
    if (kitchen.in_jar(start.jar) != nullptr) end(start.jar, Ending::finished);
    kitchen.contents_[start.jar] = kitchen.batches_.size();
    kitchen.last_touched_ = record.number;
    kitchen.batches_.push_back(Batch{record.number,
                                     record.at,
                                     start,
                                     {{record.at, start.jar, *start.place}},
                                     {},
                                     *start.lid,
                                     record.at,
                                     std::nullopt,
                                     {},
                                     false,
                                     std::nullopt});
  }

  void operator()(const SignSeen& seen) const {
    batch_in(seen.jar).observations.push_back({record.at, seen.sign});
  }
  void operator()(const PhMeasured& measured) const {
    batch_in(measured.jar).observations.push_back({record.at, measured.ph});
  }
  void operator()(const Move& move) const { stands_at(move.jar, move.place); }

  void operator()(const LidPut& lid) const {
    Batch& batch = batch_in(lid.jar);
    batch.lid = lid.lid;
    batch.lid_since = record.at;
  }

  void operator()(const Strain& strain) const {
    Batch& batch = batch_in(strain.jar);
    batch.strained = Strained{record.number, record.at, strain};
    if (strain.grain_g) kitchen.weighed_g_[*batch.start.culture] = *strain.grain_g;
    if (!strain.into || *strain.into == strain.jar) return;
    const std::size_t index = kitchen.contents_.at(strain.jar);
    kitchen.contents_.erase(strain.jar);
    kitchen.contents_[*strain.into] = index;
    stands_at(*strain.into, batch.place());
  }

  void operator()(const StoreAway& store) const {
    Batch& batch = batch_in(store.jar);
    batch.stored.push_back({record.number, record.at, store.jar});
    batch.in_fridge = true;
    stands_at(store.jar, *store.place);
  }

  void operator()(const Take& take) const {
    batch_in(take.jar).in_fridge = false;
    stands_at(take.jar, *take.place);
  }

  void operator()(const Finish& finish) const { end(finish.jar, Ending::finished); }
  void operator()(const Discard& discard) const { end(discard.jar, Ending::discarded); }
  void operator()(const Weigh& weigh) const { kitchen.weighed_g_[weigh.culture] = weigh.grain_g; }
  void operator()(const Retract&) const {}  // the ledger folds again without the other fact
};

void Kitchen::take(const FactRecord& record) {
  last_touched_ = 0;
  std::visit(Taking{*this, record}, record.fact);
}

}  // namespace wheymark
