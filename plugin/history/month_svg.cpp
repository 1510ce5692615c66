// The month as a picture: the numbers, and hours to the peak against the room.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "plugin/history/month.hpp"

namespace wheymark {
namespace {

constexpr double width = 480.0;
constexpr double left = 48.0;
constexpr double plot_width = 400.0;
constexpr double plot_height = 200.0;
constexpr double line_height = 20.0;

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

// Round ends of an axis round the values: whole steps, at least one.
struct Axis {
  double from;
  double to;
  double step;

  static Axis round(double least, double most, double step) {
    const double from = std::floor(least / step) * step;
    const double to = std::ceil(most / step) * step;
    return {from, to > from ? to : from + step, step};
  }
  [[nodiscard]] double share(double value) const { return (value - from) / (to - from); }
};

std::string plot_of(const std::vector<Month::Peak>& peaks, double top) {
  const auto by_room = [](const auto& a, const auto& b) { return a.room_c < b.room_c; };
  const auto by_hours = [](const auto& a, const auto& b) { return a.hours < b.hours; };
  const auto [coldest, warmest] = std::minmax_element(peaks.begin(), peaks.end(), by_room);
  const auto [fastest, slowest] = std::minmax_element(peaks.begin(), peaks.end(), by_hours);
  const Axis rooms = Axis::round(coldest->room_c, warmest->room_c, 2.0);
  const Axis hours = Axis::round(fastest->hours, slowest->hours, 4.0);
  const double bottom = top + plot_height;

  std::string svg = fmt::format(
      "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"none\" stroke=\"#999\"/>\n", left,
      top, plot_width, plot_height);
  for (double h = hours.from; h <= hours.to; h += hours.step) {
    svg += fmt::format("<text x=\"{}\" y=\"{:.1f}\" text-anchor=\"end\">{:.0f} h</text>\n",
                       left - 4.0, bottom - plot_height * hours.share(h) + 4.0, h);
  }
  for (double c = rooms.from; c <= rooms.to; c += rooms.step) {
    svg += fmt::format("<text x=\"{:.1f}\" y=\"{}\" text-anchor=\"middle\">{:.0f} °C</text>\n",
                       left + plot_width * rooms.share(c), bottom + 16.0, c);
  }
  for (const Month::Peak& peak : peaks) {
    svg += fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"4\" fill=\"#36c\"/>\n",
                       left + plot_width * rooms.share(peak.room_c),
                       bottom - plot_height * hours.share(peak.hours));
  }
  return svg;
}

}  // namespace

std::string svg_of(const Month& month, const Plan& plan) {
  std::string body;
  double y = line_height;
  const std::string text = text_of(month, plan);
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = text.find('\n', from);
    body += fmt::format("<text x=\"8\" y=\"{}\">{}</text>\n", y,
                        escaped(std::string_view(text).substr(from, end - from)));
    y += line_height;
    from = end + 1;
  }
  if (!month.peaks.empty()) {
    body += plot_of(month.peaks, y);
    y += plot_height + 2.0 * line_height;
  }
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}\" height=\"{1}\" viewBox=\"0 0 {0} "
      "{1}\" font-family=\"sans-serif\" font-size=\"12\">\n<title>Hours to the peak against the "
      "room</title>\n<rect width=\"{0}\" height=\"{1}\" fill=\"#fff\"/>\n{2}</svg>\n",
      width, y, body);
}

}  // namespace wheymark
