// Every caution and every piece of advice that keeps somebody from harm: one home for the wording.
//
// All of them defer to local food-safety advice and a qualified professional. Nothing here says
// that food is safe: only what to watch, and when to throw it out.
#pragma once

#include <string>
#include <string_view>

namespace wheymark::cautions {

inline constexpr std::string_view raw_milk =
    "Raw milk can carry germs that fermenting does not remove. Follow local food-safety advice; "
    "for babies, in pregnancy or with a weak immune system ask a qualified professional first.";

inline constexpr std::string_view people_at_risk =
    "Kefir is living food and holds a little alcohol. In pregnancy, for infants, with a weak "
    "immune system or a milk allergy, or where alcohol must be avoided, ask a qualified "
    "professional "
    "before drinking it, and follow local food-safety advice.";

inline constexpr std::string_view headspace =
    "The jar is very full: curd and gas rise. Leave about 5 cm of room, and do not close it "
    "tightly: glass under pressure can burst.";

inline constexpr std::string_view over_fermented =
    "Sour and separated is usual. With mould, or an unusual colour or smell, do not taste it: "
    "discard it, and follow local food-safety advice.";

inline constexpr std::string_view stored =
    "Kefir goes on making gas in the cold: leave room in the bottle and open it slowly. The dates "
    "are common practice; follow local food-safety advice, and when in doubt throw it out.";

inline constexpr std::string_view old_kefir =
    "The date is common practice, no promise. With mould, or an unusual colour or smell, do not "
    "taste it: throw it out; when in doubt as well. Follow local food-safety advice.";

inline constexpr std::string_view pressure =
    "Glass under pressure can burst. Open it slowly, over the sink, with a cloth over it, pointing "
    "away from faces; keep children away until it is open.";

inline constexpr std::string_view second_ferment =
    "Only for bottles that are made for pressure, with room above the kefir: other glass can "
    "burst. Open it daily and slowly, over the sink, with a cloth over it, pointing away from "
    "faces; keep "
    "children away. Sugar becomes alcohol, too: for children, in pregnancy or where alcohol must "
    "be avoided ask a qualified professional, and follow local food-safety advice.";

inline constexpr std::string_view warm_milk =
    "Germs that nobody wants grow in plain milk above 5 °C, and it need not look or smell of it: "
    "by common food-safety advice it is thrown out after about two hours. Do not taste it. Follow "
    "local food-safety advice; whoever feels unwell after drinking it asks a doctor.";

inline constexpr std::string_view kefir_left_out =
    "Sour milk keeps longer than plain milk, but not for days in the warm. With mould, or an "
    "unusual colour or smell, do not taste it: throw it out; when in doubt as well. Follow local "
    "food-safety advice; people at risk ask a qualified professional first.";

inline constexpr std::string_view warm_fridge =
    "Food in a warm fridge spoils sooner, and not only kefir. Follow local food-safety advice on "
    "what has stood in it, and when in doubt throw it out.";

inline constexpr std::string_view discard_grains =
    "Do not taste or smell it closely, and use neither the grains nor what stood with them. Throw "
    "them out, clean everything they touched with hot water, and start from other grains. Follow "
    "local food-safety advice. Whoever feels unwell after drinking it asks a doctor; for babies, "
    "in pregnancy or with a weak immune system ask a qualified professional without waiting.";

inline constexpr std::string_view suspect =
    "Something was seen or smelt that is a reason to discard it. Do not taste it; throw it out, "
    "and follow local food-safety advice. Whoever drank of it and feels unwell asks a doctor; for "
    "babies, in pregnancy or with a weak immune system ask a qualified professional without "
    "waiting.";

inline constexpr std::string_view unwashed =
    "Mould and germs stay on glass that was not washed. Wash it with hot water first, and when in "
    "doubt discard what is in it now; follow local food-safety advice.";

inline constexpr std::string_view hot_room =
    "Milk that stands very warm is also kind to germs that nobody wants. With an unusual colour or "
    "smell do not taste it: discard it, and follow local food-safety advice.";

// Adds another caution to those that are there already.
inline void add(std::string& to, std::string_view caution) {
  if (!to.empty()) to += " ";
  to += caution;
}

}  // namespace wheymark::cautions
