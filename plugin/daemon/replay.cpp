#include "plugin/daemon/replay.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "plugin/daemon/rfc3339.hpp"
#include "plugin/daemon/timers.hpp"
#include "plugin/daemon/world_is_wrong.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

constexpr std::size_t line_bytes_max = 1024UL * 1024;  // a tile is < 20 kB

struct Line {
  std::int64_t at_ms = 0;
  std::optional<std::string> topic;  // none: time passes, and that is all
  std::string payload;
  bool retain = false;
  std::uint8_t qos = 0;
};

[[noreturn]] void refuse(std::size_t number, const std::string& why) {
  throw WorldIsWrong(fmt::format("line {}: {}", number, why));
}

const std::string& text_in(const json& value, const char* key, std::size_t number) {
  if (!value.is_string()) {
    refuse(number, fmt::format("\"{}\" must be a string, found {}", key, value.type_name()));
  }
  return value.get_ref<const std::string&>();
}

std::int64_t instant_in(const json& value, std::size_t number) {
  const std::string& text = text_in(value, "at", number);
  const std::optional<std::int64_t> at_ms = instant_ms_from_rfc3339(text);
  if (!at_ms) {
    refuse(number, fmt::format("\"at\" must be an instant such as 2027-03-01T08:00:00Z, found "
                               "\"{}\"",
                               text.substr(0, 60)));
  }
  return *at_ms;
}

std::uint8_t qos_in(const json& value, std::size_t number) {
  if (!value.is_number_unsigned() || value.get<std::uint64_t>() > 2) {
    refuse(number, "\"qos\" must be 0, 1 or 2");
  }
  return value.get<std::uint8_t>();
}

bool retain_in(const json& value, std::size_t number) {
  if (!value.is_boolean()) {
    refuse(number, fmt::format("\"retain\" must be true or false, found {}", value.type_name()));
  }
  return value.get<bool>();
}

// A parsed document is only looked into here, never copied or printed whole: that would recurse
// as deep as a hostile line nests.
json object_of(const std::string& text, std::size_t number) {
  if (text.size() > line_bytes_max) {
    refuse(number,
           fmt::format("{} bytes are too many, {} are allowed", text.size(), line_bytes_max));
  }
  try {
    json object = json::parse(text);
    if (!object.is_object()) {
      refuse(number, fmt::format("must be a JSON object, found {}", object.type_name()));
    }
    return object;
  } catch (const json::exception& error) {
    refuse(number, fmt::format("is not JSON: {}", error.what()));
  }
}

Line line_of(const std::string& text, std::size_t number) {
  const json object = object_of(text, number);
  Line line;
  bool has_at = false;
  bool has_payload = false;
  for (const auto& [key, value] : object.items()) {
    if (key == "at") {
      line.at_ms = instant_in(value, number);
      has_at = true;
    } else if (key == "topic") {
      line.topic = text_in(value, "topic", number);
    } else if (key == "payload") {
      line.payload = text_in(value, "payload", number);
      has_payload = true;
    } else if (key == "retain") {
      line.retain = retain_in(value, number);
    } else if (key == "qos") {
      line.qos = qos_in(value, number);
    } else {
      refuse(number, fmt::format("\"{}\" is not known here; at, topic, payload, retain and qos are",
                                 key.substr(0, 60)));
    }
  }
  if (!has_at) refuse(number, "\"at\" is missing");
  if (has_payload && !line.topic) refuse(number, "has a \"payload\", but no \"topic\"");
  if (line.topic && line.topic->empty()) refuse(number, "\"topic\" is empty");
  if (line.topic && !has_payload) refuse(number, "has a \"topic\", but no \"payload\"");
  return line;
}

// Invalid UTF-8 is replaced: JSON cannot hold it.
std::string json_text(const std::string& text) {
  return json(text).dump(-1, ' ', false, json::error_handler_t::replace);
}

class Player : public HostOfInstance {
 public:
  Player(const Settings& settings, std::FILE* out, const Log& log)
      : out_(out), log_(log), instance_(*this, settings) {}
  // What came before a bad line is printed all the same.
  ~Player() override { std::fwrite(written_.data(), 1, written_.size(), out_); }
  Player(const Player&) = delete;
  Player& operator=(const Player&) = delete;

  void play(const Line& line) {
    if (!begun_) begin(line.at_ms);
    fire_timers(instance_, now_ms_, line.at_ms, [this] {
      acknowledge();
      return true;
    });
    if (line.topic) {
      instance_.message(*line.topic, line.payload, line.qos, line.retain, now_ms_);
    }
    acknowledge();
  }

  // Makes everything durable. Nothing to do if no instant was ever given.
  void end() {
    if (!begun_) return;
    instance_.stop(now_ms_);
    acknowledge();
    write_out();
    if (std::fflush(out_) != 0) throw WorldIsWrong("the output could not be written");
  }

  bool publish(Outgoing message) override {
    fmt::format_to(std::back_inserter(written_),
                   "{{\"at\":\"{}\",\"topic\":{},\"payload\":{},\"retain\":{},\"qos\":{}}}\n",
                   rfc3339_from_instant_ms(now_ms_), json_text(message.topic),
                   json_text(message.payload), message.retain, message.qos);
    if (message.delivery != 0) to_acknowledge_.push_back(message.delivery);
    if (written_.size() > 64UL * 1024) write_out();
    return true;
  }

  bool subscribe(std::string_view, std::uint8_t) override { return true; }

  void log(wheymark_level level, std::string_view line) override {
    log_.line(static_cast<LogLevel>(level), line);
  }

 private:
  void begin(std::int64_t at_ms) {
    begun_ = true;
    now_ms_ = at_ms;
    instance_.connected(now_ms_);
    acknowledge();
    instance_.subscribed(now_ms_);
    acknowledge();
  }

  // The instance may publish more once it hears that something was delivered.
  void acknowledge() {
    while (!to_acknowledge_.empty()) {
      for (const std::uint64_t delivery : std::exchange(to_acknowledge_, {})) {
        instance_.delivered(delivery, now_ms_);
      }
    }
    if (instance_.frozen()) {
      write_out();
      throw WorldIsWrong("the library found a mistake of its own at " +
                         rfc3339_from_instant_ms(now_ms_));
    }
  }

  void write_out() {
    const std::size_t count = std::fwrite(written_.data(), 1, written_.size(), out_);
    if (count != written_.size()) throw WorldIsWrong("the output could not be written");
    written_.clear();
  }

  std::FILE* out_;
  const Log& log_;
  bool begun_ = false;
  std::int64_t now_ms_ = 0;
  std::string written_;
  std::vector<std::uint64_t> to_acknowledge_;
  LoadedInstance instance_;  // last: it calls the members above
};

}  // namespace

void replay(const Settings& settings, std::istream& in, std::FILE* out, const Log& log) {
  Player player(settings, out, log);
  std::int64_t before_ms = INT64_MIN;
  std::string text;
  for (std::size_t number = 1; std::getline(in, text); ++number) {
    if (text.find_first_not_of(" \t\r") == std::string::npos) continue;
    const Line line = line_of(text, number);
    if (line.at_ms < before_ms) {
      refuse(number,
             fmt::format("{} is earlier than the line before, {}",
                         rfc3339_from_instant_ms(line.at_ms), rfc3339_from_instant_ms(before_ms)));
    }
    before_ms = line.at_ms;
    player.play(line);
  }
  player.end();
}

}  // namespace wheymark
