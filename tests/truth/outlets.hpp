// What a person reads of the household at one instant, from every outlet, taken apart into texts.
//
// The documents are read as text, not through the code that wrote them.
#pragma once

#include <chrono>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tests/truth/memory.hpp"

namespace wheymark::truth {

// --- reading text -------------------------------------------------------------------------------

// What stands between two marks, from `from` on; `from` goes behind it. Nothing when there is none.
inline std::optional<std::string> between(std::string_view text, std::string_view open,
                                          std::string_view close, std::size_t& from) {
  const std::size_t begin = text.find(open, from);
  if (begin == std::string_view::npos) return std::nullopt;
  const std::size_t inside = begin + open.size();
  const std::size_t end = text.find(close, inside);
  if (end == std::string_view::npos) return std::nullopt;
  from = end + close.size();
  return std::string(text.substr(inside, end - inside));
}

inline std::optional<std::string> between(std::string_view text, std::string_view open,
                                          std::string_view close) {
  std::size_t from = 0;
  return between(text, open, close, from);
}

inline std::vector<std::string> all_between(std::string_view text, std::string_view open,
                                            std::string_view close) {
  std::vector<std::string> all;
  std::size_t from = 0;
  while (auto inside = between(text, open, close, from)) all.push_back(*inside);
  return all;
}

inline std::string plain(std::string markup) {
  for (const auto& [escape, sign] :
       {std::pair{"&#39;", "'"}, {"&quot;", "\""}, {"&lt;", "<"}, {"&gt;", ">"}, {"&amp;", "&"}}) {
    for (std::size_t at = 0; (at = markup.find(escape, at)) != std::string::npos;) {
      markup.replace(at, std::string_view(escape).size(), sign);
      at += 1;
    }
  }
  return markup;
}

inline bool has(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

// --- instants -----------------------------------------------------------------------------------

inline Ms ms_of(const std::string& rfc3339) {
  std::tm parts{};
  std::string text = rfc3339;
  text.resize(19);
  if (strptime(text.c_str(), "%Y-%m-%dT%H:%M:%S", &parts) == nullptr) return 0;
  return static_cast<Ms>(timegm(&parts)) * 1000;
}

inline std::string local(Ms at, int offset_min, const char* format) {
  const std::time_t seconds = static_cast<std::time_t>((at + offset_min * minute) / 1000);
  std::tm parts{};
  gmtime_r(&seconds, &parts);
  std::array<char, 64> out{};
  std::strftime(out.data(), out.size(), format, &parts);
  return out.data();
}

// "Tue 16 Mar", without a leading zero.
inline std::string day_of(Ms at, int offset_min) {
  std::string text = local(at, offset_min, "%a %e %b");
  if (text[4] == ' ') text.erase(4, 1);
  return text;
}
inline std::string clock_of(Ms at, int offset_min) {
  return local(at + minute / 2, offset_min, "%H:%M");
}

// Whether a stage is one of the fridge.
inline bool is_kept(const std::string& stage) {
  return stage == "fridge" || stage == "use-soon" || stage == "past-best";
}

// --- what is read -------------------------------------------------------------------------------

struct Tile {
  std::string headline;
  std::vector<std::string> lines;  // of its picture
  std::string spoken;              // its description
};

inline Tile tile_from(const std::string& svg) {
  Tile tile;
  tile.spoken = plain(between(svg, "<desc id=\"", "</desc>").value_or(""));
  tile.spoken.erase(0, tile.spoken.find('>') + 1);
  for (std::string& text : all_between(svg, "<text", "</text>")) {
    tile.lines.push_back(plain(text.substr(text.find('>') + 1)));
  }
  // In the picture a long one may be cut.
  tile.headline = between(tile.spoken, ": ", ".").value_or("");
  return tile;
}

struct FridgeRow {
  std::string name, age, left, best_by, last_day;
};

struct Page {
  std::map<std::string, std::string> headlines;  // by jar
  std::map<std::string, std::string> spoken;     // by jar
  std::vector<FridgeRow> fridge;
  std::map<std::string, std::string> grains;  // by culture's name
  std::string all;
};

inline Page page_from(const std::string& html) {
  Page page;
  page.all = html;
  for (const std::string& item : all_between(html, "<li data-jar=\"", "</li>")) {
    const std::string jar = item.substr(0, item.find('"'));
    page.headlines[jar] = plain(between(item, "data-headline=\"", "\"").value_or(""));
    page.spoken[jar] = plain(between(item, "alt=\"", "\"").value_or(""));
  }
  const std::string fridge = between(html, "id=\"fridge\"", "</section>").value_or("");
  const std::string rows = between(fridge, "<tbody>", "</tbody>").value_or("");
  for (const std::string& row : all_between(rows, "<tr>", "</tr>")) {
    FridgeRow read;
    read.name = plain(between(row, "<th scope=\"row\">", "</th>").value_or(""));
    const std::vector<std::string> cells = all_between(row, "<td>", "</td>");
    if (cells.size() > 0) read.age = cells[0];
    if (cells.size() > 1) read.left = cells[1];
    if (cells.size() > 2) read.best_by = cells[2];
    if (cells.size() > 3) read.last_day = cells[3];
    page.fridge.push_back(read);
  }
  const std::string cultures = between(html, "id=\"cultures\"", "</section>").value_or("");
  std::size_t from = 0;
  while (const auto name = between(cultures, "<dt>", "</dt>", from)) {
    page.grains[plain(*name)] = plain(between(cultures, "<dd>", "</dd>", from).value_or(""));
  }
  return page;
}

// An event as it was heard.
struct Event {
  std::string kind, subject, id;
  Ms time = 0;   // when it became true
  Ms heard = 0;  // when it was told
  std::string text, caution;
  nlohmann::json data;
  [[nodiscard]] std::string jar() const {
    return subject.starts_with("jar-") ? subject.substr(4) : "";
  }
  [[nodiscard]] bool is_of_jar(const std::string& jar) const { return subject == "jar-" + jar; }
};

inline Event event_from(const std::string& payload, Ms heard) {
  const auto json = nlohmann::json::parse(payload);
  Event event;
  event.kind = json.at("type").get<std::string>().substr(std::string_view("wheymark.").size());
  event.id = json.at("id");
  event.time = ms_of(json.at("time"));
  event.heard = heard;
  event.data = json.at("data");
  event.text = event.data.at("text");
  event.caution = event.data.value("caution", "");
  event.subject = json.value("subject", "");
  return event;
}

struct Outlets {
  Ms at = 0;
  std::map<std::string, std::string> retained;
  std::map<std::string, Tile> tiles;  // by jar: as published, or in full as rendered now
  Page page;
  nlohmann::json inventory = nlohmann::json::array();
  std::string inventory_text;
  // Asked more seldom, because they are dearer.
  bool in_full = false;
  nlohmann::json exported;
  std::map<std::string, nlohmann::json> explained;  // by jar
  std::map<std::string, nlohmann::json> planned;    // by jar
  std::map<std::string, nlohmann::json> feedings;   // by culture

  [[nodiscard]] std::string homie(const std::string& device, const std::string& below) const {
    const auto found = retained.find("homie/5/" + device + "/" + below);
    return found == retained.end() ? "" : found->second;
  }
  [[nodiscard]] std::string of_jar(const std::string& jar, const std::string& below) const {
    return homie("jar-" + jar, below);
  }
  [[nodiscard]] std::string stage(const std::string& jar) const {
    return of_jar(jar, "batch/stage");
  }
  // Whether it is shown to be in the fridge; what is suspect has a stage of its own.
  [[nodiscard]] bool keeps(const std::string& jar) const {
    return is_kept(stage(jar)) ||
           (stage(jar) == "suspect" && of_jar(jar, "batch/place") == "fridge");
  }
  [[nodiscard]] const nlohmann::json* in_inventory(const std::string& jar) const {
    for (const nlohmann::json& bottle : inventory) {
      if (bottle.at("jar") == jar) return &bottle;
    }
    return nullptr;
  }
};

}  // namespace wheymark::truth
