// What is an id, a topic, a broker's URL?
#include "plugin/configuration/text_forms.hpp"

#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

void all_fit(Form form, const std::vector<std::string>& texts) {
  for (const auto& text : texts) EXPECT_EQ(form(text), std::nullopt) << text;
}

void none_fits(Form form, const std::vector<std::string>& texts) {
  for (const auto& text : texts) EXPECT_TRUE(form(text).has_value()) << text;
}

const std::string nul(1, '\0');

TEST(TextForms, AnIdIsOneLevelOfAHomieTopicForOldClientsToo) {
  all_fit(id_form, {"a", "7", "swing-1", "a--b", std::string(limits::id_chars_max, 'x')});
  none_fits(id_form, {"", "-", "-a", "a-", "A", "a_b", "a b", "a/b", "a+", "$a", "\xc3\xa4",
                      "a" + nul, std::string(limits::id_chars_max + 1, 'x')});
}

TEST(TextForms, ATopicHasNoWildcards) {
  all_fit(topic_form, {"a", "house/kitchen/climate", "/leading", "trailing/", "with space",
                       "homie/5/sensor/air/temperature", "a/$b",
                       "K\xc3\xbc"
                       "che",
                       std::string(limits::topic_bytes_max, 'x')});
  none_fits(topic_form, {"", "#", "a/#", "+/a", "a+b", "a#", "$SYS/broker", "$share/g/a", "a" + nul,
                         "a\nb", std::string(limits::topic_bytes_max + 1, 'x')});
}

TEST(TextForms, AnHourIsTwoDigitsAColonAndTwoDigits) {
  all_fit(hour_form, {"00:00", "07:00", "19:59", "23:59"});
  none_fits(hour_form, {"", "7:00", "24:00", "12:60", "12-30", "12:3", "12:300", "ab:cd", "1a:00"});
}

TEST(TextForms, APrefixHasNoEmptyLevels) {
  all_fit(topic_prefix_form, {"wheymark", "home/kefir"});
  none_fits(topic_prefix_form, {"", "/a", "a/", "a//b", "a/+", "$a", std::string(300, 'x')});
}

TEST(TextForms, AJsonPointerIsThatOfRfc6901) {
  // The pointers of RFC 6901, section 5, and some that are none.
  all_fit(json_pointer_form, {"", "/foo", "/foo/0", "/", "/a~1b", "/c%d", "/e^f", "/g|h", "/i\\j",
                              "/k\"l", "/ ", "/m~0n"});
  none_fits(json_pointer_form, {"foo", "temperature", "#/foo", "/a~", "/a~2", "/~", "$.foo",
                                "/" + std::string(1'000, 'x')});
}

TEST(TextForms, ABrokersUrlHasASchemeOfOursAndAHost) {
  all_fit(broker_url_form, {"mqtt://127.0.0.1:1883", "mqtts://broker.example",
                            "ws://hub.local:9001/mqtt", "wss://hub.local/a/b", "mqtt://[::1]:1883",
                            "mqtt://[fe80::1]", "mqtt://hub/", "mqtt://hub:65535"});
  none_fits(broker_url_form, {"",
                              "127.0.0.1:1883",
                              "tcp://hub:1883",
                              "http://hub",
                              "mqtt:/hub",
                              "mqtt://",
                              "MQTT://hub",
                              "mqtt://:1883",
                              "mqtt://hub:0",
                              "mqtt://hub:65536",
                              "mqtt://hub:-1",
                              "mqtt://hub:",
                              "mqtt://hub:18x3",
                              "mqtt://hub/topic",
                              "mqtt://hub?x=1",
                              "mqtt://a b",
                              "mqtt://hub:1:2",
                              "mqtt://::1",
                              "mqtt://[::1",
                              "mqtt://[]:1883",
                              "mqtt://me:pw@hub",
                              "mqtt://hub" + nul,
                              "ws://hub/a b",
                              "mqtt://" + std::string(500, 'h')});
}

TEST(TextForms, AListeningAddressHasAPort) {
  all_fit(listen_form, {"127.0.0.1:8078", "[::1]:8078", "0.0.0.0:1", "localhost:65535"});
  none_fits(listen_form, {"", "8078", ":8078", "127.0.0.1", "127.0.0.1:", "127.0.0.1:0",
                          "127.0.0.1:65536", "::1:8078", "http://127.0.0.1:8078", "a b:80"});
}

TEST(TextForms, ANameIsShortAndShowable) {
  all_fit(name_form, {"Blue jar",
                      "K\xc3\xbc"
                      "che",
                      std::string(limits::name_bytes_max, 'x')});
  none_fits(name_form,
            {"", "a\nb", "a" + nul, "\x7f", std::string(limits::name_bytes_max + 1, 'x')});
}

TEST(TextForms, AFileAndARemarkHoldNoNul) {
  all_fit(file_form, {"wheymark.db", "/var/lib/a b/c", ":memory:"});
  none_fits(file_form, {"", "a" + nul, std::string(5'000, 'x')});
  all_fit(remark_form, {"x", "two\nlines", std::string(limits::text_bytes_max, 'x')});
  none_fits(remark_form, {"", "a" + nul, std::string(limits::text_bytes_max + 1, 'x')});
}

TEST(TextForms, ATimeZoneIsOneThatTheMachineKnows) {
  all_fit(time_zone_form,
          {"UTC", "Europe/Lisbon", "America/Argentina/Buenos_Aires", "Asia/Kolkata"});
  none_fits(time_zone_form, {"", "Europe/Lisbom", "europe/lisbon", "Mars/Olympus", "+01:00", "../x",
                             "/etc/localtime", "Europe", nul});
}

}  // namespace
}  // namespace wheymark
