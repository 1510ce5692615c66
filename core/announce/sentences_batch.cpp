// The sentences about a batch from its start to its straining.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "core/announce/cautions.hpp"
#include "core/announce/describe.hpp"
#include "core/announce/refuted.hpp"
#include "core/basis/check.hpp"
#include "core/household/grain_needs.hpp"
#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/suspect_words.hpp"
#include "core/record/amounts.hpp"
#include "core/record/headspace.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

std::string_view milk_name(MilkKind milk) {
  switch (milk) {
    case MilkKind::cow_whole:
      return "whole cow's milk";
    case MilkKind::cow_2_percent:
      return "cow's milk (2 %)";
    case MilkKind::cow_1_percent:
      return "cow's milk (1 %)";
    case MilkKind::cow_skim:
      return "skimmed cow's milk";
    case MilkKind::cow_powder:
      return "milk from powder";
    case MilkKind::goat:
      return "goat's milk";
    case MilkKind::sheep:
      return "sheep's milk";
    case MilkKind::buffalo:
      return "buffalo's milk";
  }
  return "milk";
}

// What the sentences about one batch are made from.
class BatchTeller {
 public:
  BatchTeller(const Household& household, const Batch& batch, Announcement& out, Instant now)
      : household_(household),
        setup_(household.setup()),
        batch_(batch),
        out_(out),
        now_(now),
        suspicion_(household.book().suspicion(batch)) {
    // Announced late, it describes the state at that time; announced in time, that is now.
    const Instant then = std::min(now, out.time);
    condition_ = household.condition(batch, std::max(then, batch.started));
    if (const auto* air = household.places().history(batch.place())) room_ = air->at(then);
  }

  void tell() {
    add("batch_started", batch_.started);
    if (condition_) add("milk_c", condition_->milk.degrees());
    if (room_) add("room_c", room_->degrees());
    add_forecast();
    switch (out_.kind) {
      case EventKind::batch_started:
        return tell_started();
      case EventKind::peak_near:
        return tell_near();
      case EventKind::peak_open:
        return tell_open();
      case EventKind::peak_closing:
        return tell_closing();
      case EventKind::over_fermented:
        return tell_over();
      case EventKind::strained:
        return tell_strained();
      default:
        check(false, "a batch tells of batches");
    }
  }

 private:
  void add(std::string name, std::variant<double, Instant, std::string> value) {
    out_.details.push_back({std::move(name), std::move(value)});
  }

  void add_forecast() {
    if (batch_.fermenting() || out_.kind == EventKind::strained) {
      add("hours", hours_between(batch_.started, out_.time));
    }
    const Fermentation* fermentation = household_.fermentation(batch_);
    if (fermentation == nullptr || suspicion_ != nullptr) return;
    if (condition_) {
      add("ph", fermentation->acid(*condition_).ph);
      add("acidity_percent", fermentation->acid(*condition_).acidity_percent);
    }
    if (!fermentation->forecast()) return;
    const auto spread = [&](const std::string& name, const InstantSpread& instants) {
      if (instants.p50) add(name, *instants.p50);
      if (instants.p10) add(name + "_earliest", *instants.p10);
      if (instants.p90) add(name + "_latest", *instants.p90);
    };
    opens_ = fermentation->forecast()->peak_opens;
    closes_ = fermentation->forecast()->peak_closes;
    spread("peak_opens", opens_);
    spread("peak_closes", closes_);
  }

  [[nodiscard]] std::string jar_name(const JarId& id) const { return name_of_jar(id, setup_); }
  [[nodiscard]] std::string jar_name() const { return jar_name(batch_.start.jar); }
  [[nodiscard]] std::string culture_name() const {
    return name_of_culture(*batch_.start.culture, setup_);
  }
  [[nodiscard]] std::string place_name(const PlaceId& id) const {
    return name_of_place(id, setup_);
  }
  [[nodiscard]] std::string clock(Instant instant) const {
    return near_clock_text(instant, out_.time, setup_);
  }

  // " (21.3 °C, 19 h)"
  [[nodiscard]] std::string room_and_hours() const {
    const double hours = hours_between(batch_.started, out_.time);
    if (!room_) return fmt::format(" ({:.0f} h)", hours);
    return fmt::format(" ({:.1f} °C, {:.0f} h)", room_->degrees(), hours);
  }

  // ", between 02:10 and 06:00", as far as it is known.
  [[nodiscard]] std::string between(const InstantSpread& spread) const {
    if (!spread.p10 || !spread.p90) return "";
    if (*spread.p10 <= out_.time) {
      return fmt::format("; it may be open already, and likely is by {}", clock(*spread.p90));
    }
    return fmt::format(", likely between {} and {}", clock(*spread.p10), clock(*spread.p90));
  }

  void tell_started() {
    const Start& start = batch_.start;
    out_.text = fmt::format("{}: {:.4g} g of {} went into {:.4g} mL of {} at {} ({}).", jar_name(),
                            *start.grain_g, culture_name(), *start.milk_ml, milk_name(*start.milk),
                            clock(batch_.started), place_name(*start.place));
    if (suspicion_ != nullptr) {
      tell_suspect();
    } else if (opens_.p50 && *opens_.p50 <= now_) {
      out_.text += fmt::format(" Its peak has likely opened near {}.", clock(*opens_.p50));
    } else if (opens_.p50) {
      out_.text +=
          fmt::format(" The peak should open near {}{}.", clock(*opens_.p50), between(opens_));
      add_doubt();
    } else {
      out_.text += condition_ ? " At this temperature no peak is in sight for days."
                              : " No thermometer has been read there yet, so there is no forecast.";
    }
    if (suspicion_ == nullptr) add_advice();
    add("milk_ml", *start.milk_ml);
    add("grain_g", *start.grain_g);
    add_start_cautions(start);
  }

  // Whether no earlier batch is like this one, so that advice is given only once.
  template <class Alike>
  [[nodiscard]] bool is_first(Alike alike) const {
    for (const Batch& other : household_.book().batches()) {  // in the order of their starts
      if (other.started >= batch_.started) break;
      if (alike(other)) return false;
    }
    return true;
  }
  [[nodiscard]] bool is_first_with(Treatment treatment) const {
    return batch_.start.treatment == treatment && is_first([&](const Batch& other) {
             return other.start.treatment == treatment &&
                    other.start.culture == batch_.start.culture;
           });
  }

  void add_advice() {
    if (batch_.after_rest) {
      out_.text += fmt::format(
          " The grains have rested: their first batches are slow and may taste odd. This is number "
          "{} since; go by what you see.",
          batch_.after_rest->batch);
    }
    if (is_first_with(Treatment::ultra_pasteurised)) {
      out_.text += " Ultra-pasteurised milk works poorly for grains; pasteurised milk does better.";
    }
    if (is_first([](const Batch&) { return true; })) {
      out_.text +=
          " Use glass, stainless steel or plastic for food: the acid eats into aluminium, copper "
          "and zinc.";
    }
  }

  void add_start_cautions(const Start& start) {
    std::string caution;
    if (suspicion_ != nullptr) cautions::add(caution, cautions::suspect);
    if (household_.book().filled_unwashed(batch_) != nullptr) {
      cautions::add(caution, cautions::unwashed);
    }
    if (is_first_with(Treatment::raw)) cautions::add(caution, cautions::raw_milk);
    const JarSetup* jar = setup_.jar(start.jar);
    if (jar != nullptr && batch_.fullest_yet &&
        headspace_cm(*start.milk_ml, jar->capacity_ml) < headspace_cm_told_below) {
      cautions::add(caution, cautions::headspace);
    }
    if (!caution.empty()) out_.caution = caution;
  }

  // What was seen, and what to do, instead of anything that praises or advises.
  void tell_suspect() {
    out_.text += fmt::format(" It is suspect: {}; {}.", what_was_seen(*suspicion_, setup_),
                             what_to_do(&batch_));
    out_.caution = cautions::suspect;
  }

  void tell_near() {
    out_.text = fmt::format(
        "{}: the peak comes near {}{}{}. Have strainer and bottle ready, or cool the jar to hold "
        "it.",
        jar_name(), opens_.p50 ? clock(*opens_.p50) : "now", between(opens_), room_and_hours());
    add_doubt();
  }

  // Why its limits are wider than usual.
  void add_doubt() {
    if (household_.places().doubt_k(batch_.place()) <= 0.0) return;
    const Thermometer& thermometer = household_.places().thermometer(batch_.place());
    const bool is_old = !thermometer.doubted_since() && !thermometer.stuck_since();
    out_.text += fmt::format(" The thermometer there {}, so this is less sure than usual.",
                             is_old ? "has said nothing new of late" : "is not to be trusted");
    add("air_doubt_k", household_.places().doubt_k(batch_.place()));
  }

  void tell_open() {
    // Whoever has just seen them is not told that they should show, wherever the forecast now lies.
    const Observation* look = look_before(batch_, out_);
    const bool seen = first_seen_since(batch_, Sign::whey_pockets, look).has_value();
    out_.text = fmt::format("{}: {}{}. Strain it, or cool it to hold it.", jar_name(),
                            seen ? "whey pockets were seen, so the peak is open"
                                 : "the first whey pockets should show about now",
                            room_and_hours());
    if (look != nullptr && !seen) {
      out_.text += fmt::format(" It was too early at {}.", clock(look->at));
    }
  }

  void tell_closing() {
    out_.text =
        fmt::format("{}: the peak is closing; clear whey is likely near {}{}. Strain it soon.",
                    jar_name(), closes_.p50 ? clock(*closes_.p50) : "now", room_and_hours());
    add_doubt();
  }

  void tell_over() {
    const bool seen =
        first_seen_since(batch_, Sign::whey_layer, look_before(batch_, out_)).has_value();
    out_.text = fmt::format(
        "{}: over-fermented; {}{}. Strain it now: it will be sour, and the grains want fresh milk.",
        jar_name(), seen ? "whey was seen" : "a layer of clear whey is likely", room_and_hours());
    out_.caution = cautions::over_fermented;
  }

  void tell_strained() {
    const Strained& strained = *batch_.strained;
    out_.text =
        fmt::format("{}: strained{}{}.", jar_name(), into_bottles(strained.said), room_and_hours());
    if (strained.said.verdict) add("verdict", std::string(word(*strained.said.verdict)));
    if (strained.said.verdict && suspicion_ == nullptr) {
      out_.text += fmt::format(" You called it {}.", verdict_words(*strained.said.verdict));
    }
    if (suspicion_ == nullptr) add_grains(strained);
    if (strained.said.grain_g) add("grain_g", *strained.said.grain_g);
    if (!strained.said.into.empty()) add("into", strained.said.into.front().jar.text());
    add("kefir_ml", strained.said.ml.value_or(*batch_.start.milk_ml));
    add_mixed();
    if (suspicion_ != nullptr) {
      tell_suspect();
    } else if (is_first([](const Batch& other) { return other.strained.has_value(); })) {
      out_.caution = cautions::people_at_risk;
    }
    add_unwashed_bottle();
  }

  // Of a bottle that held something suspect; of the jar, that was told at the start.
  void add_unwashed_bottle() {
    const bool bottled = batch_.jar() != batch_.start.jar;
    if (!bottled || household_.book().filled_unwashed(batch_) == nullptr) return;
    std::string caution = out_.caution.value_or("");
    cautions::add(caution, cautions::unwashed);
    out_.caution = caution;
  }

  // " into Bottle", " into Bottle (900 mL) and Flask (500 mL); 100 mL stay in Vat"
  [[nodiscard]] std::string into_bottles(const Strain& said) const {
    std::vector<std::string> bottles;
    std::string last_name;
    double left_ml = said.ml.value_or(*batch_.start.milk_ml);
    for (const Portion& portion : said.into) {
      const double ml = portion.ml.value_or(left_ml);
      if (portion.jar == said.jar || ml <= 0.0) continue;
      left_ml -= ml;
      last_name = jar_name(portion.jar);
      bottles.push_back(fmt::format("{} ({:.0f} mL)", last_name, ml));
    }
    if (bottles.empty()) return "";
    const bool some_stays = left_ml > last_drops_ml;
    if (bottles.size() == 1 && !some_stays) return " into " + last_name;
    const std::string last = bottles.size() > 1 ? " and " + bottles.back() : "";
    if (bottles.size() > 1) bottles.pop_back();
    return fmt::format(
        " into {}{}{}", fmt::join(bottles, ", "), last,
        some_stays ? fmt::format("; {:.0f} mL stay in {}", left_ml, jar_name(said.jar)) : "");
  }

  // Poured onto older kefir.
  void add_mixed() {
    for (const Portion& portion : batch_.strained->said.into) {
      const Batch* older = household_.book().in_jar(portion.jar);
      if (older == nullptr || older->stored.empty() || older->origin() == batch_.number) continue;
      const bool onto_it = std::any_of(older->mixed.begin(), older->mixed.end(),
                                       [&](const Mixed& m) { return m.batch == batch_.number; });
      if (!onto_it) continue;
      const Instant since = older->stored.front().at;
      out_.text += fmt::format(" It went onto kefir of {}: the older date counts for all of it.",
                               day_text(since, setup_));
      return add("mixed_with_stored", since);
    }
  }

  void add_grains(const Strained& strained) {
    const CultureSetup* culture = setup_.culture(*batch_.start.culture);
    if (culture == nullptr || household_.book().grains(culture->id).suspected()) return;
    const bool fed_at_once = household_.book().numbered(strained.fact) != nullptr;
    if (fed_at_once) return;
    // Of this jar's grains, not of all of the culture: the others may be in milk.
    const double grain_g = strained.said.grain_g.value_or(
        household_.book()
            .grains(culture->id)
            .grown_g(*batch_.start.grain_g, hours_between(batch_.started, strained.at)));
    out_.text += fmt::format(" {} wants fresh milk; ", culture->name);
    const double suited_ml = milk_ml_for(grain_g);
    const double meant_ml = meant_for_next_ml();
    if (suited_ml <= surplus_ends_share * meant_ml) {
      out_.text += fmt::format("its {:.0f} g suit about {:.0f} mL.", grain_g, tens(suited_ml));
      return;
    }
    // More than the jar is filled with, or can hold.
    out_.text +=
        fmt::format("of its {:.0f} g, about {:.0f} g suit the {:.0f} mL that go into {}.", grain_g,
                    meant_ml * usual_grain_g_per_ml, meant_ml, jar_name(batch_.start.jar));
  }

  // What goes into the jar next time: as it is set up, else as this time.
  [[nodiscard]] double meant_for_next_ml() const {
    const JarSetup* jar = setup_.jar(batch_.start.jar);
    const double last_ml = *batch_.start.milk_ml;
    return jar == nullptr ? last_ml : jar->milk_ml.value_or(last_ml);
  }
  static double tens(double ml) { return 10.0 * std::round(ml / 10.0); }

  static std::string_view verdict_words(Verdict verdict) {
    switch (verdict) {
      case Verdict::early:
        return "early";
      case Verdict::right:
        return "just right";
      case Verdict::late:
        return "late";
    }
    return "";
  }

  const Household& household_;
  const HouseholdSetup& setup_;
  const Batch& batch_;
  Announcement& out_;
  Instant now_;
  const Suspicion* suspicion_;
  std::optional<Condition> condition_;
  std::optional<Celsius> room_;
  InstantSpread opens_;
  InstantSpread closes_;
};

}  // namespace

void describe_batch(const Household& household, const Batch& batch, Announcement& out,
                    Instant now) {
  BatchTeller(household, batch, out, now).tell();
}

}  // namespace wheymark
