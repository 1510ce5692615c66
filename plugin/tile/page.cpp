#include "plugin/tile/page.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <vector>

#include "core/announce/describe.hpp"
#include "core/basis/rfc3339.hpp"
#include "core/household/grain_sums.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/pace_words.hpp"
#include "core/household/stock.hpp"
#include "core/household/stored_kefir.hpp"
#include "core/household/suspect_words.hpp"
#include "core/record/amounts.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "plugin/tile/markup.hpp"
#include "plugin/tile/words.hpp"
#include "plugin/wire/number_text.hpp"

namespace wheymark {
namespace {

class Page {
 public:
  Page(const Household& household, Instant now,
       const std::function<std::string(const JarId&)>& tile_version)
      : household_(household), setup_(household.setup()), now_(now), tile_version_(tile_version) {}

  std::string written() {
    const std::string home = escaped(setup_.home_name);
    add(R"(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{0}: kefir</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="/page.css">
<script src="/page.js" defer></script>
<noscript><meta http-equiv="refresh" content="60"></noscript>
</head>
<body>
<header><h1>{0}</h1></header>
<p id="news" role="status"></p>
<main id="now">
<p class="as-of">As of <time datetime="{1}">{2}</time></p>
)",
        home, utc_text(), day_and_clock_text(now_, setup_));
    add_jars();
    add_fridge();
    add_cultures();
    add_places();
    add("</main>\n</body>\n</html>\n");
    return std::move(html_);
  }

 private:
  template <class... Args>
  void add(fmt::format_string<Args...> format, Args&&... args) {
    fmt::format_to(std::back_inserter(html_), format, std::forward<Args>(args)...);
  }

  [[nodiscard]] std::string utc_text() const {
    std::string text = rfc3339(std::chrono::floor<std::chrono::minutes>(now_));
    return text.erase(text.rfind(":00"), 3);  // HTML's short form, without seconds
  }

  // Those on the counter first; empty ones last.
  void add_jars() {
    struct Shown {
      const JarSetup* jar;
      JarState state;
      int turn;
    };
    std::vector<Shown> shown;
    for (const JarSetup& jar : setup_.jars) {
      const JarState state = jar_state(household_, jar.id, now_);
      const bool stored = state.batch != nullptr && state.batch->in_fridge;
      shown.push_back({&jar, state, state.batch == nullptr ? 2 : stored ? 1 : 0});
    }
    std::stable_sort(shown.begin(), shown.end(),
                     [](const Shown& a, const Shown& b) { return a.turn < b.turn; });
    add("<section aria-labelledby=\"jars\">\n<h2 id=\"jars\">Jars</h2>\n");
    if (shown.empty()) add("<p>There is no jar in the configuration yet.</p>\n");
    add("<ul class=\"tiles\">\n");
    for (const auto& [jar, state, turn] : shown) {
      const TileWords words = words_of_tile(household_, *jar, state, now_);
      add(R"(<li data-jar="{0}" data-headline="{1}"><a href="/tile/jar-{0}.svg">
<img src="/tile/jar-{0}.svg?{2}" alt="{3}" width="300" height="300"></a></li>
)",
          jar->id, escaped(words.headline), tile_version_(jar->id), escaped(words.spoken));
    }
    add("</ul>\n</section>\n");
  }

  void add_fridge() {
    std::vector<StoredKefir> stored = inventory(household_, "", now_);
    std::stable_sort(stored.begin(), stored.end(), [](const StoredKefir& a, const StoredKefir& b) {
      return a.last_day < b.last_day;
    });
    add("<section aria-labelledby=\"fridge\">\n<h2 id=\"fridge\">In the fridge</h2>\n");
    if (stored.empty()) {
      add("<p>Nothing is in the fridge.</p>\n</section>\n");
      return;
    }
    add("<table>\n<thead><tr><th scope=\"col\">Jar</th><th scope=\"col\">Age</th>"
        "<th scope=\"col\">Left</th><th scope=\"col\">Best by</th><th scope=\"col\">Last day</th>"
        "</tr></thead>\n<tbody>\n");
    for (const StoredKefir& bottle : stored) {
      if (const Suspicion* why = bottle.suspicion) {
        add("<tr><th scope=\"row\">{}</th><td colspan=\"4\">Suspect: {}; {}.</td></tr>\n",
            escaped(name_of_jar(bottle.batch->jar(), setup_)), escaped(what_was_seen(*why, setup_)),
            escaped(what_to_do(bottle.batch)));
        continue;
      }
      add("<tr><th scope=\"row\">{}</th><td>{} d</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
          escaped(name_of_jar(bottle.batch->jar(), setup_)),
          decimal(bottle.age_d, bottle.age_d < 2 ? 1 : 0), volume_text(bottle.batch->ml_now()),
          day_text(bottle.best_by, setup_), day_text(bottle.last_day, setup_));
    }
    add("</tbody>\n</table>\n<p>{}</p>\n</section>\n",
        escaped(stock_sentence(stock_of(household_, now_), setup_)));
  }

  void add_cultures() {
    if (setup_.cultures.empty()) return;
    add("<section aria-labelledby=\"cultures\">\n<h2 id=\"cultures\">Cultures</h2>\n<dl>\n");
    for (const CultureSetup& culture : setup_.cultures) {
      const GrainSums sums =
          grain_sums(culture, household_.book(), household_.wanted_grain_g(culture.id));
      const PaceBelief pace = household_.paces().of(culture.id);
      if (const auto& seen = household_.book().grains(culture.id).suspected()) {
        add("<dt>{}</dt><dd>Suspect: {}. Discard them, do not taste; {}.</dd>\n",
            escaped(culture.name), escaped(what_was_seen({seen->told, seen->said, true}, setup_)),
            escaped(text_of(sums, setup_)));
        continue;
      }
      add("<dt>{}</dt><dd>{}; batches take {}</dd>\n", escaped(culture.name),
          escaped(text_of(sums, setup_)),
          pace_words(pace.quantile(0.1), pace.quantile(0.5), pace.quantile(0.9)));
    }
    add("</dl>\n</section>\n");
  }

  void add_places() {
    if (setup_.places.empty()) return;
    add("<section aria-labelledby=\"places\">\n<h2 id=\"places\">Places</h2>\n<dl>\n");
    for (const PlaceSetup& place : setup_.places) {
      const TemperatureHistory* air = household_.places().history(place.id);
      const Thermometer& thermometer = household_.places().thermometer(place.id);
      const std::string warmth = air != nullptr && air->last()
                                     ? decimal(air->last()->air.degrees(), 1) + " °C"
                                     : "not known";
      add("<dt>{}</dt><dd>{}{}</dd>\n", escaped(place.name), warmth, remark_on(thermometer));
    }
    add("</dl>\n</section>\n");
  }

  [[nodiscard]] std::string remark_on(const Thermometer& thermometer) const {
    const ThermometerStatus status = thermometer.status(now_);
    if (status == ThermometerStatus::none) return ", no thermometer";
    if (status == ThermometerStatus::good) return "";
    if (status == ThermometerStatus::stuck) return ", the thermometer is stuck";
    if (status == ThermometerStatus::not_understood) {
      return ", the thermometer speaks, but " + escaped(as_sentence(thermometer.nonsense()->what));
    }
    return status == ThermometerStatus::silent ? ", the thermometer is silent"
                                               : ", the thermometer is not believed";
  }

  const Household& household_;
  const HouseholdSetup& setup_;
  Instant now_;
  const std::function<std::string(const JarId&)>& tile_version_;
  std::string html_;
};

}  // namespace

std::string page_html(const Household& household, Instant now,
                      const std::function<std::string(const JarId&)>& tile_version) {
  return Page(household, now, tile_version).written();
}

std::string_view page_style() {
  return R"css(:root{--paper:#f1ece0;--ink:#1f2a30;--soft:#55626a;--rule:#d6cebb}
@media (prefers-color-scheme:dark){
:root{--paper:#0e1113;--ink:#f4f0e6;--soft:#b6c0c5;--rule:#3a444a}}
*{box-sizing:border-box}
body{margin:0 auto;padding:.75rem;max-width:80rem;background:var(--paper);color:var(--ink);
font:1.125rem/1.45 system-ui,'Segoe UI','DejaVu Sans',sans-serif}
h1{font-size:1.5rem;margin:.25rem 0}
h2{font-size:1.25rem;margin:1.5rem 0 .5rem;border-bottom:2px solid var(--rule)}
.as-of,#news{color:var(--soft);margin:0}
#news:empty{display:none}
.tiles{list-style:none;margin:0;padding:0;display:grid;gap:.75rem;
grid-template-columns:repeat(auto-fill,minmax(min(17rem,100%),1fr))}
.tiles a{display:block;border-radius:6%}
.tiles a:focus-visible{outline:3px solid var(--ink);outline-offset:2px}
.tiles img{display:block;width:100%;height:auto}
table{border-collapse:collapse;width:100%;max-width:40rem}
th,td{text-align:left;padding:.35rem .5rem .35rem 0;border-bottom:1px solid var(--rule)}
thead th{color:var(--soft);font-weight:400}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.25rem 1rem;margin:0}
dt{font-weight:700}dd{margin:0}
@media (max-width:30rem){dl{grid-template-columns:1fr}dd{margin-bottom:.5rem}}
)css";
}

std::string_view page_script() {
  return R"js('use strict';
// Takes the new page when the server says that there is one, and reads out what has changed.
const news = document.getElementById('news');
let asked = 0;

function headlines() {
  const found = new Map();
  for (const tile of document.querySelectorAll('[data-jar]')) {
    found.set(tile.dataset.jar, [tile.dataset.headline, tile.querySelector('img').alt]);
  }
  return found;
}

async function renew() {
  const mine = ++asked;
  const answer = await fetch('/', { cache: 'no-cache' });
  if (!answer.ok) throw new Error(String(answer.status));
  const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
  const main = page.getElementById('now');
  if (mine !== asked || main === null) return;
  const before = headlines();
  const focused = document.activeElement?.closest('[data-jar]')?.dataset.jar;
  document.getElementById('now').replaceWith(document.importNode(main, true));
  if (focused) document.querySelector(`[data-jar="${focused}"] a`)?.focus({ preventScroll: true });
  const changed = [...headlines()].filter(([jar, [headline]]) =>
    before.has(jar) && before.get(jar)[0] !== headline);
  news.textContent = changed.map(([, [, spoken]]) => spoken).join(' ');
}

function live() {
  const source = new EventSource('/live');
  let last = null;
  let silent = false;
  source.onmessage = (event) => {
    if (last === event.data && !silent) return;
    last = event.data;
    if (silent) news.textContent = '';
    silent = false;
    renew().catch(() => { last = null; });
  };
  source.onerror = () => {
    silent = true;
    news.textContent = 'No connection: this is how it was.';
    // The browser gives up for good after an answer such as 503; we do not.
    if (source.readyState === EventSource.CLOSED) setTimeout(live, 15000);
  };
}

live();
)js";
}

}  // namespace wheymark
