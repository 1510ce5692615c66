// A household's past from its journal: batches, bottles, grains and readings as tables.
//
// The household itself holds what people did; what only the journal knows (all readings, and when
// something was announced) is read from there. Everything is as far as it was reported: a peak that
// nobody saw is the one that was announced.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/air/temperature_history.hpp"
#include "core/household/household.hpp"
#include "plugin/history/table.hpp"

namespace wheymark {

struct Records {
  struct Taken {
    PlaceId place;
    Reading reading;
    bool is_late = false;  // see ReadingTaken
  };
  std::vector<Taken> readings;               // in the order of the journal
  std::map<std::string, Instant> announced;  // when, by id

  void add(const Entry& entry);
  // The last instant of a reading or an announcement.
  [[nodiscard]] std::optional<Instant> last() const;
};

// One batch, summed up.
struct BatchRecord {
  const Batch* batch;
  std::optional<double> room_c;  // mean of the readings where it fermented
  std::optional<Instant> peak;   // whey pockets seen, else announced as due, while it had grains
  std::optional<double> peak_h;  // since the start
  bool over_fermented;           // seen, reported late, or announced, before it was strained
  const Suspicion* suspicion = nullptr;
};

std::vector<BatchRecord> batch_records(const Household& household, const Records& records);

Table batches_table(const std::vector<BatchRecord>& batches);
Table bottles_table(const Household& household, const Records& records, Instant now);
// The mass of each culture's grains after every fact that changed it.
Table cultures_table(const Household& household);
Table readings_table(const Records& records);

}  // namespace wheymark
