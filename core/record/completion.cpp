#include "core/record/completion.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "core/record/filling.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

Outcome known_jar(const JarId& jar, const HouseholdSetup& setup) {
  if (setup.jar(jar) != nullptr) return Nothing{};
  return Refusal{fmt::format("no jar is called \"{}\"; there are: {}", jar, setup.jars.ids())};
}

Outcome known_place(const PlaceId& place, const HouseholdSetup& setup) {
  if (setup.place(place) != nullptr) return Nothing{};
  return Refusal{
      fmt::format("no place is called \"{}\"; there are: {}", place, setup.places.ids())};
}

Outcome known_culture(const CultureId& culture, const HouseholdSetup& setup) {
  if (setup.culture(culture) != nullptr) return Nothing{};
  return Refusal{
      fmt::format("no culture is called \"{}\"; there are: {}", culture, setup.cultures.ids())};
}

Outcome within(std::string_view what, double value, double min, double max, std::string_view unit) {
  if (value >= min && value <= max) return Nothing{};  // NaN is refused as well
  return Refusal{
      fmt::format("{} is {} {}; allowed are {} to {} {}", what, value, unit, min, max, unit)};
}

Outcome grain_in_range(double grain_g) {
  return within("the grains' mass", grain_g, limits::grain_g_min, limits::grain_g_max, "g");
}

// The grains' share of the milk, once both are in range.
Outcome share_in_range(double grain_g, double milk_ml) {
  return within("the grains' share of the milk", grain_g / milk_ml, 0.0, limits::grain_share_max,
                "g per mL");
}

// The first refusal among some outcomes.
Outcome all_of(std::initializer_list<Outcome> outcomes) {
  for (const Outcome& outcome : outcomes) {
    if (!outcome) return outcome;
  }
  return Nothing{};
}

Outcome milk_warmth_in_range(double milk_c) {
  return within("the milk's temperature", milk_c, limits::milk_c_min, limits::milk_c_max, "degC");
}

Outcome usual_in_range(const UsualBatch& batch) {
  return all_of(
      {within("hours", batch.hours, limits::usual_h_min, limits::usual_h_max, "h"),
       batch.air_c ? within("the air's temperature", *batch.air_c, limits::usual_air_c_min,
                            limits::usual_air_c_max, "degC")
                   : Outcome{Nothing{}},
       grain_in_range(*batch.grain_g),
       within("the milk's volume", *batch.milk_ml, limits::milk_ml_min, limits::milk_ml_max, "mL"),
       share_in_range(*batch.grain_g, *batch.milk_ml), milk_warmth_in_range(*batch.milk_c)});
}

struct Completing {
  const HouseholdSetup& setup;
  const JarBook& book;
  const Parameters& parameters;
  Instant at;

  // Fills in from the setup what was not reported.
  void fill_in(Start& start, const JarSetup& jar) const {
    if (!start.culture) start.culture = jar.culture;
    if (!start.culture && setup.cultures.size() == 1) start.culture = setup.cultures.front().id;
    if (!start.milk) start.milk = jar.milk;
    if (!start.treatment) start.treatment = jar.treatment.value_or(Treatment::pasteurised);
    if (!start.milk_ml) start.milk_ml = jar.milk_ml;
    if (!start.grain_g) start.grain_g = jar.grain_g;
    if (!start.grain_g && start.culture) start.grain_g = grains_of(*start.culture, start.jar);
    if (!start.lid) start.lid = jar.lid.value_or(Lid::loose);
    if (!start.place) start.place = jar.place;
    if (!start.milk_c) start.milk_c = parameters.milk_from_fridge_c;
  }

  // What is out of jars, and what comes out of this one when it is fed again.
  [[nodiscard]] std::optional<double> grains_of(const CultureId& culture, const JarId& jar) const {
    const CultureSetup* known = setup.culture(culture);
    if (known == nullptr) return std::nullopt;
    double at_hand_g = book.grain_g(*known) - book.in_jars_g(culture);
    const Batch* held = book.in_jar(jar);
    if (held != nullptr && held->fermenting() && held->start.culture == culture) {
      at_hand_g +=
          book.grains(culture).grown_g(*held->start.grain_g, hours_between(held->started, at));
    }
    return at_hand_g >= limits::grain_g_min ? std::optional(at_hand_g) : std::nullopt;
  }

  [[nodiscard]] static Outcome nothing_missing(const Start& start, const JarSetup& jar) {
    std::string missing;
    const auto need = [&](bool given, std::string_view name) {
      if (given) return;
      if (!missing.empty()) missing += ", ";
      missing += name;
    };
    need(start.culture.has_value(), "culture");
    need(start.milk.has_value(), "milk");
    need(start.milk_ml.has_value(), "milk_ml");
    need(start.grain_g.has_value(), "grain_g");
    if (missing.empty()) return Nothing{};
    return Refusal{
        fmt::format("{}: say {}, or give it in the jar's configuration", jar.name, missing)};
  }

  [[nodiscard]] Outcome in_range(const Start& start, const JarSetup& jar) const {
    const double fitting_ml = std::min(limits::milk_ml_max, jar.capacity_ml);
    return all_of(
        {known_culture(*start.culture, setup), known_place(*start.place, setup),
         within("the milk's volume", *start.milk_ml, limits::milk_ml_min, fitting_ml, "mL"),
         grain_in_range(*start.grain_g), share_in_range(*start.grain_g, *start.milk_ml),
         milk_warmth_in_range(*start.milk_c)});
  }

  Result<Fact> operator()(Start start) const {
    if (const Outcome known = known_jar(start.jar, setup); !known) return known.refusal();
    const JarSetup& jar = *setup.jar(start.jar);
    // A full jar is the reason to give, before anything that the second start leaves open.
    const FactRecord as_said{0, at, at, std::nullopt, start};
    if (const Outcome room = book.allows(as_said, setup); !room) return room.refusal();
    if (const Outcome whole = make_whole(start, jar); !whole) return whole.refusal();
    return Fact{start};
  }

  Outcome make_whole(Start& start, const JarSetup& jar) const {
    fill_in(start, jar);
    if (Outcome whole = nothing_missing(start, jar); !whole) return whole;
    return in_range(start, jar);
  }

  Result<Fact> operator()(Remembered past) const {
    if (const Outcome known = known_jar(past.start.jar, setup); !known) return known.refusal();
    const JarSetup& jar = *setup.jar(past.start.jar);
    if (const Outcome whole = make_whole(past.start, jar); !whole) return whole.refusal();
    const auto out = past.grain_out_g ? grain_in_range(*past.grain_out_g) : Outcome{Nothing{}};
    return if_allowed(past, {out});
  }

  Result<Fact> operator()(PhMeasured measured) const {
    if (!measured.error) measured.error = ph_error_usual;
    return if_allowed(
        measured, {known_jar(measured.jar, setup),
                   within("the pH", measured.ph, limits::ph_min, limits::ph_max, "on the pH scale"),
                   within("the meter's error", *measured.error, limits::ph_error_min,
                          limits::ph_error_max, "pH")});
  }

  Result<Fact> operator()(const Move& move) const {
    const auto known =
        if_allowed(move, {known_jar(move.jar, setup), known_place(move.place, setup)});
    const Batch* batch = book.in_jar(move.jar);
    if (!known || batch == nullptr || !batch->strained) return known;
    const bool to_fridge = setup.place(move.place)->kind == PlaceKind::fridge;
    if (to_fridge == batch->in_fridge) return known;
    return to_fridge ? Fact{StoreAway{move.jar, move.place}} : Fact{Take{move.jar, move.place}};
  }

  Result<Fact> operator()(Strain strain) const {
    if (const Outcome known = known_jar(strain.jar, setup); !known) return known.refusal();
    for (auto portion = strain.into.begin(); portion != strain.into.end(); ++portion) {
      const auto named_before = [&](const Portion& other) { return other.jar == portion->jar; };
      if (std::any_of(strain.into.begin(), portion, named_before)) {
        return Refusal{fmt::format("into: \"{}\" is named twice", portion->jar)};
      }
      if (const Outcome fits = all_of({known_jar(portion->jar, setup), volume(portion->ml)});
          !fits) {
        return fits.refusal();
      }
    }
    if (const Outcome fits =
            all_of({strain.grain_g ? grain_in_range(*strain.grain_g) : Outcome{Nothing{}},
                    volume(strain.ml)});
        !fits) {
      return fits.refusal();
    }
    if (const Outcome there = share_out(strain, book, setup); !there) return there.refusal();
    return Fact{strain};
  }

  [[nodiscard]] static Outcome volume(std::optional<double> ml) {
    if (!ml) return Nothing{};
    return within("the kefir's volume", *ml, limits::pour_ml_min, limits::milk_ml_max, "mL");
  }

  Result<Fact> operator()(Pour pour) const {
    if (const Outcome fits = all_of({known_jar(pour.jar, setup), volume(pour.ml)}); !fits) {
      return fits.refusal();
    }
    if (const Outcome there = measure(pour, book, setup); !there) return there.refusal();
    return Fact{pour};
  }

  Result<Fact> operator()(StoreAway store) const {
    if (const Outcome known = known_jar(store.jar, setup); !known) return known.refusal();
    if (!store.place) store.place = own_fridge(*setup.jar(store.jar));
    if (!store.place) return Refusal{"no place of kind \"fridge\" is configured to store it in"};
    if (const Outcome known = known_place(*store.place, setup); !known) return known.refusal();
    if (setup.place(*store.place)->kind != PlaceKind::fridge) {
      return Refusal{fmt::format("\"{}\" is a room; kefir is stored in a fridge", *store.place)};
    }
    if (!store.from && book.in_jar(store.jar) == nullptr) {
      store.from = waits_for_a_bottle(book, setup);
    }
    if (const Outcome fits = all_of(
            {store.from ? known_jar(*store.from, setup) : Outcome{Nothing{}}, volume(store.ml)});
        !fits) {
      return fits.refusal();
    }
    if (const Outcome filled = fill(store, book, setup); !filled) return filled.refusal();
    return Fact{store};
  }

  [[nodiscard]] std::optional<PlaceId> own_fridge(const JarSetup& jar) const {
    const PlaceSetup* own = setup.place(jar.place);
    if (own != nullptr && own->kind == PlaceKind::fridge) return own->id;
    const PlaceSetup* first = setup.first_fridge();
    return first == nullptr ? std::nullopt : std::optional(first->id);
  }

  Result<Fact> operator()(Take take) const {
    if (const Outcome known = known_jar(take.jar, setup); !known) return known.refusal();
    const Batch* batch = book.in_jar(take.jar);
    if (!take.place && batch == nullptr) return Fact{take};  // the jar book refuses it
    if (!take.place) take.place = batch->stays.front().place;
    if (const Outcome known = known_place(*take.place, setup); !known) return known.refusal();
    if (setup.place(*take.place)->kind == PlaceKind::fridge) {
      return Refusal{
          fmt::format("\"{}\" is a fridge; say the room to which it is taken", *take.place)};
    }
    return Fact{take};
  }

  Result<Fact> operator()(SecondBegun second) const {
    if (const Outcome known = known_jar(second.jar, setup); !known) return known.refusal();
    const Batch* batch = book.in_jar(second.jar);
    if (batch == nullptr) return Fact{second};  // the jar book refuses it
    if (!second.lid) second.lid = setup.jar(second.jar)->lid.value_or(Lid::tight);
    const double most_g = limits::sugar_g_per_l_max * *batch->start.milk_ml / 1000.0;
    return if_allowed(second, {within("the sugar", second.sugar_g, limits::sugar_g_min,
                                      std::round(most_g), "g")});
  }

  // While some of them work in a jar, those on the scale are all of them, taken for the weighing,
  // or the others: whichever goes better with what should be there.
  Result<Fact> operator()(Weigh weigh) const {
    if (const Outcome known = known_culture(weigh.culture, setup); !known) return known.refusal();
    const double there_g = book.grain_g(*setup.culture(weigh.culture));
    const double in_jars_g = book.in_jars_g(weigh.culture);
    const auto misses_by = [&](double all_g) { return std::abs(std::log(all_g / there_g)); };
    if (in_jars_g > 0.0 && misses_by(weigh.grain_g + in_jars_g) < misses_by(weigh.grain_g)) {
      weigh.out_of_jars = true;
    }
    return if_allowed(weigh, {weighed(weigh.grain_g)});
  }

  static Outcome weighed(double grain_g) {
    Outcome fits = grain_in_range(grain_g);
    if (fits) return fits;
    return Refusal{fmt::format("{}; {}", fits.why(),
                               grain_g < limits::grain_g_min
                                   ? "if none are left, say spare with \"all\": true"
                                   : "weigh the drained grains alone, without jar and milk")};
  }

  // Grains in a jar are not at hand. A mass that is nowhere at all is refused elsewhere, for that.
  [[nodiscard]] Outcome at_hand(const CultureId& id, double grain_g) const {
    const CultureSetup& culture = *setup.culture(id);
    const double there_g = book.grain_g(culture);
    const double at_hand_g = there_g - book.in_jars_g(id);
    const Batch* in_jar = book.with_grains(id);
    if (in_jar == nullptr || grain_g > there_g || grain_g <= at_hand_g + spoon_g) return Nothing{};
    return Refusal{
        fmt::format("{} still has grains of {} in it, and about {:.1f} g are out of jars, fewer "
                    "than {:.4g} g; strain or discard it first",
                    name_of_jar(in_jar->jar(), setup), culture.name, at_hand_g, grain_g)};
  }
  static constexpr double spoon_g = 0.05;  // what a kitchen scale does not tell apart

  Result<Fact> operator()(Rest rest) const {
    if (!rest.place && setup.first_fridge() != nullptr) rest.place = setup.first_fridge()->id;
    if (!rest.place) return Refusal{"no place of kind \"fridge\" is configured to rest grains in"};
    if (const Outcome known =
            all_of({known_culture(rest.culture, setup), known_place(*rest.place, setup)});
        !known) {
      return known.refusal();
    }
    if (setup.place(*rest.place)->kind != PlaceKind::fridge) {
      return Refusal{fmt::format("\"{}\" is a room; grains rest in a fridge", *rest.place)};
    }
    return Fact{rest};
  }

  Result<Fact> operator()(const Wake& wake) const {
    return if_allowed(wake, {known_culture(wake.culture, setup)});
  }
  // Of a jar: its batch has a culture.
  Result<Fact> operator()(Inspect said) const {
    if (!said.jar) return if_allowed(said, {known_culture(*said.culture, setup)});
    if (const Outcome known = known_jar(*said.jar, setup); !known) return known.refusal();
    const Batch* batch = book.in_jar(*said.jar);
    if (batch == nullptr) return Fact{said};  // not allowed; the jar book says why, and when
    const CultureId& culture = *batch->start.culture;
    if (said.culture && *said.culture != culture) {
      return Refusal{fmt::format(
          "{} holds a batch of {}, not of {}; leave out the jar or the culture",
          name_of_jar(*said.jar, setup), name_of_culture(culture, setup), *said.culture)};
    }
    said.culture = culture;
    return Fact{said};
  }

  // A mass that is all there is means the same as all of the grains.
  Result<Fact> operator()(Spare spare) const {
    if (const Outcome known = known_culture(spare.culture, setup); !known) return known.refusal();
    const double there_g = book.grain_g(*setup.culture(spare.culture));
    if (spare.all) {
      spare.grain_g = there_g;
    } else if (const Outcome fits = spared_in_range(*spare.grain_g); !fits) {
      return fits.refusal();
    }
    spare.all = spare.all || std::abs(*spare.grain_g - there_g) <= spoon_g;
    if (spare.all) spare.grain_g = there_g;
    return if_allowed(spare, {at_hand(spare.culture, *spare.grain_g)});
  }

  Result<Fact> operator()(const Split& split) const {
    if (split.culture == split.into) {
      return Refusal{
          fmt::format("\"{}\" cannot be split into itself; name the other culture", split.culture)};
    }
    if (const Outcome fits =
            all_of({known_culture(split.culture, setup), known_culture(split.into, setup),
                    spared_in_range(split.grain_g)});
        !fits) {
      return fits.refusal();
    }
    if (const auto& resting = book.grains(split.culture).resting()) {
      return Refusal{fmt::format("{} rests in the fridge since {}; say wake before you split it",
                                 setup.culture(split.culture)->name,
                                 day_and_clock_text(resting->since.at, setup))};
    }
    return if_allowed(split, {at_hand(split.culture, split.grain_g)});
  }

  static Outcome spared_in_range(double grain_g) {
    return within("the mass of the grains taken away", grain_g, 0.1, limits::grain_g_max, "g");
  }

  Result<Fact> operator()(Usual usual) const {
    if (const Outcome known = known_culture(usual.culture, setup); !known) return known.refusal();
    for (UsualBatch& batch : usual.usual) {
      batch = as_set_up(batch, usual.culture, setup, parameters);
      if (const Outcome fits = usual_in_range(batch); !fits) return fits.refusal();
    }
    return Fact{usual};
  }

  Result<Fact> operator()(const Retract& retract) const { return Fact{retract}; }
  Result<Fact> operator()(const Undo& undo) const {
    return if_allowed(
        undo, {undo.jar ? known_jar(*undo.jar, setup) : known_culture(*undo.culture, setup)});
  }

  // Everything that only names a jar.
  template <class OfAJar>
  Result<Fact> operator()(const OfAJar& fact) const {
    return if_allowed(fact, {known_jar(fact.jar, setup)});
  }

  template <class Report>
  static Result<Fact> if_allowed(const Report& fact, std::initializer_list<Outcome> outcomes) {
    if (const Outcome allowed = all_of(outcomes); !allowed) return allowed.refusal();
    return Fact{fact};
  }
};

}  // namespace

Result<Fact> completed(const Fact& said, const HouseholdSetup& setup, const JarBook& book,
                       const Parameters& parameters, Instant at) {
  return std::visit(Completing{setup, book, parameters, at}, said);
}

}  // namespace wheymark
