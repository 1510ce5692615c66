// A report becomes a fact, and a fact is kept to the last bit.
#include "plugin/wire/fact_json.hpp"

#include <cmath>
#include <cstdint>
#include <cstring>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <random>

#include "core/basis/limits.hpp"
#include "plugin/wire/instant_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;
using testing::AllOf;
using testing::HasSubstr;
using testing::StartsWith;

Result<Report> said(std::string_view text, const std::optional<JarId>& implied = std::nullopt) {
  return report_from(json::parse(text), implied);
}

std::string why(std::string_view text, const std::optional<JarId>& implied = std::nullopt) {
  const auto read = said(text, implied);
  return read.ok() ? "accepted" : read.why();
}

template <class Kind>
Kind fact(std::string_view text, const std::optional<JarId>& implied = std::nullopt) {
  const auto read = said(text, implied);
  if (!read.ok()) throw std::runtime_error(read.why());
  return std::get<Kind>(read.value().fact);
}

TEST(FactJson, ReadsAStartWithEverything) {
  const auto read =
      said(R"({"fact":"start","jar":"blue","culture":"old-faithful","milk":"cow-whole",
      "treatment":"raw","milk_ml":950,"grain_g":20,"lid":"loose","place":"kitchen","milk_c":5.0,
      "ready_by":"2027-03-02T07:00:00Z","at":"2027-03-01T08:10:00Z","ref":"any text"})");

  ASSERT_TRUE(read.ok()) << read.why();
  const auto& start = std::get<Start>(read.value().fact);
  EXPECT_EQ(start.jar, "blue");
  EXPECT_EQ(start.culture, "old-faithful");
  EXPECT_EQ(start.milk, MilkKind::cow_whole);
  EXPECT_EQ(start.treatment, Treatment::raw);
  EXPECT_EQ(start.milk_ml, 950.0);
  EXPECT_EQ(start.grain_g, 20.0);
  EXPECT_EQ(start.lid, Lid::loose);
  EXPECT_EQ(start.place, "kitchen");
  EXPECT_EQ(start.milk_c, 5.0);
  EXPECT_EQ(start.ready_by, instant_from_rfc3339("2027-03-02T07:00:00Z").value());
  EXPECT_EQ(read.value().at, instant_from_rfc3339("2027-03-01T08:10:00Z").value());
  EXPECT_EQ(read.value().ref, "any text");
}

TEST(FactJson, WhatIsNotSaidIsLeftOpen) {
  const auto read = said(R"({"fact":"start","jar":"blue"})");

  ASSERT_TRUE(read.ok()) << read.why();
  const auto& start = std::get<Start>(read.value().fact);
  EXPECT_FALSE(start.culture || start.milk || start.treatment || start.milk_ml || start.grain_g ||
               start.lid || start.place || start.milk_c || start.ready_by);
  EXPECT_FALSE(read.value().at);
  EXPECT_FALSE(read.value().ref);
}

TEST(FactJson, ReadsEveryOtherKindOfFact) {
  EXPECT_EQ(fact<SignSeen>(R"({"fact":"sign","jar":"blue","sign":"whey-pockets"})").sign,
            Sign::whey_pockets);
  EXPECT_EQ(fact<PhMeasured>(R"({"fact":"ph","jar":"blue","ph":4.62})").ph, 4.62);
  EXPECT_EQ(fact<Move>(R"({"fact":"move","jar":"blue","place":"pantry"})").place, "pantry");
  EXPECT_EQ(fact<LidPut>(R"({"fact":"lid","jar":"blue","lid":"tight"})").lid, Lid::tight);
  const auto strain = fact<Strain>(
      R"({"fact":"strain","jar":"blue","into":"swing-1","verdict":"right","grain_g":21.5})");
  ASSERT_EQ(strain.into.size(), 1U);
  EXPECT_EQ(strain.into.front(), Portion{"swing-1"});
  EXPECT_EQ(strain.verdict, Verdict::right);
  EXPECT_EQ(strain.grain_g, 21.5);
  EXPECT_EQ(fact<StoreAway>(R"({"fact":"store","jar":"swing-1","place":"fridge"})").place,
            "fridge");
  EXPECT_EQ(fact<Take>(R"({"fact":"take","jar":"swing-1"})").jar, "swing-1");
  EXPECT_EQ(fact<Finish>(R"({"fact":"finish","jar":"swing-1"})").jar, "swing-1");
  EXPECT_EQ(fact<Discard>(R"({"fact":"discard","jar":"blue","why":"fell"})").why, "fell");
  EXPECT_EQ(fact<Weigh>(R"({"fact":"weigh","culture":"old-faithful","grain_g":24})").grain_g, 24.0);
}

TEST(FactJson, AnInspectionIsOfACultureOrOfAJar) {
  EXPECT_EQ(fact<Inspect>(R"({"fact":"inspect","culture":"c","colour":"cream"})").culture, "c");
  const auto bottle = fact<Inspect>(R"({"fact":"inspect","jar":"swing-1","mould":true})");
  EXPECT_EQ(bottle.jar, "swing-1");
  EXPECT_EQ(bottle.mould, true);
  EXPECT_FALSE(bottle.culture);
  // On a jar's own topic the jar is meant, unless a culture is named.
  EXPECT_EQ(fact<Inspect>(R"({"fact":"inspect","mould":true})", "blue").jar, "blue");
  EXPECT_FALSE(fact<Inspect>(R"({"fact":"inspect","culture":"c","mould":true})", "blue").jar);
  EXPECT_THAT(why(R"({"fact":"inspect","mould":true})"), StartsWith("culture: found nothing"));
  EXPECT_THAT(why(R"({"fact":"inspect","culture":"c"})"), HasSubstr("sticky and mould"));
}

TEST(FactJson, AnyReportMayBeSaidForSure) {
  EXPECT_FALSE(said(R"({"fact":"weigh","culture":"c","grain_g":600})").value().sure);
  EXPECT_TRUE(said(R"({"fact":"weigh","culture":"c","grain_g":600,"sure":true})").value().sure);
  EXPECT_TRUE(said(R"({"fact":"retract","ref":"x","sure":true})").value().sure);
  EXPECT_THAT(why(R"({"fact":"wash","jar":"blue","sure":"yes"})"), StartsWith("sure: found"));
}

TEST(FactJson, ReadsWhatIsPouredAndWhatGoesIntoSeveralBottles) {
  EXPECT_EQ(fact<Pour>(R"({"fact":"pour","jar":"swing-1","ml":300})").ml, 300.0);
  EXPECT_FALSE(fact<Pour>(R"({"fact":"pour","jar":"swing-1"})").ml);
  const auto strain = fact<Strain>(
      R"({"fact":"strain","jar":"vat","ml":4800,"into":[{"jar":"b1","ml":900,"lid":"loose"},{"jar":"b2"}]})");
  EXPECT_EQ(strain.ml, 4800.0);
  EXPECT_EQ(strain.into, (std::vector<Portion>{{"b1", 900.0, Lid::loose}, {"b2"}}));
}

TEST(FactJson, TheRefOfARetractionIsThatOfTheFactItTakesBack) {
  const auto read = said(R"({"fact":"retract","ref":"button-7","at":"2027-03-01T08:10:00Z"})");

  ASSERT_TRUE(read.ok()) << read.why();
  EXPECT_EQ(std::get<Retract>(read.value().fact).ref, "button-7");
  EXPECT_FALSE(read.value().ref);
}

TEST(FactJson, OnAJarsOwnTopicTheJarNeedNotBeSaidAndNoOtherMayBe) {
  EXPECT_EQ(fact<Finish>(R"({"fact":"finish"})", "blue").jar, "blue");
  EXPECT_EQ(fact<Finish>(R"({"fact":"finish","jar":"blue"})", "blue").jar, "blue");
  EXPECT_THAT(why(R"({"fact":"finish","jar":"red"})", "blue"),
              AllOf(HasSubstr("\"red\""), HasSubstr("\"blue\"")));
  EXPECT_EQ(fact<Weigh>(R"({"fact":"weigh","culture":"c","grain_g":1})", "blue").culture, "c");
}

TEST(FactJson, WrongFactsAreRefusedInOneSentenceWithWhatIsAllowed) {
  struct Wrong {
    const char* text;
    const char* begins;
    const char* holds;
  };
  const Wrong table[] = {
      {"7", "found 7", "an object"},
      {"[]", "found an array", "an object"},
      {"null", "found null", "an object"},
      {"{}", "fact: found nothing", "required"},
      {R"({"fact":7})", "fact: found 7", "start, sign, ph, move, lid, strain"},
      {R"({"fact":"stir","jar":"blue"})", "fact: found \"stir\"",
       "weigh, rest, wake, inspect, spare, split, wash, second, retract, undo, usual, remember"},
      {R"({"fact":"strian","jar":"blue"})", "fact: found \"strian\"", "did you mean \"strain\"?"},
      {R"({"fact":"sign","sign":"set"})", "jar: found nothing", "required"},
      {R"({"fact":"sign","jar":"blue"})", "sign: found nothing", "required"},
      {R"({"fact":"sign","jar":"blue","sign":"foam"})", "sign: found \"foam\"",
       "still-milk, thickened, set, whey-pockets, whey-layer, separated"},
      {R"({"fact":"sign","jar":"blue","sign":3})", "sign: found 3", "still-milk"},
      {R"({"fact":"sign","jar":"blue","sign":null})", "sign: found null", "still-milk"},
      {R"({"fact":"sign","jar":7,"sign":"set"})", "jar: found 7", "a-z, 0-9"},
      {R"({"fact":"sign","jar":"Blue","sign":"set"})", "jar: found \"Blue\"", "a-z, 0-9"},
      {R"({"fact":"sign","jar":"","sign":"set"})", "jar: found \"\"", "a-z, 0-9"},
      {R"({"fact":"sign","jar":"-a","sign":"set"})", "jar: found \"-a\"", "hyphen"},
      {R"({"fact":"sign","jar":"a/b","sign":"set"})", "jar: found \"a/b\"", "a-z, 0-9"},
      {R"({"fact":"sign","jar":"blue","sign":"set","sgin":1})", "sgin: found the key",
       "fact, jar, sign, at, ref"},
      {R"({"fact":"finish","jar":"blue","grain_g":3})", "grain_g: found the key",
       "fact, jar, at, ref"},
      {R"({"fact":"ph","jar":"blue"})", "ph: found nothing", "required"},
      {R"({"fact":"ph","jar":"blue","ph":"4.6"})", "ph: found \"4.6\"", "a number"},
      {R"({"fact":"ph","jar":"blue","ph":true})", "ph: found true", "a number"},
      {R"({"fact":"move","jar":"blue"})", "place: found nothing", "required"},
      {R"({"fact":"move","jar":"blue","place":"the pantry"})", "place: found", "a-z, 0-9"},
      {R"({"fact":"lid","jar":"blue","lid":"open"})", "lid: found \"open\"", "loose, tight"},
      {R"({"fact":"strain","jar":"blue","verdict":"wrong"})", "verdict: found",
       "early, right, late"},
      {R"({"fact":"strain","jar":"blue","into":"Swing 1"})", "into: found", "a-z, 0-9"},
      {R"({"fact":"strain","jar":"blue","grain_g":"21"})", "grain_g: found \"21\"", "a number"},
      {R"({"fact":"strain","jar":"blue","into":7})", "into: found 7", "a-z, 0-9"},
      {R"({"fact":"strain","jar":"blue","into":[]})", "into: found an array",
       "at least one bottle"},
      {R"({"fact":"strain","jar":"blue","into":["b1"]})", "into/0: found \"b1\"", "an object"},
      {R"({"fact":"strain","jar":"blue","into":[{"ml":5}]})", "into/0/jar: found nothing",
       "required"},
      {R"({"fact":"strain","jar":"blue","into":[{"jar":"b1"},{"jar":"b2","ml":"all"}]})",
       "into/1/ml: found \"all\"", "a number"},
      {R"({"fact":"strain","jar":"blue","into":[{"jar":"b1","litres":1}]})",
       "into/0/litres: found the key", "jar, ml, lid"},
      {R"({"fact":"pour","jar":"b1","ml":"a glass"})", "ml: found \"a glass\"", "a number"},
      {R"({"fact":"start","jar":"blue","milk_ml":null})", "milk_ml: found null", "a number"},
      {R"({"fact":"start","jar":"blue","milk_ml":{}})", "milk_ml: found an object", "a number"},
      {R"({"fact":"start","jar":"blue","milk":"camel"})", "milk: found \"camel\"", "cow-whole, "},
      {R"({"fact":"start","jar":"blue","milk":5})", "milk: found 5", "cow-whole, "},
      {R"({"fact":"start","jar":"blue","treatment":"boiled"})", "treatment: found", "pasteurised"},
      {R"({"fact":"start","jar":"blue","ready_by":"seven"})", "ready_by: found \"seven\"",
       "RFC 3339"},
      {R"({"fact":"start","jar":"blue","ready_by":1803888600})", "ready_by: found", "RFC 3339"},
      {R"({"fact":"finish","jar":"blue","at":"2027-02-30T00:00:00Z"})", "at: found", "that exist"},
      {R"({"fact":"finish","jar":"blue","at":false})", "at: found false", "RFC 3339"},
      {R"({"fact":"finish","jar":"blue","ref":7})", "ref: found 7", "a text"},
      {R"({"fact":"finish","jar":"blue","ref":""})", "ref: found \"\"", "1 to 400 bytes"},
      {R"({"fact":"finish","jar":"blue","ref":"a\u0000b"})", "ref: found", "without NUL"},
      {R"({"fact":"discard","jar":"blue","why":[]})", "why: found an array", "a text"},
      {R"({"fact":"weigh","culture":"old-faithful"})", "grain_g: found nothing", "required"},
      {R"({"fact":"weigh","grain_g":3})", "culture: found nothing", "required"},
      {R"({"fact":"weigh","culture":"c","grain_g":3,"jar":"blue"})", "jar: found the key",
       "culture"},
      {R"({"fact":"rest"})", "culture: found nothing", "required"},
      {R"({"fact":"rest","culture":"c","place":"the fridge"})", "place: found", "a-z, 0-9"},
      {R"({"fact":"wake","jar":"blue"})", "culture: found nothing", "required"},
      {R"({"fact":"inspect","culture":"c"})", "colour",
       "at least one of colour, smell, sticky and mould"},
      {R"({"fact":"inspect","culture":"c","colour":"purple"})", "colour: found \"purple\"",
       "white, cream, yellowish, pink, black, grey, blue, green, orange"},
      {R"({"fact":"inspect","culture":"c","smell":"bad"})", "smell: found \"bad\"",
       "neutral, yeasty, sour, strongly-yeasty, strongly-sour, rotten"},
      {R"({"fact":"inspect","culture":"c","sticky":"yes"})", "sticky: found \"yes\"", "true"},
      {R"({"fact":"spare","culture":"c","grain_g":5})", "use: found nothing", "required"},
      {R"({"fact":"spare","culture":"c","use":"sold","grain_g":5})", "use: found \"sold\"",
       "given-away, eaten, frozen, dried, thrown-away"},
      {R"({"fact":"spare","culture":"c","use":"eaten"})", "grain_g", "how many grams"},
      {R"({"fact":"split","culture":"c","grain_g":5})", "into: found nothing", "required"},
      {R"({"fact":"split","culture":"c","into":"d"})", "grain_g: found nothing", "required"},
      {R"({"fact":"wash"})", "jar: found nothing", "required"},
      {R"({"fact":"second","jar":"b"})", "sugar_g: found nothing", "required"},
      {R"({"fact":"second","jar":"b","sugar_g":"10"})", "sugar_g: found \"10\"", "a number"},
      {R"({"fact":"ph","jar":"b","ph":4.6,"error":"good"})", "error: found \"good\"", "a number"},
      {R"({"fact":"retract"})", "ref: found nothing", "required"},
      {R"({"fact":"undo"})", "culture: found nothing", "a culture, or a jar"},
      {R"({"fact":"undo","jar":"b","id":"12"})", "id: found \"12\"", "such as \"fact-12\""},
      {R"({"fact":"undo","jar":"b","culture":"c"})", "culture: found \"c\"", "jar"},
  };
  for (const auto& wrong : table) {
    EXPECT_THAT(why(wrong.text), AllOf(StartsWith(wrong.begins), HasSubstr(wrong.holds)))
        << wrong.text;
  }
}

TEST(FactJson, RefusesTextsThatAreTooLong) {
  const json long_ref = {
      {"fact", "finish"}, {"jar", "blue"}, {"ref", std::string(limits::text_bytes_max + 1, 'r')}};
  const json long_jar = {{"fact", "finish"}, {"jar", std::string(limits::id_chars_max + 1, 'j')}};
  const json longest = {{"fact", "finish"},
                        {"jar", std::string(limits::id_chars_max, 'j')},
                        {"ref", std::string(limits::text_bytes_max, 'r')}};

  EXPECT_THAT(report_from(long_ref, {}).why(), HasSubstr("1 to 400 bytes"));
  EXPECT_THAT(report_from(long_jar, {}).why(), HasSubstr("1 to 48"));
  EXPECT_TRUE(report_from(longest, {}).ok());
}

TEST(FactJson, MilkWithoutLactoseIsRefusedWithTheReason) {
  for (const auto* milk : {"lactose-free", "oat", "soy", "almond", "coconut", "rice", "oat-milk",
                           "Soy", "cow-whole-lactose-free", "hazelnut drink", "hemp_milk"}) {
    const json start = {{"fact", "start"}, {"jar", "blue"}, {"milk", milk}};
    EXPECT_THAT(report_from(start, {}).why(),
                AllOf(HasSubstr("grains live on lactose"), HasSubstr("cow-whole")))
        << milk;
  }
  // "goat" ends like "oat"; "buffalo" is no plant.
  for (const auto* milk : {"goat", "buffalo", "sheep", "cow-skim"}) {
    const json start = {{"fact", "start"}, {"jar", "blue"}, {"milk", milk}};
    EXPECT_TRUE(report_from(start, {}).ok()) << milk;
  }
}

TEST(FactJson, LeavesRangesOfNumbersToCore) {
  EXPECT_EQ(fact<PhMeasured>(R"({"fact":"ph","jar":"blue","ph":-40})").ph, -40.0);
}

// Every field set, with numbers whose shortest decimal form is long.
std::vector<Fact> facts_with_everything() {
  const Instant seven = instant_from_rfc3339("2027-03-02T07:00:00.123Z").value();
  return {Start{"blue", "old-faithful", MilkKind::buffalo, Treatment::ultra_pasteurised, 0.1 + 0.2,
                1.0 / 3.0, Lid::tight, "kitchen", 5e-324, seven},
          Start{"blue", {}, {}, {}, {}, {}, {}, {}, {}, {}},
          SignSeen{"blue", Sign::separated},
          PhMeasured{"blue", 4.620000000000001},
          PhMeasured{"blue", 4.62, 0.30000000000000004},
          Move{"blue", "pantry"},
          LidPut{"blue", Lid::loose},
          Strain{"blue", {{"swing-1"}}, Verdict::late, 1.7976931348623157e308},
          Strain{"blue", {}, {}, {}},
          Strain{"blue", {{"b1", 0.1 + 0.2, Lid::tight}, {"b2"}}, {}, {}, {}, 1.0 / 3.0},
          Pour{"swing-1", 1.0 / 3.0},
          Pour{"swing-1", {}},
          StoreAway{"swing-1", "fridge"},
          StoreAway{"swing-1", {}},
          Take{"swing-1", "kitchen"},
          Take{"swing-1", {}},
          Finish{"swing-1"},
          Discard{"blue", "it fell \"twice\"\n\xc3\xa4"},
          Discard{"blue", {}},
          Weigh{"old-faithful", 24.000000000000004},
          Strain{"blue", {{"swing-1"}}, {}, {}, Lid::loose},
          Rest{"old-faithful", "fridge"},
          Rest{"old-faithful", {}},
          Wake{"old-faithful"},
          Inspect{"old-faithful", GrainColour::pink, GrainSmell::rotten, true},
          Inspect{"old-faithful", {}, {}, false},
          Spare{"old-faithful", SpareUse::given_away, 0.1 + 0.7, false},
          Spare{"old-faithful", SpareUse::thrown_away, 20.000000000000004, true},
          Split{"old-faithful", "second", 1.0 / 7.0},
          Wash{"blue"},
          SecondBegun{"swing-1", 10.000000000000002, Lid::loose},
          SecondBegun{"swing-1", 0.1, {}},
          Retract{"button-7"},
          Undo{std::nullopt, "b", 12},
          Undo{"c", std::nullopt},
          Remembered{Start{"b",
                           "c",
                           MilkKind::goat,
                           Treatment::raw,
                           0.1 + 0.2,
                           1.0 / 3.0,
                           Lid::tight,
                           "k",
                           5.1,
                           {}},
                     seven, seven + std::chrono::hours{23}, seven + std::chrono::hours{22},
                     Verdict::right, 20.000000000000004, 21.1},
          Remembered{Start{"b", {}, {}, {}, {}, {}, {}, {}, {}, {}}, seven,
                     seven + std::chrono::hours{23}},
          Usual{"c", {{22.000000000000004, 1.0 / 3.0, 0.1 + 0.2, 950.1, 5.1}, {18.0}}}};
}

TEST(FactJson, AKeptFactReadsBackAsTheSameFact) {
  std::vector<bool> kinds(std::variant_size_v<Fact>, false);
  for (const Fact& kept : facts_with_everything()) {
    const json written = json_of(kept);
    const auto read = report_from(json::parse(written.dump()), std::nullopt);
    ASSERT_TRUE(read.ok()) << written << ": " << read.why();
    EXPECT_EQ(read.value().fact.index(), kept.index()) << written;
    EXPECT_EQ(json_of(read.value().fact), written) << written;
    kinds[kept.index()] = true;
  }
  EXPECT_THAT(kinds, testing::Each(true)) << "a kind of fact is not kept here";
}

TEST(FactJson, AKeptStartHoldsEveryNumberAndInstantToTheLastBit) {
  const Fact kept = facts_with_everything().front();
  const auto& before = std::get<Start>(kept);
  const auto read = report_from(json::parse(json_of(kept).dump()), std::nullopt);
  ASSERT_TRUE(read.ok()) << read.why();
  const auto& after = std::get<Start>(read.value().fact);

  EXPECT_EQ(after.jar, before.jar);
  EXPECT_EQ(after.culture, before.culture);
  EXPECT_EQ(after.milk, before.milk);
  EXPECT_EQ(after.treatment, before.treatment);
  EXPECT_EQ(after.milk_ml, before.milk_ml);
  EXPECT_EQ(after.grain_g, before.grain_g);
  EXPECT_EQ(after.lid, before.lid);
  EXPECT_EQ(after.place, before.place);
  EXPECT_EQ(after.milk_c, before.milk_c);
  EXPECT_EQ(after.ready_by, before.ready_by);
}

TEST(FactJson, DoublesOfRandomBitsReadBackTheSame) {
  std::mt19937_64 bits(20270301);
  for (int i = 0; i < 2'000; ++i) {
    const std::uint64_t pattern = bits();
    double number = 0.0;
    static_assert(sizeof number == sizeof pattern);
    std::memcpy(&number, &pattern, sizeof number);
    if (!std::isfinite(number)) continue;
    const json written = json_of(PhMeasured{"blue", number});
    const auto read = report_from(json::parse(written.dump()), std::nullopt);
    ASSERT_TRUE(read.ok()) << read.why();
    EXPECT_EQ(std::get<PhMeasured>(read.value().fact).ph, number);
  }
}

TEST(FactJson, AWrongTypeOrAMissingKeyDoesNotThrow) {
  const json wrongs[] = {nullptr, true, -1, 1e300, "", "x", json::array(), json::object()};
  for (const Fact& kept : facts_with_everything()) {
    const json whole = json_of(kept);
    for (const auto& [key, value] : whole.items()) {
      for (const json& wrong : wrongs) {
        json changed = whole;
        changed[key] = wrong;
        EXPECT_NO_THROW((void)report_from(changed, std::nullopt)) << changed;
      }
      json without = whole;
      without.erase(key);
      EXPECT_NO_THROW((void)report_from(without, std::nullopt)) << without;
    }
  }
}

}  // namespace
}  // namespace wheymark
