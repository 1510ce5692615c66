#include "plugin/daemon/configuration_manual.hpp"

#include <array>
#include <fmt/format.h>

#include "plugin/daemon/manual_page.hpp"

namespace wheymark {
namespace {

struct Key {
  std::string_view name;
  std::string_view value;  // what kind; the default in brackets
  std::string_view text;
};

struct Part {
  std::string_view heading;
  std::string_view text;
};

// A heading, then its keys.
struct Entry {
  Part part{};
  Key key{};
};

constexpr Entry part(std::string_view heading, std::string_view text) {
  return {{heading, text}, {}};
}
constexpr Entry key(std::string_view name, std::string_view value, std::string_view text) {
  return {{}, {name, value, text}};
}

constexpr std::array entries{
    part("home", "Required."),
    key("name", "text, required", "What the home is called."),
    key("time_zone", "IANA name [UTC]", "Such as Europe/Lisbon: for the hours in sentences."),
    key("waking", "object", "When somebody is awake to feed, look and strain."),
    key("presence", "object", "Notices wait while nobody is at home, but for safety."),

    part("home/waking", "Local time. A window across midnight (09:00 until 01:00) is one as well."),
    key("from", "HH:MM [07:00]", "When the first gets up."),
    key("until", "HH:MM [22:30]", "When the last goes to bed; at least an hour later."),

    part("home/presence", "Where it is said whether somebody is at home."),
    key("topic", "topic, required", "Retained or not."),
    key("pointer", "JSON Pointer", "Into JSON; without one the payload is the word."),
    key("home", "text [home]", "The word that means that somebody is; any other means nobody."),

    part("broker", "Required: how to reach the MQTT broker."),
    key("url", "URL, required", "mqtt://, mqtts://, ws:// or wss://, a host and a port."),
    key("protocol", "5 | 3.1.1 [5]", "The version of MQTT, as a text. 3.1.1 has no content types."),
    key("client_id", "text [wheymark]", "No other client of the broker may have it."),
    key("user", "text", "The name to log in with."),
    key("password_file", "file",
        "Holds the password. It never stands in the configuration itself."),
    key("ca_file", "file", "Whom to trust, PEM; without it, whom the system trusts."),
    key("certificate_file", "file", "The certificate to show to the broker, PEM."),
    key("key_file", "file", "Its key, PEM. Both or neither."),

    part("store",
         "A file [wheymark.db]: what is to be remembered. Relative names here are relative to "
         "the folder of the configuration."),

    part("wire", "The names on the broker. Two daemons on one broker need different ones."),
    key("homie_domain", "id [homie]", "The first level of all Homie topics."),
    key("prefix", "topic [wheymark]", "Before /say, /answer and /events."),
    key("root_device", "id [wheymark]", "The Homie device whose children the jars are."),
    key("log", "true | false [true]", "Whether warnings are told on Homie's $log topics as well."),

    part("tile", "A page to look at."),
    key("listen", "address:port [127.0.0.1:8078]",
        "Where it is served; this machine alone by default."),

    part("places", "Required: a list of where jars stand."),
    key("id", "id, required", "One level of a topic: small letters, digits and hyphens."),
    key("name", "text [the id]", "As in sentences."),
    key("kind", "room | fridge, required", "What kind of place."),
    key("thermometer", "object", "The one that is there. Without one, forecasts are wide."),
    key("thermometers", "list", "Instead of it, several: the mean of those that agree counts."),

    part("places/thermometer",
         "What its messages look like. A number may have its unit (21.4 C) or a comma."),
    key("topic", "topic, required", "Where it speaks."),
    key("pointer", "JSON Pointer", "To the number; without it, the message is the number."),
    key("unit", "C | F | K [C]",
        "What it measures in, unless its message says so itself: it is nearer to the device."),
    key("scale", "number [1]", "What its number is multiplied by: 0.1 for tenths."),
    key("match", "object",
        "On a topic of several devices: JSON Pointers and what stands there in its messages, such "
        "as {\"/id\": \"kitchen\"}. The others are passed over."),
    key("availability", "object", "A topic that says whether it is there."),
    key("instant_pointer", "JSON Pointer",
        "To the instant of the measurement: RFC 3339 or another form of ISO 8601, or Unix seconds "
        "or milliseconds. Without a zone, it is the home's; what cannot be read counts as of now, "
        "and both with doubt."),
    key("offset_k", "kelvin [0]", "Added to what it says."),
    key("silent_after_min", "minutes",
        "Without a message for so long it is told as silent; if left out, after clearly longer "
        "than it ever paused in the last days, at least 45 minutes."),

    part("places/thermometer/availability", "What its hub says of it."),
    key("topic", "topic, required", "Where it is said."),
    key("online", "text [online]", "What is said while it is there; anything else: it is away."),

    part("cultures", "Required: a list of the grains that live in the home."),
    key("id", "id, required", "As above."),
    key("name", "text [the id]", "As in sentences."),
    key("grain_g", "grams", "How much there is at the beginning."),
    key("usual", "list", "What its batches usually take; see below."),

    part("cultures/usual",
         "A list of what its batches usually take, as you know it from before: one is enough to "
         "begin with a forecast that is half as wide. It weighs less with every batch."),
    key("hours", "hours, required", "From pouring to the first whey pockets, as you would round."),
    key("air_c", "degrees Celsius", "The room's mean; if left out, as the place's own days are."),
    key("grain_g", "grams", "Of grains; if left out, as the jar's or the culture's."),
    key("milk_ml", "millilitres", "Of milk; if left out, as the jar's."),
    key("milk_c", "degrees Celsius [5]", "The milk when it was poured."),

    part("jars",
         "Required: a list of jars and bottles. What stands here need not be said at every start."),
    key("id", "id, required", "As above."),
    key("name", "text [the id]", "As in sentences."),
    key("capacity_ml", "millilitres, required", "Up to the rim."),
    key("place", "id of a place, required", "Where it usually stands."),
    key("culture", "id of a culture", "What usually works in it; a bottle has none."),
    key("milk", "word",
        "cow-whole, cow-2-percent, cow-1-percent, cow-skim, cow-powder, goat, sheep, buffalo."),
    key("treatment", "word [pasteurised]", "raw, pasteurised or ultra-pasteurised."),
    key("milk_ml", "millilitres", "How much milk."),
    key("grain_g", "grams", "How much of the grains."),
    key("lid", "loose | tight", "Tight lids build pressure."),

    part("notice", "How long before something happens it is told."),
    key("peak_near_h", "hours [2]", "Before the peak opens."),
    key("peak_closing_h", "hours [2]", "Before the batch is over-fermented."),
    key("best_by_near_d", "days [2]", "Before the best-by day of a bottle."),
    key("last_day_near_d", "days [2]", "Before its last day."),
    key("vent_after_h", "hours [24]", "A tight lid is to be opened once in so long."),

    part("announce",
         "A list of messages of your own, retained, that tell a hub about each device."),
    key("each", "jar | culture | place, required", "For each of these."),
    key("topic", "topic, required", "Where it is published."),
    key("payload", "JSON, required", "What is published."),
};

}  // namespace

std::string configuration_manual(std::string_view version) {
  std::string page = fmt::format(
      R"(.\" Made by `wheymarkd manual`.
.TH WHEYMARK.JSON 5 "" "wheymark {}" "File Formats"
.SH NAME
wheymark.json \- a household, for wheymarkd
.SH DESCRIPTION
One JSON object that says which thermometers, places, cultures of grains and jars a home has, and
how
.BR wheymarkd (1)
reaches the home's MQTT broker. Comments as in C++ are allowed. Whatever is not known, of another
type, out of range or refers to nothing is refused, all of it in one run:
.B wheymarkd check
tells each with its place, what was found and what is allowed, or what was understood. After a
change, send SIGHUP
.RB ( "systemctl reload wheymarkd" ).
)",
      version);
  for (const Entry& entry : entries) {
    if (!entry.part.heading.empty()) {
      page += fmt::format(".SS {}\n{}\n", roff_of(entry.part.heading), roff_of(entry.part.text));
    } else {
      page += fmt::format(".TP\n\\fB{}\\fR (\\fI{}\\fR)\n{}\n", roff_of(entry.key.name),
                          roff_of(entry.key.value), roff_of(entry.key.text));
    }
  }
  page += R"(.SH FILES
.TP
.I /etc/wheymark/household.json
What the packaged service reads.
.SH SEE ALSO
.BR wheymarkd (1)
)";
  return page;
}

}  // namespace wheymark
