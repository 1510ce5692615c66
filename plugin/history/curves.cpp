#include "plugin/history/curves.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <utility>

#include "core/basis/limits.hpp"
#include "core/jar/vessel.hpp"

namespace wheymark {
namespace {

// Numbers from 1 for what a person has named.
template <class Name>
class Numbers {
 public:
  std::int64_t of(const Name& name) {
    return numbers_.try_emplace(name, static_cast<std::int64_t>(numbers_.size()) + 1).first->second;
  }

 private:
  std::map<Name, std::int64_t> numbers_;
};

// What happened at one hour; a row without the batch's number and what was poured.
struct CurvePoint {
  Instant at;
  std::string what;
  Cell number;
  Cell word;
  Cell place;
};

class CurvesOf {
 public:
  CurvesOf(const Household& household, const Records& records) : household_(household) {
    for (const Records::Taken& taken : records.readings) {
      readings_[taken.place].push_back(taken.reading);
    }
    // In the journal's order they are of the hours at which they came.
    for (auto& [place, list] : readings_) {
      std::stable_sort(list.begin(), list.end(),
                       [](const Reading& a, const Reading& b) { return a.at < b.at; });
    }
    for (const Batch& batch : household.book().batches()) {
      if (batch.strained) grains_out_[*batch.start.culture].insert(batch.strained->at);
    }
  }

  void add(const Batch& batch, Table& table) {
    const std::int64_t number = ++batches_;
    for (const CurvePoint& point : points_of(batch)) {
      std::vector<Cell> row{number,     hours_between(batch.started, point.at),
                            point.what, point.number,
                            point.word, point.place};
      std::vector<Cell> poured =
          point.what == "poured" ? what_was_poured(batch) : std::vector<Cell>(poured_columns);
      std::move(poured.begin(), poured.end(), std::back_inserter(row));
      table.rows.push_back(std::move(row));
    }
  }

 private:
  static constexpr std::size_t poured_columns = 12;

  std::vector<Cell> what_was_poured(const Batch& batch) {
    const Start& start = batch.start;
    const auto& rest = batch.after_rest;
    return {jars_.of(start.jar),
            cultures_.of(*start.culture),
            std::string(word(*start.milk)),
            std::string(word(*start.treatment)),
            *start.milk_ml,
            *start.grain_g,
            *start.milk_c,
            capacity_ml(household_.setup(), start.jar, *start.milk_ml),
            std::string(word(*start.lid)),
            idle_h(batch),
            rest ? Cell{rest->rested_h} : Cell{},
            rest ? Cell{static_cast<std::int64_t>(rest->batch)} : Cell{}};
  }

  // How long the culture's grains had been out of milk that ferments.
  [[nodiscard]] Cell idle_h(const Batch& batch) {
    const std::set<Instant>& outs = grains_out_[*batch.start.culture];
    const auto later = outs.upper_bound(batch.started);
    if (later == outs.begin()) return {};
    return hours_between(*std::prev(later), batch.started);
  }

  std::vector<CurvePoint> points_of(const Batch& batch) {
    const Instant until = batch.strained ? batch.strained->at
                          : batch.ended  ? batch.ended->at
                                         : batch.started + limits::batch_followed_max;
    std::vector<CurvePoint> points;
    for (std::size_t i = 0; i < batch.stays.size(); ++i) {
      const Stay& stay = batch.stays[i];
      if (i > 0 && stay.from >= until) break;  // the kefir without its grains
      points.push_back({stay.from,
                        i == 0 ? "poured" : "moved",
                        {},
                        kind_of(stay.place),
                        places_.of(stay.place)});
      const bool is_last = i + 1 == batch.stays.size();
      add_readings(stay, is_last ? until : std::min(until, batch.stays[i + 1].from), points);
    }
    for (const Observation& seen : batch.observations) {
      if (seen.at > until) continue;
      if (const auto* sign = std::get_if<Sign>(&seen.what)) {
        points.push_back({seen.at, "sign", {}, std::string(word(*sign)), {}});
      } else {
        points.push_back({seen.at, "ph", std::get<double>(seen.what), {}, {}});
      }
    }
    if (batch.strained) {
      const Strain& said = batch.strained->said;
      const Cell verdict = said.verdict ? Cell{std::string(word(*said.verdict))} : Cell{};
      points.push_back({until, "strained", cell(said.grain_g), verdict, {}});
    } else if (batch.ended) {
      points.push_back({until, "given-up", {}, {}, {}});
    }
    // What was poured stays first, and what ended it last.
    std::stable_sort(points.begin(), points.end(),
                     [](const CurvePoint& a, const CurvePoint& b) { return a.at < b.at; });
    return points;
  }

  void add_readings(const Stay& stay, Instant until, std::vector<CurvePoint>& points) const {
    const auto found = readings_.find(stay.place);
    if (found == readings_.end()) return;
    const auto earlier = [](const Reading& reading, Instant at) { return reading.at < at; };
    const auto end = found->second.end();
    for (auto reading = std::lower_bound(found->second.begin(), end, stay.from, earlier);
         reading != end && reading->at < until; ++reading) {
      points.push_back({reading->at, "air", reading->air.degrees(), {}, {}});
    }
  }

  // A place that has left the setup has no kind.
  [[nodiscard]] Cell kind_of(const PlaceId& id) const {
    const PlaceSetup* place = household_.setup().place(id);
    return place == nullptr ? Cell{} : Cell{std::string(word(place->kind))};
  }

  const Household& household_;
  std::map<PlaceId, std::vector<Reading>> readings_;
  std::map<CultureId, std::set<Instant>> grains_out_;
  std::int64_t batches_ = 0;
  Numbers<JarId> jars_;
  Numbers<CultureId> cultures_;
  Numbers<PlaceId> places_;
};

}  // namespace

Table curves_table(const Household& household, const Records& records) {
  Table table{
      {"batch", "hours", "what", "number", "word", "place", "jar", "culture", "milk", "treatment",
       "milk_ml", "grain_g", "milk_c", "jar_ml", "lid", "idle_h", "rested_h", "batch_since_rest"},
      {}};
  CurvesOf curves(household, records);
  for (const Batch& batch : household.book().batches()) {
    // A share has no milk and grains of its own, and of a batch of before no course is known.
    if (!batch.share_of && !batch.remembered) curves.add(batch, table);
  }
  return table;
}

}  // namespace wheymark
