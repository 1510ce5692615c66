// Which inputs move the peak most? The generated parts of core/README.md and its picture.
#pragma once

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <string>
#include <vector>

#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/heat.hpp"
#include "core/kinetics/milk.hpp"
#include "tests/reference/absolute.hpp"

namespace wheymark::published {

// The jar that everything is compared with: 20 g of grains in 950 mL of fridge-cold whole cow's
// milk in a jar of 1250 mL, a room of 21 degC, an average culture.
struct Jar {
  Brew brew{MilkKind::cow_whole, Treatment::pasteurised, 950, 20};
  double capacity_ml = 1250;
  double room_c = 21;
  double milk_c = 5;
  double pace = default_parameters().pace_prior_median;
  double tau_factor = 1;
  Parameters parameters = default_parameters();
};

// Hours until the peak opens.
inline double peak_h(const Jar& jar) {
  const Parameters& p = jar.parameters;
  const double wanted_h = AcidCurve::solved(jar.brew, p).clock_h_at_ph(p.peak_opens_ph) / jar.pace;
  const double tau_h = jar.tau_factor * jar_time_constant_h(jar.brew.milk_ml, jar.capacity_ml, p);
  const Celsius room(jar.room_c);
  Condition now{Instant{}, Celsius(jar.milk_c), 0, 0};
  while (hours_between(Instant{}, now.at) < 500) {
    const Instant next = now.at + std::chrono::minutes{10};
    const Condition then = advanced(now, {now.at, next, room, room}, tau_h, p);
    if (then.acid_clock_h >= wanted_h) {
      const double share = (wanted_h - now.acid_clock_h) / (then.acid_clock_h - now.acid_clock_h);
      return hours_between(Instant{}, now.at) + share / 6;
    }
    now = then;
  }
  return INFINITY;
}

struct Effect {
  std::string input;
  std::string low;
  std::string high;
  double low_h;  // change of the peak's hour
  double high_h;

  [[nodiscard]] double reach_h() const {
    return std::max({low_h, high_h, 0.0}) - std::min({low_h, high_h, 0.0});
  }
};

inline std::vector<Effect> effects_of_inputs() {
  const double base_h = peak_h(Jar{});
  std::vector<Effect> all;
  const auto add = [&](std::string input, std::string low, std::string high,
                       const std::function<void(Jar&, bool is_high)>& change) {
    Jar a, b;
    change(a, false);
    change(b, true);
    all.push_back({std::move(input), std::move(low), std::move(high), peak_h(a) - base_h,
                   peak_h(b) - base_h});
  };
  const Parameters& p = default_parameters();
  const double spread = std::exp(1.2816 * p.pace_prior_log_sd);
  add("culture's pace, before it is known (80 %)",
      fmt::format("{:.2f}", p.pace_prior_median / spread),
      fmt::format("{:.2f}", p.pace_prior_median * spread),
      [&](Jar& jar, bool high) { jar.pace *= high ? spread : 1 / spread; });
  const double batch = std::exp(1.2816 * p.batch_to_batch_log_sd);
  add("one batch and the next of one culture (80 %)", fmt::format("x {:.2f}", 1 / batch),
      fmt::format("x {:.2f}", batch),
      [&](Jar& jar, bool high) { jar.pace *= high ? batch : 1 / batch; });
  add("room", "18 degC", "24 degC", [](Jar& jar, bool high) { jar.room_c += high ? 3 : -3; });
  add("thermometer off by half a degree", "-0.5 K", "+0.5 K",
      [](Jar& jar, bool high) { jar.room_c += high ? 0.5 : -0.5; });
  add("milk at the start", "2 degC", "21 degC",
      [](Jar& jar, bool high) { jar.milk_c = high ? 21 : 2; });
  add("grains", "10 g", "40 g", [](Jar& jar, bool high) { jar.brew.grain_g = high ? 40 : 10; });
  add("milk", "475 mL", "1900 mL", [](Jar& jar, bool high) {
    jar.brew.milk_ml = high ? 1900 : 475;
    jar.capacity_ml = high ? 2500 : 625;
  });
  add("kind of milk: skim or sheep's", "cow, skim", "sheep",
      [](Jar& jar, bool high) { jar.brew.milk = high ? MilkKind::sheep : MilkKind::cow_skim; });
  add("kind of milk: goat's or buffalo's", "goat", "buffalo",
      [](Jar& jar, bool high) { jar.brew.milk = high ? MilkKind::buffalo : MilkKind::goat; });
  add("treatment", "pasteurised", "ultra-pasteurised", [](Jar& jar, bool high) {
    if (high) jar.brew.treatment = Treatment::ultra_pasteurised;
  });
  add("jar's time constant", "x 0.7", "x 1.4",
      [](Jar& jar, bool high) { jar.tau_factor = high ? 1.4 : 0.7; });
  std::stable_sort(all.begin(), all.end(),
                   [](const Effect& a, const Effect& b) { return a.reach_h() > b.reach_h(); });
  return all;
}

// Each constant moved by a tenth, a pH by 0.1, a temperature by 1 K; the ten that matter most.
inline std::vector<Effect> effects_of_constants() {
  const double base_h = peak_h(Jar{});
  std::vector<Effect> all;
  for (const ParameterRow& row : parameter_table()) {
    const double value = row.value(default_parameters());
    const double step = row.unit == "pH" ? 0.1 : row.unit == "degC" ? 1.0 : 0.1 * value;
    const auto moved_h = [&](double to) {
      Jar jar;
      jar.parameters.*row.member = std::clamp(to, row.min, row.max);
      return in_range(jar.parameters).ok() ? peak_h(jar) - base_h : 0.0;
    };
    // The reference is a choice that the constants beside it belong to.
    if (row.name == "reference_c") continue;
    all.push_back({std::string(row.name),
                   fmt::format("{:.4g}", std::clamp(value - step, row.min, row.max)),
                   fmt::format("{:.4g}", std::clamp(value + step, row.min, row.max)),
                   moved_h(value - step), moved_h(value + step)});
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Effect& a, const Effect& b) { return a.reach_h() > b.reach_h(); });
  all.resize(10);
  return all;
}

// Signed, and no minus before nothing.
inline std::string hours(double change_h) {
  return std::abs(change_h) < 0.05 ? "0" : fmt::format("{:+.1f} h", change_h);
}

inline std::string table_of(const std::vector<Effect>& effects, const std::string& what) {
  std::string text = fmt::format("| {} | from | to | peak, from | peak, to |\n", what);
  text += "| --- | --- | --- | ---: | ---: |\n";
  for (const Effect& e : effects) {
    text += fmt::format("| {} | {} | {} | {} | {} |\n", e.input, e.low, e.high, hours(e.low_h),
                        hours(e.high_h));
  }
  return text;
}

inline std::string peaks_table() {
  std::string text =
      "| room | fridge-cold milk, average culture | fridge-cold milk, pace 1 | room-warm milk, "
      "pace "
      "1 |\n| --- | ---: | ---: | ---: |\n";
  for (const double room_c : {18.0, 21.0, 25.0, 30.0}) {
    const auto at = [&](double milk_c, double pace) {
      Jar jar;
      jar.room_c = room_c;
      jar.milk_c = milk_c;
      jar.pace = pace;
      return peak_h(jar);
    };
    text += fmt::format("| {:.0f} degC | {:.1f} h | {:.1f} h | {:.1f} h |\n", room_c,
                        at(5, default_parameters().pace_prior_median), at(5, 1), at(room_c, 1));
  }
  return text;
}

inline std::string errors_table() {
  std::string text =
      "| set | source | use | conditions | points | pace | error, pH |\n"
      "| --- | --- | --- | --- | ---: | ---: | ---: |\n";
  std::vector<FittedSet> sets = fitted_sets(default_parameters());
  std::stable_sort(sets.begin(), sets.end(),
                   [](const FittedSet& a, const FittedSet& b) { return a.set.use < b.set.use; });
  for (const FittedSet& s : sets) {
    const bool several = s.set.points.size() > 1;
    text += fmt::format("| {} | [{}] | {} | {} | {} | {:.2f} | {} |\n", s.set.name, s.set.source,
                        word(s.set.use), s.set.stated ? "stated" : "partly assumed",
                        s.set.points.size(), s.fit.pace,
                        several ? fmt::format("{:.2f}", s.fit.error_ph) : "fits itself");
  }
  return text;
}

inline std::string forecasts_table() {
  std::string text =
      "| source | what | use | conditions | published | foretold | 80 % | place |\n"
      "| --- | --- | --- | --- | ---: | ---: | ---: | ---: |\n";
  for (const Foretold& row : foretold(default_parameters())) {
    text += fmt::format(
        "| [{}] | {}, pH {:.2f} | {} | {} | {:.0f} h | {:.1f} h | {:.1f} to {:.1f} h | {:.2f} |\n",
        row.source, row.what, row.ph, word(row.use), row.stated ? "stated" : "partly assumed",
        row.hours, row.median_h, row.low_h, row.high_h, row.place);
  }
  return text;
}

// Bars to both sides of the base hour, in the order of the table.
inline std::string sensitivity_picture() {
  const std::vector<Effect> effects = effects_of_inputs();
  const double base_h = peak_h(Jar{});
  constexpr double left = 330, width = 520, row_px = 30, top = 44;
  double low_h = 0, high_h = 0;
  for (const Effect& e : effects) {
    low_h = std::min({low_h, e.low_h, e.high_h});
    high_h = std::max({high_h, e.low_h, e.high_h});
  }
  const double from_h = 2 * std::floor((base_h + low_h) / 2),
               to_h = 2 * std::ceil((base_h + high_h) / 2);
  const auto x = [&](double hours) { return left + width * (hours - from_h) / (to_h - from_h); };
  const double bottom = top + row_px * static_cast<double>(effects.size());
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\" "
      "font-family=\"sans-serif\" font-size=\"13\">\n"
      "<title>Hours until the peak opens, and what moves them</title>\n"
      "<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n"
      "<text x=\"12\" y=\"24\" font-size=\"15\" fill=\"#222222\">Hours until the peak opens "
      "({:.1f} h for the jar compared with)</text>\n",
      left + width + 30, bottom + 34, base_h);
  for (double hours = from_h; hours <= to_h; hours += 4) {
    svg += fmt::format(
        "<line x1=\"{0:.1f}\" y1=\"{1:.1f}\" x2=\"{0:.1f}\" y2=\"{2:.1f}\" stroke=\"#dddddd\"/>\n"
        "<text x=\"{0:.1f}\" y=\"{3:.1f}\" text-anchor=\"middle\" "
        "fill=\"#555555\">{4:.0f}</text>\n",
        x(hours), top, bottom, bottom + 18, hours);
  }
  double y = top;
  for (const Effect& e : effects) {
    svg += fmt::format(
        "<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"end\" fill=\"#222222\">{}</text>\n",
        left - 10, y + 19, e.input);
    const auto bar = [&](double change_h, const char* colour) {
      const double a = x(base_h + std::min(0.0, change_h)), b = x(base_h + std::max(0.0, change_h));
      svg += fmt::format(
          "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"16\" fill=\"{}\"/>\n", a,
          y + 7, std::max(b - a, 1.0), colour);
    };
    bar(e.low_h, "#4477aa");
    bar(e.high_h, "#cc6677");
    y += row_px;
  }
  svg += fmt::format(
      "<line x1=\"{0:.1f}\" y1=\"{1:.1f}\" x2=\"{0:.1f}\" y2=\"{2:.1f}\" "
      "stroke=\"#222222\"/>\n</svg>\n",
      x(base_h), top, bottom);
  return svg;
}

// A text with the part between `<!-- generated: name -->` and `<!-- end -->` replaced.
inline std::string with_part(const std::string& text, const std::string& name,
                             const std::string& part) {
  const std::string begin = "<!-- generated: " + name + " -->\n";
  const std::size_t from = text.find(begin);
  const std::size_t to = from == std::string::npos ? from : text.find("<!-- end -->", from);
  if (to == std::string::npos) throw std::runtime_error("no part " + name);
  return text.substr(0, from + begin.size()) + part + text.substr(to);
}

inline std::string with_generated_parts(std::string readme) {
  readme = with_part(readme, "peaks", peaks_table());
  readme = with_part(readme, "errors", errors_table());
  readme = with_part(readme, "forecasts", forecasts_table());
  readme = with_part(readme, "inputs", table_of(effects_of_inputs(), "input"));
  return with_part(readme, "constants", table_of(effects_of_constants(), "constant"));
}

}  // namespace wheymark::published
