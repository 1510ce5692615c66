// Does the code keep the rules that no compiler keeps?
//
// Each rule is stated once and checked on every file of the tree; and once on a line that breaks
// it, so that a rule that finds nothing is known to work.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace wheymark::test {
namespace {

namespace fs = std::filesystem;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

struct SourceFile {
  std::string name;  // relative to the source tree
  std::vector<std::string> lines;
};

std::vector<std::string> lines_in(const fs::path& path) {
  std::ifstream in(path);
  std::vector<std::string> lines;
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

bool is_code(const fs::path& path) {
  static const std::set<std::string> endings{".cpp", ".hpp", ".c", ".h"};
  return endings.contains(path.extension().string());
}

// All files below these folders that `wanted` accepts.
std::vector<SourceFile> files_in(const std::vector<std::string>& folders,
                                 const std::function<bool(const fs::path&)>& wanted = is_code) {
  const fs::path root = WHEYMARK_SOURCE_DIR;
  std::vector<SourceFile> files;
  for (const std::string& folder : folders) {
    if (!fs::exists(root / folder)) continue;
    for (const auto& entry : fs::recursive_directory_iterator(root / folder)) {
      if (!entry.is_regular_file() || !wanted(entry.path())) continue;
      if (entry.path().string().find("/node_modules/") != std::string::npos) continue;  // not ours
      files.push_back({fs::relative(entry.path(), root).string(), lines_in(entry.path())});
    }
  }
  return files;
}

// Code without comments and texts, in which any word may stand.
std::string bare(const std::string& line) {
  static const std::regex text(R"("([^"\\]|\\.)*")");
  const std::string code = std::regex_replace(line, text, "\"\"");
  return code.substr(0, code.find("//"));
}

// "file:line: the line" for every line that breaks a rule.
using Rule = std::function<bool(const std::string& line)>;
std::vector<std::string> breaking(const Rule& breaks, const std::vector<SourceFile>& files) {
  std::vector<std::string> found;
  for (const SourceFile& file : files) {
    for (std::size_t i = 0; i < file.lines.size(); ++i) {
      if (!breaks(file.lines[i])) continue;
      found.push_back(file.name + ":" + std::to_string(i + 1) + ": " + file.lines[i]);
    }
  }
  return found;
}

Rule says(const std::string& pattern) {
  return [rule = std::regex(pattern)](const std::string& line) {
    return std::regex_search(bare(line), rule);
  };
}

// Includes something that none of these patterns matches.
Rule includes_other_than(const std::vector<std::string>& allowed) {
  std::vector<std::regex> patterns;
  for (const std::string& pattern : allowed) patterns.emplace_back(pattern);
  return [patterns](const std::string& line) {
    static const std::regex include("^\\s*#\\s*include\\s*([<\"][^>\"]*[>\"])");
    std::smatch match;
    if (!std::regex_search(line, match, include)) return false;
    return std::none_of(patterns.begin(), patterns.end(), [&](const std::regex& pattern) {
      return std::regex_match(match[1].str(), pattern);
    });
  };
}

TEST(Lint, SeesTheWholeTree) {
  EXPECT_THAT(files_in({"core"}), Not(SizeIs(::testing::Lt(30))));
  EXPECT_THAT(files_in({"plugin/daemon"}), Not(SizeIs(::testing::Lt(10))));
  EXPECT_THAT(files_in({"tests"}), Not(SizeIs(::testing::Lt(30))));
}

// --- core is pure -------------------------------------------------------------------------------

// Numbers, instants, text and containers: nothing that knows the outside world.
const Rule core_includes = includes_other_than(
    {"\"core/.*\"", "<fmt/(format|ranges|core)\\.h>", "<boost/(math|numeric)/.*>",
     "<(algorithm|array|bit|chrono|cmath|compare|concepts|cstddef|cstdint|cstring|deque|functional|"
     "initializer_list|iterator|limits|map|memory|numbers|numeric|optional|set|span|stdexcept|"
     "string|string_view|tuple|type_traits|unordered_map|unordered_set|utility|variant|vector|"
     "random)>"});

TEST(Lint, CoreIncludesOnlyNumbersInstantsTextAndItself) {
  EXPECT_TRUE(core_includes("#include <thread>"));
  EXPECT_TRUE(core_includes("#include <nlohmann/json.hpp>"));
  EXPECT_TRUE(core_includes("#include \"plugin/wheymark.h\""));
  EXPECT_FALSE(core_includes("#include \"core/basis/units.hpp\""));
  EXPECT_THAT(breaking(core_includes, files_in({"core"})), IsEmpty());
}

const Rule core_calls = says(
    "::now\\(|\\bstd::(time|clock|cout|cerr|thread|mutex|atomic|async|filesystem|[io]?fstream)\\b|"
    "\\b(getenv|rand|srand|system|fopen|printf|puts|exit|abort)\\(|"
    "random_device|_distribution\\b|\\bthread_local\\b");

TEST(Lint, CoreAsksNobodyWhatTimeItIsAndTouchesNothingOutside) {
  EXPECT_TRUE(core_calls("auto t = std::chrono::system_clock::now();"));
  EXPECT_TRUE(core_calls("std::random_device device;"));
  EXPECT_TRUE(core_calls("std::normal_distribution<double> of;"));
  EXPECT_TRUE(core_calls("getenv(\"HOME\")"));
  EXPECT_FALSE(core_calls("// no ::now() here"));
  EXPECT_FALSE(core_calls("text(\"system()\");"));
  EXPECT_FALSE(core_calls("double clock_h_at(Instant at);"));
  EXPECT_THAT(breaking(core_calls, files_in({"core"})), IsEmpty());
}

// --- dependencies point one way -----------------------------------------------------------------

// The rooms of core: each may include itself and those before it.
const std::vector<std::string> rooms{"basis",  "kinetics", "pace",  "record",
                                     "air",    "forecast", "jar",   "household",
                                     "advice", "announce", "notice"};

// Includes a room that comes after this one.
Rule looks_ahead_from(const std::string& room) {
  std::vector<std::string> allowed{"<.*>"};
  for (const std::string& earlier : rooms) {
    allowed.push_back("\"core/" + earlier + "/.*\"");
    if (earlier == room) break;
  }
  return includes_other_than(allowed);
}

TEST(Lint, TheRoomsOfCoreDependOneWay) {
  EXPECT_TRUE(looks_ahead_from("pace")("#include \"core/record/facts.hpp\""));
  EXPECT_FALSE(looks_ahead_from("pace")("#include \"core/kinetics/signs.hpp\""));
  EXPECT_FALSE(looks_ahead_from("air")("#include \"core/record/setup.hpp\""));
  for (const std::string& room : rooms) {
    EXPECT_THAT(breaking(looks_ahead_from(room), files_in({"core/" + room})), IsEmpty());
  }
}

TEST(Lint, EveryFolderOfCoreIsARoomWithAPlaceInTheOrder) {
  std::vector<std::string> folders;
  for (const auto& entry : fs::directory_iterator(fs::path(WHEYMARK_SOURCE_DIR) / "core")) {
    if (entry.is_directory()) folders.push_back(entry.path().filename().string());
    // A file beside the rooms would be in none of them.
    if (is_code(entry.path())) folders.push_back(entry.path().filename().string());
  }
  EXPECT_THAT(folders, ::testing::UnorderedElementsAreArray(rooms));
}

TEST(Lint, NothingInCoreKnowsTheHouseholdByItsNameAlone) {
  const Rule declares = says("\\b(class|struct)\\s+Household\\s*;");
  EXPECT_TRUE(declares("class Household;"));
  EXPECT_FALSE(declares("class Household {"));
  EXPECT_FALSE(declares("class HouseholdSetup;"));
  EXPECT_THAT(breaking(declares, files_in({"core"})), IsEmpty());
}

TEST(Lint, NoFolderOfCoreHasMoreThan32Files) {
  const auto crowded = [](std::vector<SourceFile> files) { return files.size() > 32; };
  EXPECT_TRUE(crowded(std::vector<SourceFile>(33)));
  EXPECT_FALSE(crowded(std::vector<SourceFile>(32)));
  for (const std::string& room : rooms) {
    EXPECT_FALSE(crowded(files_in({"core/" + room}))) << room;
  }
}

const Rule daemon_includes =
    includes_other_than({"<.*>", "\"plugin/wheymark\\.h\"", "\"plugin/daemon/.*\""});

TEST(Lint, TheDaemonKnowsTheLibraryByItsCHeaderAlone) {
  EXPECT_TRUE(daemon_includes("#include \"plugin/library/instance.hpp\""));
  EXPECT_TRUE(daemon_includes("#include \"core/basis/units.hpp\""));
  EXPECT_THAT(breaking(daemon_includes, files_in({"plugin/daemon"})), IsEmpty());
}

const Rule web_includes = includes_other_than({"<.*>", "\"plugin/(daemon|web)/.*\""});

TEST(Lint, WhatServesThePageKnowsTheDaemonAndNothingElse) {
  EXPECT_TRUE(web_includes("#include \"plugin/wheymark.h\""));
  EXPECT_THAT(breaking(web_includes, files_in({"plugin/web"})), IsEmpty());
}

const Rule parts_include = includes_other_than(
    {"<.*>", "\"core/.*\"", "\"plugin/(configuration|wire|store|library|tile|history)/.*\"",
     "\"plugin/wheymark\\.h\""});

TEST(Lint, TheLibraryKnowsNothingOfItsHost) {
  EXPECT_TRUE(parts_include("#include \"plugin/daemon/log.hpp\""));
  EXPECT_THAT(
      breaking(parts_include, files_in({"plugin/configuration", "plugin/wire", "plugin/store",
                                        "plugin/library", "plugin/tile", "plugin/history"})),
      IsEmpty());
}

TEST(Lint, TheLibraryStartsNoThreadOpensNoSocketAndReadsNoClock) {
  const Rule calls = says(
      "::now\\(|\\bstd::(thread|jthread|async|mutex)\\b|random_device|\\b(socket|getenv|fork)\\(");
  EXPECT_TRUE(calls("std::thread t;"));
  EXPECT_THAT(breaking(calls, files_in({"plugin/configuration", "plugin/wire", "plugin/store",
                                        "plugin/library"})),
              IsEmpty());
}

// --- everywhere ---------------------------------------------------------------------------------

TEST(Lint, NumbersAreNeverReadInTheMachinesLocale) {
  const Rule calls = says("\\b(strtod|strtof|atof|sscanf|(std::)?sto[dfil]{1,3})\\(");
  EXPECT_TRUE(calls("double x = std::stod(text);"));
  EXPECT_TRUE(calls("strtod(a, b)"));
  EXPECT_THAT(breaking(calls, files_in({"core", "plugin"})), IsEmpty());
}

// A path of the machine that it was written on. Put together here, so as not to find itself.
TEST(Lint, NoFileNamesTheMachineItWasWrittenOn) {
  std::string pattern = "(^|[\"' (=])/(work";
  pattern += "|root|Users|home/[a-z]+/[a-z])";
  const std::regex rule(pattern);
  // Also in comments, examples and build files.
  const Rule names = [rule](const std::string& line) {
    // A JSON Pointer of the configuration is no path.
    return std::regex_search(line, rule) && line.find("\"/home/") == std::string::npos;
  };
  std::string bad = "open(\"/";
  bad += "work/notes\")";
  EXPECT_TRUE(names(bad));
  const auto any = [](const fs::path&) { return true; };
  EXPECT_THAT(breaking(names, files_in({"core", "plugin", "tests", "config-examples"}, any)),
              IsEmpty());
}

TEST(Lint, NoFileIsLongerThan400LinesWithoutAReason) {
  // Each with its reason.
  const std::set<std::string> long_ones{
      "tests/faults/world.hpp",  // everything in it meets everything
  };
  std::vector<std::string> too_long;
  for (const SourceFile& file : files_in({"core", "plugin", "tests"})) {
    if (file.lines.size() > 400 && !long_ones.contains(file.name)) {
      too_long.push_back(file.name + ": " + std::to_string(file.lines.size()) + " lines");
    }
  }
  EXPECT_THAT(too_long, IsEmpty());
}

TEST(Lint, NoLineIsLongerThan100Columns) {
  const Rule is_long = [](const std::string& line) {
    return std::count_if(line.begin(), line.end(), [](char c) {
             return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
           }) > 100;
  };
  EXPECT_TRUE(is_long(std::string(101, 'x')));
  EXPECT_FALSE(is_long(std::string(100, 'x')));
  EXPECT_THAT(breaking(is_long, files_in({"core", "plugin"})), IsEmpty());
}

TEST(Lint, EveryHeaderBeginsByTellingWhatItIsFor) {
  std::vector<std::string> silent;
  for (const SourceFile& file : files_in({"core", "plugin", "tests"})) {
    const bool is_header = file.name.ends_with(".hpp") || file.name.ends_with(".h");
    if (!is_header) continue;
    const std::string first = file.lines.empty() ? "" : file.lines.front();
    if (!first.starts_with("//") && !first.starts_with("/*")) silent.push_back(file.name);
  }
  EXPECT_THAT(silent, IsEmpty());
}

// A sentence may point to food-safety advice; none says that something is safe.
TEST(Lint, NoSentenceClaimsThatFoodIsSafe) {
  const Rule claims = [](const std::string& line) {
    static const std::regex text(R"re("(([^"\\]|\\.)*)")re");
    static const std::regex claim("\\b(safe|safely|harmless)\\b", std::regex::icase);
    for (std::sregex_iterator it(line.begin(), line.end(), text), end; it != end; ++it) {
      if (std::regex_search((*it)[1].str(), claim)) return true;
    }
    return false;
  };
  const SourceFile wrong{"",
                         {R"(text = "It is safe to drink.";)", R"("Follow food-safety advice")"}};
  EXPECT_THAT(breaking(claims, {wrong}), SizeIs(1));
  EXPECT_THAT(breaking(claims, files_in({"core", "plugin"})), IsEmpty());
}

TEST(Lint, NoTestIsSkipped) {
  std::string skip = "GTEST_";
  skip += "SKIP|DISABLED";
  skip += "_";
  EXPECT_THAT(breaking(says(skip), files_in({"tests"})), IsEmpty());
}

}  // namespace
}  // namespace wheymark::test
