#include "core/household/sentences.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/check.hpp"
#include "core/household/headspace.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/keeping.hpp"
#include "core/household/local_time.hpp"
#include "core/household/swapped_unit.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::minutes told_late_after{10};

constexpr std::string_view raw_milk_caution =
    "Raw milk can carry germs that fermenting does not remove. Follow local food-safety advice; "
    "for "
    "babies, in pregnancy or with a weak immune system ask a qualified professional first.";
constexpr std::string_view headspace_caution =
    "The jar is very full: curd and gas rise. Leave about 5 cm of room, and do not close it "
    "tightly: "
    "glass under pressure can burst.";
constexpr std::string_view over_fermented_caution =
    "Sour and separated is usual. With mould, or an unusual colour or smell, do not taste it: "
    "discard "
    "it, and follow local food-safety advice.";
constexpr std::string_view stored_caution =
    "Kefir goes on making gas in the cold: leave room in the bottle and open it slowly. The dates "
    "are "
    "common practice; follow local food-safety advice, and when in doubt throw it out.";
constexpr std::string_view ultra_pasteurised_advice =
    " Ultra-pasteurised milk works poorly for grains; pasteurised milk does better.";

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
      : household_(household), plan_(household.plan()), batch_(batch), out_(out) {
    // Told late, it describes how things stood then; told in time, then is now.
    const Instant then = std::min(now, out.time);
    condition_ = household.condition(batch, std::max(then, batch.started));
    if (const auto* air = household.air(batch.place())) room_ = air->at(then);
  }

  void tell() {
    add("batch_started", batch_.started);
    if (condition_) add("milk_c", condition_->milk.degrees());
    if (room_) add("room_c", room_->degrees());
    add_forecast();
    switch (out_.kind) {
      case Happening::batch_started:
        return tell_started();
      case Happening::peak_near:
        return tell_near();
      case Happening::peak_open:
        return tell_open();
      case Happening::peak_closing:
        return tell_closing();
      case Happening::over_fermented:
        return tell_over();
      case Happening::strained:
        return tell_strained();
      case Happening::stored:
        return tell_stored();
      default:
        check(false, "a batch tells of batches");
    }
  }

 private:
  void add(std::string name, std::variant<double, Instant, std::string> value) {
    out_.details.push_back({std::move(name), std::move(value)});
  }

  void add_forecast() {
    if (batch_.fermenting() || out_.kind == Happening::strained) {
      add("hours", hours_between(batch_.started, out_.time));
    }
    const Ferment* ferment = household_.ferment(batch_);
    if (ferment == nullptr) return;
    if (condition_) {
      add("ph", ferment->acid(*condition_).ph);
      add("acidity_percent", ferment->acid(*condition_).acidity_percent);
    }
    if (!ferment->forecast()) return;
    const auto spread = [&](const std::string& name, const InstantSpread& instants) {
      if (instants.p50) add(name, *instants.p50);
      if (instants.p10) add(name + "_earliest", *instants.p10);
      if (instants.p90) add(name + "_latest", *instants.p90);
    };
    opens_ = ferment->forecast()->peak_opens;
    closes_ = ferment->forecast()->peak_closes;
    spread("peak_opens", opens_);
    spread("peak_closes", closes_);
  }

  [[nodiscard]] std::string jar_name(const JarId& id) const {
    const PlannedJar* jar = plan_.jar(id);
    return jar == nullptr ? "Jar " + id : jar->name;
  }
  [[nodiscard]] std::string jar_name() const { return jar_name(batch_.start.jar); }
  [[nodiscard]] std::string culture_name() const {
    const PlannedCulture* culture = plan_.culture(*batch_.start.culture);
    return culture == nullptr ? *batch_.start.culture : culture->name;
  }
  [[nodiscard]] std::string place_name(const PlaceId& id) const {
    const PlannedPlace* place = plan_.place(id);
    return place == nullptr ? id : place->name;
  }
  [[nodiscard]] std::string clock(Instant instant) const {
    return near_clock_text(instant, out_.time, plan_);
  }

  // " (21.3 °C, 19 h)"
  [[nodiscard]] std::string room_and_hours() const {
    const double hours = hours_between(batch_.started, out_.time);
    if (!room_) return fmt::format(" ({:.0f} h)", hours);
    return fmt::format(" ({:.1f} °C, {:.0f} h)", room_->degrees(), hours);
  }

  // ", likely between 02:10 and 06:00", as far as it is known.
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
    if (opens_.p50) {
      out_.text +=
          fmt::format(" The peak should open near {}{}.", clock(*opens_.p50), between(opens_));
    } else {
      out_.text += condition_ ? " At this temperature no peak is in sight for days."
                              : " No thermometer has been read there yet, so there is no forecast.";
    }
    if (start.treatment == Treatment::ultra_pasteurised) out_.text += ultra_pasteurised_advice;
    add("milk_ml", *start.milk_ml);
    add("grain_g", *start.grain_g);
    add_start_cautions(start);
  }

  void add_start_cautions(const Start& start) {
    std::string caution;
    if (start.treatment == Treatment::raw) caution += raw_milk_caution;
    const PlannedJar* jar = plan_.jar(start.jar);
    if (jar != nullptr &&
        headspace_cm(*start.milk_ml, jar->capacity_ml) < headspace_cm_told_below) {
      if (!caution.empty()) caution += " ";
      caution += headspace_caution;
    }
    if (!caution.empty()) out_.caution = caution;
  }

  void tell_near() {
    out_.text = fmt::format(
        "{}: the peak comes near {}{}{}. Have strainer and bottle ready, or cool the jar to hold "
        "it.",
        jar_name(), opens_.p50 ? clock(*opens_.p50) : "now", between(opens_), room_and_hours());
  }

  void tell_open() {
    // Who has just seen them is not told that they should show, wherever the forecast now lies.
    const bool seen = first_seen(batch_, Sign::whey_pockets).has_value();
    out_.text = fmt::format("{}: {}{}. Strain it, or cool it to hold it.", jar_name(),
                            seen ? "whey pockets were seen, so the peak is open"
                                 : "the first whey pockets should show about now",
                            room_and_hours());
  }

  void tell_closing() {
    out_.text =
        fmt::format("{}: the peak is closing; clear whey is likely near {}{}. Strain it soon.",
                    jar_name(), closes_.p50 ? clock(*closes_.p50) : "now", room_and_hours());
  }

  void tell_over() {
    const bool seen = first_seen(batch_, Sign::whey_layer).has_value();
    out_.text = fmt::format(
        "{}: over-fermented; {}{}. Strain it now: it will be sour, and the grains want fresh milk.",
        jar_name(), seen ? "whey was seen" : "a layer of clear whey is likely", room_and_hours());
    out_.caution = over_fermented_caution;
  }

  void tell_strained() {
    const Strained& strained = *batch_.strained;
    out_.text = fmt::format("{}: strained{}{}.", jar_name(),
                            strained.said.into && *strained.said.into != strained.said.jar
                                ? " into " + jar_name(*strained.said.into)
                                : "",
                            room_and_hours());
    if (strained.said.verdict) {
      add("verdict", std::string(word(*strained.said.verdict)));
      out_.text += fmt::format(" You called it {}.", verdict_words(*strained.said.verdict));
    }
    out_.text += fmt::format(" {} wants fresh milk.", culture_name());
    if (strained.said.grain_g) add("grain_g", *strained.said.grain_g);
    if (strained.said.into) add("into", *strained.said.into);
  }

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

  void tell_stored() {
    const auto stored = std::find_if(batch_.stored.begin(), batch_.stored.end(),
                                     [&](const Stored& s) { return s.at == out_.time; });
    check(stored != batch_.stored.end(), "a storing that is told happened");
    out_.text = fmt::format("{}: in the fridge since {}. Best by {}, last day {}.",
                            jar_name(stored->jar), day_and_clock_text(stored->at, plan_),
                            day_text(best_by(batch_), plan_), day_text(last_day(batch_), plan_));
    out_.caution = stored_caution;
    add("best_by", best_by(batch_));
    add("last_day", last_day(batch_));
  }

  const Household& household_;
  const Plan& plan_;
  const Batch& batch_;
  Announcement& out_;
  std::optional<Condition> condition_;
  std::optional<Celsius> room_;
  InstantSpread opens_;
  InstantSpread closes_;
};

std::string what_to_look_at(const Thermometer& thermometer, const std::optional<Reading>& last) {
  if (thermometer.jumps_about()) return "Look at its battery and its place.";
  const auto known = last ? std::optional(last->air) : std::nullopt;
  if (const auto swapped = swapped_unit(thermometer.doubted_air(), known)) {
    return fmt::format(
        "Its numbers are probably in {}, which would be {:.1f} °C: look at its unit.",
        swapped->numbers_are_in, swapped->air.degrees());
  }
  return "Look at its unit and its place.";
}

void tell_of_place(const PlaceId& id, const Household& household, Announcement& out) {
  const PlannedPlace* place = household.plan().place(id);
  const std::string name = place == nullptr ? id : place->name;
  const TemperatureHistory* air = household.air(id);
  const auto last = air == nullptr ? std::nullopt : air->last();
  if (last) {
    out.details.push_back({"last_air_c", last->air.degrees()});
    out.details.push_back({"last_read", last->at});
  }
  const std::string last_word =
      last ? fmt::format("the last reading was {:.1f} °C at {}", last->air.degrees(),
                         day_and_clock_text(last->at, household.plan()))
           : "it has never been read";
  switch (out.kind) {
    case Happening::thermometer_silent:
      out.text = fmt::format(
          "{}: the thermometer is silent; {}. Forecasts go on with that, as long as nothing better "
          "comes: look at its battery and its topic.",
          name, last_word);
      break;
    case Happening::thermometer_implausible:
      out.text = fmt::format(
          "{}: the thermometer {}, so it is not believed; {}. {}", name,
          household.thermometer(id).jumps_about() ? "jumps about" : "says what cannot be true",
          last_word, what_to_look_at(household.thermometer(id), last));
      break;
    case Happening::thermometer_stuck:
      out.text = fmt::format(
          "{}: the thermometer goes on repeating one value, which it never did for so long; {}. "
          "Forecasts go on with that: look whether it still measures, or its gateway only repeats.",
          name, last_word);
      break;
    case Happening::thermometer_back:
      out.text = fmt::format("{}: the thermometer is back; {}.", name, last_word);
      break;
    default:
      check(false, "a place tells of its thermometer");
  }
}

}  // namespace

Announcement told(const Moment& moment, const Batch& batch, const Household& household,
                  Instant now) {
  Announcement out{moment.kind, moment.subject, moment.id, moment.time, "", std::nullopt, {}};
  BatchTeller(household, batch, out, now).tell();
  if (now - moment.time > told_late_after) {
    out.text += fmt::format(" (It was so at {}; this is told late.)",
                            day_and_clock_text(moment.time, household.plan()));
  }
  return out;
}

Announcement told(const Moment& moment, const PlaceId& place, const Household& household) {
  Announcement out{moment.kind, moment.subject, moment.id, moment.time, "", std::nullopt, {}};
  tell_of_place(place, household, out);
  return out;
}

}  // namespace wheymark
