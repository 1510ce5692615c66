#include "plugin/tile/picture.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

#include "core/record/local_time.hpp"
#include "plugin/tile/markup.hpp"
#include "plugin/wire/number_text.hpp"

namespace wheymark {
namespace {

// All lengths in the picture's own units; at 200 pixels one of them is two thirds of a pixel, so 16
// is the smallest letter that can still be read.
constexpr double side = 300.0;
constexpr double margin = 14.0;
constexpr double small_letter = 16.0;
// The widest common letters are about this part of their height; too wide is better than cut off.
constexpr double letter_width = 0.60;
constexpr double bold_letter_width = 0.66;

constexpr std::string_view style = R"css(
text{font-family:system-ui,'Segoe UI','DejaVu Sans',sans-serif;fill:#1f2a30}
.paper{fill:#fbf8f1}.soft{fill:#55626a}.line{stroke:#1f2a30;fill:none}
.glass{stroke:#55626a;fill:none}.milk{stroke:#16627d;fill:none}.air{stroke:#8a4f0c;fill:none}
.kefir{fill:#e7ddc4}.whey{fill:#b9c77a}.pocket{fill:#fbf8f1}.groove{fill:#e3dccb}.full{fill:#16627d}
.hatch{stroke:#3f7a3a}.grid{stroke:#d6cebb}
@media (prefers-color-scheme:dark){
text{fill:#f4f0e6}.paper{fill:#171c1f}.soft{fill:#b6c0c5}.line{stroke:#f4f0e6}
.glass{stroke:#b6c0c5}.milk{stroke:#7fcbe6}.air{stroke:#e7a95c}
.kefir{fill:#efe6cf}.whey{fill:#a7b765}.pocket{fill:#171c1f}.groove{fill:#343d42}.full{fill:#7fcbe6}
.hatch{stroke:#8fcf88}.grid{stroke:#3a444a}}
)css";

class Picture {
 public:
  template <class... Args>
  void add(fmt::format_string<Args...> format, Args&&... args) {
    fmt::format_to(std::back_inserter(svg_), format, std::forward<Args>(args)...);
  }

  // A line of text from `x`, smaller when it is long, cut when even the smallest is too long.
  void text(double x, double y, double size, double width, std::string_view words, bool bold,
            std::string_view kind = "") {
    const double relative = bold ? bold_letter_width : letter_width;
    const auto chars = static_cast<double>(std::max<std::size_t>(1, char_count(words)));
    const double fitting = std::clamp(width / (relative * chars), small_letter, size);
    const auto chars_max = static_cast<std::size_t>(width / (relative * fitting));
    add(R"(<text x="{:.0f}" y="{:.0f}" font-size="{:.1f}"{}{}>{}</text>)", x, y, fitting,
        bold ? R"( font-weight="700")" : "",
        kind.empty() ? std::string() : fmt::format(R"( class="{}")", kind),
        escaped(shortened(words, chars_max)));
  }

  [[nodiscard]] std::string take() { return std::move(svg_); }

 private:
  std::string svg_;
};

// The jar itself, in the corner: what one would see through the glass.
void draw_jar(Picture& picture, Appearance look) {
  picture.add(R"svg(<g transform="translate(250 10)">)svg");
  if (look != Appearance::empty) {
    picture.add(R"(<path class="kefir" d="M3 13h30v26a5 5 0 0 1-5 5h-20a5 5 0 0 1-5-5z"/>)");
  }
  if (look == Appearance::curd) {
    picture.add(R"(<path class="glass" stroke-width="2" d="M6 20q6 4 12 0t12 0"/>)");
  }
  if (look == Appearance::whey_pockets) {
    picture.add(R"(<circle class="whey" cx="11" cy="24" r="4"/>)"
                R"(<circle class="whey" cx="24" cy="31" r="5"/>)"
                R"(<circle class="whey" cx="14" cy="36" r="3"/>)");
  }
  if (look == Appearance::whey_layer) {
    picture.add(R"(<path class="whey" d="M3 28h30v8h-30z"/>)");
  }
  if (look == Appearance::kefir) {
    picture.add(R"(<path class="glass" stroke-width="2" d="M13 22h10M11 29h14"/>)");
  }
  picture.add(
      R"(<path class="glass" stroke-width="2.5" d="M3 8v31a5 5 0 0 0 5 5h20a5 5 0 0 0 5-5v-31)"
      R"(M1 6h34"/></g>)");
}

// How far it is, with a tick where something changes. Beyond its end a bar only says "more".
void draw_bar(Picture& picture, const TileWords& words, double y) {
  const double text_width =
      18.0 * bold_letter_width * static_cast<double>(char_count(words.share_text));
  const double width = side - 2 * margin - text_width - 10.0;
  const double share = std::clamp(*words.share, 0.0, 1.0);
  picture.add(
      R"(<rect class="groove" x="{0:.0f}" y="{1:.0f}" width="{2:.0f}" height="12" rx="6"/>)",
      margin, y, width);
  if (share > 0.03) {
    picture.add(
        R"(<rect class="full" x="{0:.0f}" y="{1:.0f}" width="{2:.1f}" height="12" rx="6"/>)",
        margin, y, share * width);
  }
  if (words.mark) {
    picture.add(R"(<path class="line" stroke-width="2" d="M{0:.1f} {1:.0f}v18"/>)",
                margin + *words.mark * width, y - 3.0);
  }
  picture.add(
      R"(<text x="{:.0f}" y="{:.0f}" font-size="18" font-weight="700" text-anchor="end">{}</text>)",
      side - margin, y + 12.0, escaped(words.share_text));
}

class Chart {
 public:
  Chart(const Day& day, double top, double bottom) : day_(day), top_(top), bottom_(bottom) {
    double low = 100.0;
    double high = -100.0;
    for (const auto* line : {&day.milk, &day.air}) {
      for (const PointOfDay& point : *line) {
        low = std::min(low, point.c);
        high = std::max(high, point.c);
      }
    }
    const double middle = 0.5 * (low + high);
    const double half = std::max(0.5 * (high - low), 2.0) * 1.1;  // a steady room is a steady line
    low_c_ = middle - half;
    high_c_ = middle + half;
  }

  void draw(Picture& picture, const HouseholdSetup& setup) const {
    picture.add(R"(<path class="grid" stroke-width="1.5" d="M{0:.0f} {1:.0f}h{2:.0f}"/>)", margin,
                bottom_, side - 2 * margin);
    draw_band(picture);
    draw_line(picture, day_.air, "air", true);
    draw_line(picture, day_.milk, "milk", false);
    draw_labels(picture, setup);
  }

 private:
  [[nodiscard]] double x(Instant at) const {
    const double share = hours_between(day_.from, at) / hours_between(day_.from, day_.to);
    return margin + (side - 2 * margin) * std::clamp(share, 0.0, 1.0);
  }
  [[nodiscard]] double y(double c) const {
    return bottom_ - (c - low_c_) / (high_c_ - low_c_) * (bottom_ - top_);
  }

  void draw_line(Picture& picture, const std::vector<PointOfDay>& points, std::string_view kind,
                 bool dashed) const {
    if (points.size() < 2) return;
    picture.add(R"(<path class="{}" stroke-width="{}" stroke-linejoin="round"{} d="M)", kind,
                dashed ? "2.5" : "3.5", dashed ? R"( stroke-dasharray="5 4")" : "");
    for (const PointOfDay& point : points) picture.add("{:.1f} {:.1f} ", x(point.at), y(point.c));
    picture.add(R"("/>)");
  }

  // Between the early and the late end of the forecast, with a line at its middle.
  void draw_band(Picture& picture) const {
    const InstantSpread& opens = day_.peak_opens;
    if (!opens.p50) return;
    const double left = x(opens.p10.value_or(*opens.p50));
    const double right = x(opens.p90.value_or(*opens.p50));
    const double height = bottom_ - top_;
    for (int lines = 0; left + 7.0 * lines < right; ++lines) {
      const double at = left + 7.0 * lines;
      picture.add(
          R"(<path class="hatch" stroke-width="1.5" d="M{0:.1f} {1:.1f}L{2:.1f} {3:.1f}"/>)", at,
          bottom_, std::min(at + 12.0, right),
          bottom_ - height * (std::min(at + 12.0, right) - at) / 12.0);
    }
    picture.add(R"(<path class="hatch" stroke-width="3" d="M{0:.1f} {1:.0f}v{2:.0f}"/>)",
                x(*opens.p50), top_, height);
  }

  void draw_labels(Picture& picture, const HouseholdSetup& setup) const {
    const double now = x(day_.now);
    picture.add(R"(<path class="line" stroke-width="1.5" d="M{0:.1f} {1:.0f}v{2:.0f}"/>)", now,
                top_, bottom_ - top_);
    const double below = bottom_ + 17.0;
    const auto label = [&](double at, std::string_view anchor, std::string_view words) {
      picture.add(R"(<text class="soft" x="{:.0f}" y="{:.0f}" font-size="{:.0f}" )"
                  R"(text-anchor="{}">{}</text>)",
                  at, below, small_letter, anchor, words);
    };
    label(margin, "start", "24 h ago");
    if (!day_.peak_opens.p50) return label(side - margin, "end", "now");
    const double peak = x(*day_.peak_opens.p50);
    // The time of the peak matters more than the word "now" when there is room for one only.
    label(std::clamp(peak, margin + 110.0, side - margin - 22.0), "middle",
          clock_text(*day_.peak_opens.p50, setup));
    if (peak - now > 52.0 && now > margin + 90.0) label(now, "middle", "now");
  }

  const Day& day_;
  double top_;
  double bottom_;
  double low_c_;
  double high_c_;
};

// The names of the two lines, each with a piece of it.
void draw_legend(Picture& picture, const Day& day, double y) {
  double at = margin;
  const auto entry = [&](std::string_view kind, std::string_view dashes, std::string_view name,
                         const std::vector<PointOfDay>& points) {
    if (points.empty()) return;
    picture.add(R"(<path class="{}" stroke-width="3.5"{} d="M{:.0f} {:.0f}h18"/>)", kind, dashes,
                at, y - 5.0);
    picture.add(R"(<text x="{:.0f}" y="{:.0f}" font-size="{:.0f}">{} {}°</text>)", at + 23.0, y,
                small_letter, name, decimal(points.back().c, 1));
    at += 140.0;
  };
  entry("milk", "", "milk", day.milk);
  entry("air", R"( stroke-dasharray="5 4")", "air", day.air);
}

}  // namespace

std::string tile_picture(const JarId& jar, const TileWords& words, const std::optional<Day>& day,
                         const HouseholdSetup& setup) {
  Picture picture;
  picture.add(
      R"(<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 300" role="img" )"
      R"(aria-labelledby="n-{0} d-{0}"><title id="n-{0}">{1}</title><desc id="d-{0}">{2}</desc>)"
      R"(<style>{3}</style>)",
      jar, escaped(words.name), escaped(words.spoken), style);
  picture.add(R"(<g aria-hidden="true"><rect class="paper" width="300" height="300" rx="18"/>)");
  draw_jar(picture, words.look);
  const double width = side - 2 * margin;
  picture.text(margin, 34, 21, width - 56, words.name, false, "soft");
  picture.text(margin, 76, 38, width, words.headline, true);
  double y = 106;
  for (std::size_t i = 0; i < words.lines.size(); ++i) {
    if (i == 0) {
      picture.text(margin, y, 24, width, words.lines[i], true);
    } else {
      picture.text(margin, y, 18, width, words.lines[i], false);
    }
    y += 23;
  }
  if (words.share) {
    draw_bar(picture, words, y - 8);
    y += 26;
  }
  if (day) {
    y += 6;
    draw_legend(picture, *day, y);
    Chart(*day, y + 8, side - 26).draw(picture, setup);
  }
  picture.add("</g></svg>\n");
  return picture.take();
}

}  // namespace wheymark
