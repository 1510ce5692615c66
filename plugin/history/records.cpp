#include "plugin/history/records.hpp"

#include <algorithm>

#include "core/announce/occurrence_ids.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/stored_kefir.hpp"
#include "core/jar/milk_course.hpp"

namespace wheymark {
namespace {

using Airs = std::map<PlaceId, PlaceAir>;

Airs airs_of(const Records& records, const HouseholdSetup& setup) {
  Airs airs;
  for (const Records::Taken& taken : records.readings) {
    PlaceAir& air = airs[taken.place];
    taken.is_late ? air.read_late(taken.reading) : air.read(taken.reading, setup);
  }
  for (auto& [place, air] : airs) air.fold_late(setup);
  return airs;
}

std::optional<Instant> announced(const Records& records, const Batch& batch, EventKind kind) {
  const Occurrence occurrence =
      of_jar(batch.start.jar, kind, batch.started, batch.started, batch.number);
  const auto found = records.announced.find(occurrence.id);
  return found == records.announced.end() ? std::nullopt : std::optional(found->second);
}

// Until the grains came out, or it ended, or for ever.
Instant grains_until(const Batch& batch) {
  if (batch.strained) return batch.strained->at;
  return batch.ended ? batch.ended->at : Instant::max();
}

// Linear between readings, so a thermometer that reports often counts no more than another.
std::optional<double> mean_c(const TemperatureHistory& history, Instant from, Instant to) {
  double degree_hours = 0.0;
  double hours = 0.0;
  for (const RoomStretch& stretch : history.between(from, to)) {
    const double h = hours_between(stretch.from, stretch.to);
    degree_hours += 0.5 * h * (stretch.at_from.degrees() + stretch.at_to.degrees());
    hours += h;
  }
  return hours > 0.0 ? std::optional(degree_hours / hours) : std::nullopt;
}

std::string text(std::string_view word) {
  return std::string(word);
}

Cell ending_of(const Batch& batch) {
  if (!batch.ended) return {};
  switch (batch.ended->how) {
    case Ending::finished:
      return text("finished");
    case Ending::discarded:
      return text("discarded");
    case Ending::mixed:
      return text("mixed");
    case Ending::untold:
      return text("untold");
  }
  return {};
}

// What was seen that is a reason to discard it: "mould".
Cell reason_of(const Suspicion* why) {
  return why == nullptr ? Cell{} : Cell{reason_to_discard(why->said)};
}

}  // namespace

void Records::add(const Entry& entry) {
  if (const auto* taken = std::get_if<ReadingTaken>(&entry)) {
    readings.push_back({taken->place, {taken->at, taken->air}, taken->is_late});
  } else if (const auto* said = std::get_if<Announced>(&entry)) {
    announced.emplace(said->id, said->at);
  }
}

std::optional<Instant> Records::last() const {
  std::optional<Instant> last;
  const auto latest = std::find_if(readings.rbegin(), readings.rend(),
                                   [](const Taken& taken) { return !taken.is_late; });
  if (latest != readings.rend()) last = latest->reading.at;
  for (const auto& [id, at] : announced) last = last ? std::max(*last, at) : at;
  return last;
}

std::vector<BatchRecord> batch_records(const Household& household, const Records& records) {
  const Airs airs = airs_of(records, household.setup());
  std::vector<BatchRecord> list;
  for (const Batch& batch : household.book().batches()) {
    if (batch.share_of) continue;
    const Instant until = grains_until(batch);
    BatchRecord record{&batch, std::nullopt, std::nullopt, std::nullopt, false};
    const auto in_time = [&](std::optional<Instant> at) { return at && *at <= until; };
    const auto seen = first_seen(batch, Sign::whey_pockets);
    record.peak = seen ? seen : announced(records, batch, EventKind::peak_open);
    if (!in_time(record.peak)) record.peak.reset();
    if (record.peak) record.peak_h = hours_between(batch.started, *record.peak);
    record.over_fermented = in_time(first_seen(batch, Sign::whey_layer)) ||
                            in_time(announced(records, batch, EventKind::over_fermented)) ||
                            (batch.strained && batch.strained->said.verdict == Verdict::late);
    const auto air = airs.find(batch.stays.front().place);
    if (batch.remembered) {
      record.room_c = batch.room_c;
    } else if (air != airs.end()) {
      const TemperatureHistory& read = air->second.history();
      record.room_c = mean_c(read, batch.started, std::min(until, read.last()->at));
    }
    record.suspicion = household.book().suspicion(batch);
    list.push_back(record);
  }
  return list;
}

Table batches_table(const std::vector<BatchRecord>& batches) {
  Table table{{"batch",       "jar",    "culture",  "milk",   "treatment", "milk_ml",
               "grain_g",     "lid",    "place",    "milk_c", "started",   "room_c",
               "peak",        "peak_h", "strained", "hours",  "verdict",   "over_fermented",
               "grain_out_g", "into",   "ended",    "ending", "suspect"},
              {}};
  for (const BatchRecord& record : batches) {
    const Batch& batch = *record.batch;
    const Start& start = batch.start;
    std::optional<Instant> strained;
    std::optional<double> hours;
    Strain said;
    if (batch.strained) {
      strained = batch.strained->at;
      hours = hours_between(batch.started, *strained);
      said = batch.strained->said;
    }
    table.rows.push_back({static_cast<std::int64_t>(batch.number),
                          start.jar.text(),
                          start.culture->text(),
                          text(word(*start.milk)),
                          text(word(*start.treatment)),
                          *start.milk_ml,
                          *start.grain_g,
                          text(word(*start.lid)),
                          start.place->text(),
                          *start.milk_c,
                          batch.started,
                          cell(record.room_c),
                          cell(record.peak),
                          cell(record.peak_h),
                          cell(strained),
                          cell(hours),
                          said.verdict ? Cell{text(word(*said.verdict))} : Cell{},
                          record.over_fermented,
                          cell(said.grain_g),
                          said.into.empty() ? Cell{} : Cell{said.into.front().jar.text()},
                          batch.ended ? Cell{batch.ended->at} : Cell{},
                          ending_of(batch),
                          reason_of(record.suspicion)});
  }
  return table;
}

Table bottles_table(const Household& household, const Records& records, Instant now) {
  const Airs airs = airs_of(records, household.setup());
  const AirOf air = [&](const PlaceId& place) -> const PlaceAir* {
    const auto found = airs.find(place);
    return found == airs.end() ? nullptr : &found->second;
  };
  Table table{{"batch", "jar", "stored", "age_d", "effective_age_d", "best_by", "last_day",
               "poured_on", "ended", "ending", "suspect"},
              {}};
  for (const Batch& batch : household.book().batches()) {
    if (batch.stored.empty()) continue;
    const Instant stored = batch.stored.front().at;
    const Instant until = batch.ended ? batch.ended->at : now;
    MilkCourse course(batch, household.setup(), household.parameters());
    course.follow(batch, air, [](const Condition&, const Condition&) {});
    const double aged_h = age_when_stored(course, batch, air, household.parameters())
                              .at(course.at(batch, air, until)->cold_clock_h);
    const StoredKefir dates = stored_kefir(household, batch, until);
    table.rows.push_back({static_cast<std::int64_t>(batch.origin()), batch.jar().text(), stored,
                          hours_between(stored, until) / 24.0,
                          std::max(aged_h, hours_between(stored, until)) / 24.0, dates.best_by,
                          dates.last_day, static_cast<std::int64_t>(batch.mixed.size()),
                          batch.ended ? Cell{batch.ended->at} : Cell{}, ending_of(batch),
                          reason_of(household.book().suspicion(batch))});
  }
  return table;
}

Table cultures_table(const Household& household) {
  Table table{{"culture", "at", "grain_g", "split_from"}, {}};
  for (const CultureSetup& culture : household.setup().cultures) {
    const Grains& grains = household.book().grains(culture.id);
    for (const MassPoint& point : grains.masses()) {
      table.rows.push_back({culture.id.text(), point.at, point.mass.grams(culture.grain_g),
                            grains.parent() ? Cell{grains.parent()->culture.text()} : Cell{}});
    }
  }
  return table;
}

Table readings_table(const Records& records) {
  Table table{{"place", "at", "air_c"}, {}};
  for (const Records::Taken& taken : records.readings) {
    table.rows.push_back({taken.place.text(), taken.reading.at, taken.reading.air.degrees()});
  }
  return table;
}

}  // namespace wheymark
