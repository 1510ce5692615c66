#include "plugin/tile/documents.hpp"

#include <fmt/format.h>

#include "plugin/tile/day.hpp"
#include "plugin/tile/page.hpp"
#include "plugin/tile/picture.hpp"
#include "plugin/tile/words.hpp"
#include "plugin/wire/fingerprint.hpp"

namespace wheymark {
namespace {

std::string path_of_tile(const JarId& jar) {
  return fmt::format("/tile/jar-{}.svg", jar);
}

std::string tile_of(const Household& household, const JarSetup& jar, Instant now) {
  return tile_of(household, jar, jar_state(household, jar.id, now), now);
}

std::string all_paths(const Household& household) {
  std::string paths = "/\n/page.css\n/page.js\n";
  for (const JarSetup& jar : household.setup().jars) paths += path_of_tile(jar.id) + "\n";
  return paths;
}

}  // namespace

std::string etag_of(std::string_view body) {
  return fmt::format("\"{:016x}\"", fingerprint(body));
}

std::string tile_of(const Household& household, const JarSetup& jar, const JarState& state,
                    Instant now) {
  return tile_picture(jar.id, words_of_tile(household, jar, state, now),
                      last_day_of(household, state, now), household.setup());
}

std::optional<Document> document(std::string_view path, const Household& household, Instant now) {
  if (path == "/") {
    const auto version = [&](const JarId& jar) {
      const std::string etag = etag_of(tile_of(household, *household.setup().jar(jar), now));
      return etag.substr(1, etag.size() - 2);
    };
    return Document{"text/html; charset=utf-8", page_html(household, now, version)};
  }
  if (path == "/page.css") return Document{"text/css; charset=utf-8", std::string(page_style())};
  if (path == "/page.js") {
    return Document{"text/javascript; charset=utf-8", std::string(page_script())};
  }
  if (path == "/paths") return Document{"text/plain; charset=utf-8", all_paths(household)};
  for (const JarSetup& jar : household.setup().jars) {
    if (path == path_of_tile(jar.id))
      return Document{"image/svg+xml", tile_of(household, jar, now)};
  }
  return std::nullopt;
}

}  // namespace wheymark
