// The month as a picture: its numbers, and hours to the peak against the room, light and dark.
//
// Read by people and by hubs that show a picture as it is: no script, no font of its own. What was
// over-fermented is a ring, not only another colour.
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

#include "plugin/history/month.hpp"
#include "plugin/tile/markup.hpp"

namespace wheymark {
namespace {

constexpr double month_width = 600.0;
constexpr double month_margin = 16.0;
constexpr double month_left = 64.0;
constexpr double plot_width = month_width - month_left - month_margin - 16.0;
constexpr double plot_height = 240.0;
constexpr double line_height = 21.0;
constexpr std::size_t line_chars_max = 84;  // of 13 px

constexpr std::string_view month_style = R"css(
text{font-family:system-ui,'Segoe UI','DejaVu Sans',sans-serif;font-size:13px;fill:#1f2a30}
.paper{fill:#fbf8f1}.head{font-size:17px}.soft{fill:#55626a;font-size:12px}
.grid{stroke:#d6cebb}.in-time{fill:#16627d;stroke:#16627d}.over{fill:none;stroke:#8a4f0c}
circle,.key{stroke-width:2}
@media (prefers-color-scheme:dark){
text{fill:#f4f0e6}.paper{fill:#171c1f}.soft{fill:#b6c0c5}
.grid{stroke:#3a444a}.in-time{fill:#7fcbe6;stroke:#7fcbe6}.over{stroke:#e7a95c}}
)css";

// Ends on whole steps with the values between them and some air on both sides, so that one batch
// alone lies in the middle; the smallest of some round steps that leaves eight of them or fewer.
struct Axis {
  double from;
  double to;
  double step;

  static Axis round(double least, double most, const std::array<double, 6>& steps) {
    for (const double step : steps) {
      const double from = std::max(0.0, std::floor(least / step - 0.5)) * step;
      const double to = std::ceil(most / step + 0.5) * step;
      if ((to - from) / step <= 8.0 || step == steps.back()) return {from, to, step};
    }
    return {least, most, most - least};
  }
  [[nodiscard]] double share(double value) const { return (value - from) / (to - from); }
  [[nodiscard]] int ticks() const { return static_cast<int>(std::lround((to - from) / step)); }
  [[nodiscard]] double tick(int number) const { return from + number * step; }
};

std::string axes_of(const Axis& rooms, const Axis& hours, double top) {
  const double bottom = top + plot_height;
  std::string svg;
  for (int i = 0; i <= hours.ticks(); ++i) {
    const double y = bottom - plot_height * hours.share(hours.tick(i));
    svg += fmt::format(
        "<line class=\"grid\" x1=\"{0}\" x2=\"{1}\" y1=\"{2:.1f}\" y2=\"{2:.1f}\"/>"
        "<text class=\"soft\" x=\"{3}\" y=\"{4:.1f}\" text-anchor=\"end\">{5:g}</text>\n",
        month_left, month_left + plot_width, y, month_left - 8.0, y + 4.0, hours.tick(i));
  }
  for (int i = 0; i <= rooms.ticks(); ++i) {
    const double x = month_left + plot_width * rooms.share(rooms.tick(i));
    svg += fmt::format(
        "<line class=\"grid\" x1=\"{0:.1f}\" x2=\"{0:.1f}\" y1=\"{1}\" y2=\"{2}\"/>"
        "<text class=\"soft\" x=\"{0:.1f}\" y=\"{3}\" text-anchor=\"middle\">{4:g}</text>\n",
        x, top, bottom, bottom + 18.0, rooms.tick(i));
  }
  svg += fmt::format(
      "<text class=\"soft\" x=\"{0}\" y=\"{1}\" text-anchor=\"middle\">room while it fermented, "
      "°C</text>\n<text class=\"soft\" transform=\"translate({2} {3}) rotate(-90)\" "
      "text-anchor=\"middle\">hours to the peak, h</text>\n",
      month_left + 0.5 * plot_width, bottom + 38.0, month_margin + 8.0, top + 0.5 * plot_height);
  return svg;
}

std::string key_of(double y) {
  return fmt::format(
             "<rect class=\"key in-time\" x=\"{0}\" y=\"{2}\" width=\"8\" height=\"8\" rx=\"4\"/>"
             "<text class=\"soft\" x=\"{1}\" y=\"{3}\">strained before it was over</text>\n",
             month_left, month_left + 14.0, y - 9.0, y) +
         fmt::format(
             "<rect class=\"key over\" x=\"{0}\" y=\"{2}\" width=\"8\" height=\"8\" rx=\"4\"/>"
             "<text class=\"soft\" x=\"{1}\" y=\"{3}\">over-fermented</text>\n",
             month_left + 210.0, month_left + 224.0, y - 9.0, y);
}

std::string plot_of(const std::vector<Month::Peak>& peaks, double top) {
  const auto by_room = [](const auto& a, const auto& b) { return a.room_c < b.room_c; };
  const auto by_hours = [](const auto& a, const auto& b) { return a.hours < b.hours; };
  const auto [coldest, warmest] = std::minmax_element(peaks.begin(), peaks.end(), by_room);
  const auto [fastest, slowest] = std::minmax_element(peaks.begin(), peaks.end(), by_hours);
  const Axis rooms =
      Axis::round(coldest->room_c, warmest->room_c, std::array{0.5, 1.0, 2.0, 5.0, 10.0, 20.0});
  const Axis hours =
      Axis::round(fastest->hours, slowest->hours, std::array{1.0, 2.0, 4.0, 6.0, 12.0, 24.0});
  std::string svg = axes_of(rooms, hours, top);
  for (const Month::Peak& peak : peaks) {
    svg += fmt::format("<circle class=\"{}\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"4\"/>\n",
                       peak.over_fermented ? "over" : "in-time",
                       month_left + plot_width * rooms.share(peak.room_c),
                       top + plot_height * (1.0 - hours.share(peak.hours)));
  }
  return svg;
}

}  // namespace

std::string svg_of(const Month& month, const HouseholdSetup& setup) {
  std::string body;
  double y = month_margin + 12.0;
  const std::string text = text_of(month, setup);
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = text.find('\n', from);
    body += fmt::format("<text{} x=\"{}\" y=\"{}\">{}</text>\n", from == 0 ? " class=\"head\"" : "",
                        month_margin, y,
                        escaped(shortened(std::string_view(text).substr(from, end - from),
                                          from == 0 ? line_chars_max - 24 : line_chars_max)));
    y += from == 0 ? line_height + 5.0 : line_height;
    from = end + 1;
  }
  if (month.peaks.empty()) {
    body += fmt::format(
        "<text class=\"soft\" x=\"{}\" y=\"{}\">No batch of this month has both a peak and a room "
        "that was read.</text>\n",
        month_margin, y);
    y += line_height;
  } else {
    body += key_of(y + 4.0);
    body += plot_of(month.peaks, y + line_height);
    y += plot_height + line_height + 38.0 + month_margin;
  }
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}\" height=\"{1}\" viewBox=\"0 0 {0} "
      "{1}\" role=\"img\">\n<title>{2}: hours to the peak against the room</title>\n"
      "<style>{3}</style>\n<rect class=\"paper\" width=\"{0}\" height=\"{1}\"/>\n{4}</svg>\n",
      month_width, y, escaped(text.substr(0, text.find('\n'))), month_style, body);
}

}  // namespace wheymark
