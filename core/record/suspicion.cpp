#include "core/record/suspicion.hpp"

#include "core/record/jar_book.hpp"

namespace wheymark {
namespace {

template <class Key>
const Suspicion* found(const std::map<Key, Suspicion>& among, const Key& key) {
  const auto entry = among.find(key);
  return entry == among.end() ? nullptr : &entry->second;
}

// Whether it has, or had, the grains in it that are here now, and not only before a good look.
bool is_affected(const Batch& batch, const CultureId& culture, const Grains& grains) {
  if (batch.start.culture != culture || batch.started < grains.here_since()) return false;
  return !batch.strained || batch.strained->at > grains.last_good_look().value_or(Instant::min());
}

}  // namespace

struct Suspicions::Taking {
  Suspicions& all;
  const FactRecord& record;
  const JarBook& book;
  std::vector<std::uint64_t>& news;

  void suspect(const Batch& batch, const Suspicion& why) const {
    if (!all.batches_.emplace(batch.number, why).second) return;
    if (!batch.ended) news.push_back(batch.number);
  }

  // Something is in this jar now. If it was not washed, whoever reads of its batch is told.
  void fill(const JarId& jar) const {
    const auto glass = all.glass_.extract(jar);
    if (glass.empty()) return;
    if (const Batch* batch = book.in_jar(jar)) {
      all.unwashed_.emplace(batch->number, glass.mapped());
    }
  }

  void empty(const JarId& jar) const {
    for (const std::uint64_t number : book.changed_batches()) {
      const Suspicion* why = all.of_batch(number);
      if (why != nullptr && book.in_jar(jar) == nullptr) all.glass_.insert_or_assign(jar, *why);
    }
  }

  void operator()(const Start& start) const {
    for (const std::uint64_t number : book.changed_batches()) {
      const Suspicion* why = all.of_batch(number);
      if (why != nullptr) all.glass_.insert_or_assign(start.jar, *why);  // poured out of it untold
    }
    fill(start.jar);
    const auto& seen = book.grains(*start.culture).suspected();
    if (seen) suspect(*book.in_jar(start.jar), {seen->told, seen->said, true});
  }

  void operator()(const Strain& strain) const {
    empty(strain.jar);
    const auto strained_now = [&](const Batch& batch) {
      return batch.strained && batch.strained->fact == record.number;
    };
    // Whatever comes out of a suspect jar is suspect, in one bottle or in several.
    const Suspicion* all_of_it = nullptr;
    for (const std::uint64_t number : book.changed_batches()) {
      if (strained_now(*book.numbered(number)) && all.of_batch(number) != nullptr) {
        all_of_it = all.of_batch(number);
      }
    }
    for (const std::uint64_t number : book.changed_batches()) {
      const Batch& batch = *book.numbered(number);
      if (all_of_it != nullptr && strained_now(batch)) suspect(batch, *all_of_it);
    }
    for (const std::uint64_t number : book.changed_batches()) {
      const Batch& batch = *book.numbered(number);
      fill(batch.jar());
      if (batch.mixed.empty() || batch.mixed.back().at != record.at) continue;
      // Poured onto it, a suspect batch makes all of it suspect.
      if (const Suspicion* why = all.of_batch(batch.mixed.back().batch)) suspect(batch, *why);
    }
  }

  // A bottle that is filled from a suspect one is suspect.
  void operator()(const StoreAway& store) const {
    if (!store.from) return;
    empty(*store.from);
    for (const std::uint64_t from : book.changed_batches()) {
      const Suspicion* why = all.of_batch(from);
      if (why == nullptr) continue;
      for (const std::uint64_t into : book.changed_batches()) suspect(*book.numbered(into), *why);
    }
    fill(store.jar);
  }

  void operator()(const Pour& pour) const { empty(pour.jar); }
  void operator()(const Finish& finish) const { empty(finish.jar); }
  void operator()(const Discard& discard) const { empty(discard.jar); }
  void operator()(const Wash& wash) const { all.glass_.erase(wash.jar); }

  void operator()(const Inspect& said) const {
    if (!must_be_discarded(said)) return;
    const Batch* batch = said.jar ? book.in_jar(*said.jar) : nullptr;
    const FactRef told{record.number, record.at};
    if (batch != nullptr && batch->strained) return suspect(*batch, {told, said, false});
    const Suspicion why{told, said, true};
    for (const Batch& each : book.batches()) {
      if (!is_affected(each, *said.culture, book.grains(*said.culture))) continue;
      suspect(each, why);
      const JarId& jar = each.start.jar;
      const bool washed = book.care(jar).batches == 0;
      if (book.in_jar(jar) == nullptr && !washed) all.glass_.insert_or_assign(jar, why);
    }
  }

  void operator()(const auto&) const {}
};

std::vector<std::uint64_t> Suspicions::apply(const FactRecord& record, const JarBook& book) {
  std::vector<std::uint64_t> news;
  std::visit(Taking{*this, record, book, news}, record.fact);
  return news;
}

const Suspicion* Suspicions::of_batch(std::uint64_t number) const {
  return found(batches_, number);
}
const Suspicion* Suspicions::of_glass(const JarId& jar) const {
  return found(glass_, jar);
}
const Suspicion* Suspicions::filled_unwashed(std::uint64_t batch) const {
  return found(unwashed_, batch);
}

std::string reason_to_discard(const Inspect& said) {
  if (said.mould.value_or(false)) return "mould";
  if (said.colour && is_unusual(*said.colour)) return std::string(word(*said.colour));
  return "a rotten smell";
}

}  // namespace wheymark
