// A month in a generated household, lived against the real library through its C interface: rooms
// with their weather, thermometers with their faults, people with theirs. A reader looks at every
// outlet after each saying, at each event and every few hours.
#pragma once

#include <cmath>
#include <deque>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <memory>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "tests/faults/listener.hpp"
#include "tests/faults/plugin.hpp"
#include "tests/truth/kitchen.hpp"
#include "tests/truth/memory.hpp"
#include "tests/truth/outlets.hpp"
#include "tests/truth/person.hpp"

namespace wheymark::truth {

// What was said and answered, for a failure's story.
struct Said {
  Ms at;
  nlohmann::json fact;
  bool accepted;
  std::string why;
};

// One look at everything.
struct Scene {
  const Kitchen& kitchen;
  const Memory& memory;
  const Outlets& outlets;
  const std::vector<Event>& news;     // heard since the last look, all in one instant
  const std::vector<Event>& history;  // all that was heard, the news at its end
  const std::vector<Said>& said;      // all that was said
  const std::map<std::string, std::vector<std::pair<Ms, double>>>& air;  // true, by place
};

class Month {
 public:
  explicit Month(std::uint64_t seed)
      : kitchen_(kitchen_of(seed)),
        memory_(kitchen_),
        person_(kitchen_, memory_,
                [this](const std::string& jar, const std::string& below) {
                  const auto found = listener_.retained.find("homie/5/jar-" + jar + "/" + below);
                  return found == listener_.retained.end() ? std::string() : found->second;
                }),
        luck_(seed, 2) {}

  // Looks are handed to `look`; one that answers true wants a second look some minutes later.
  void lives(const std::function<bool(const Scene&, bool again)>& look, int days = 30) {
    look_ = look;
    opens();
    weather_ = weather();
    for (int hours = 0; hours < 24 * days; ++hours) {
      hour_goes_by(hours);
    }
  }

  [[nodiscard]] const Kitchen& kitchen() const { return kitchen_; }
  [[nodiscard]] const std::vector<Said>& said() const { return said_; }
  [[nodiscard]] const std::vector<Event>& history() const { return history_; }
  [[nodiscard]] std::size_t looks() const { return looks_; }

 private:
  // A slow host, to save time: nothing counts as told late before ten minutes.
  static constexpr Ms ticks_apart = 9 * minute;
  static constexpr Ms begins = 1'822'867'200'000;  // 2027-10-07T00:00:00Z

  void opens() {
    faults::HostCalls calls;
    calls.publish = [this](faults::Message m) {
      waiting_.push_back(std::move(m));
      return true;
    };
    calls.subscribe = [](const std::string&) {};
    calls.log = [this](wheymark_level level, const std::string& line) {
      if (level == WHEYMARK_ERROR) errors_ += line + "\n";
    };
    plugin_ = std::make_unique<faults::Plugin>(calls, kitchen_.configuration, ":memory:");
    if (!plugin_->opened()) throw faults::Broken("it does not open: " + errors_);
    plugin_->connected(now_);
    plugin_->subscribed(now_);
    takes_over();
  }

  // --- what the library says
  // ----------------------------------------------------------------------

  void takes_over() {
    if (!errors_.empty()) throw faults::Broken("an error: " + errors_);
    for (const faults::Message& message : std::exchange(waiting_, {})) {
      if (message.topic.starts_with("wheymark/events/")) {
        history_.push_back(event_from(message.payload, now_));
        news_.push_back(history_.back());
      }
      if (message.topic == "wheymark/answer") {
        last_answer_ = nlohmann::json::parse(message.payload);
      }
      listener_.hears(message);
      if (message.delivery != 0) plugin_->delivered(message.delivery, now_);
    }
  }

  void runs_until(Ms until) {
    for (;;) {
      const Ms due = std::max({now_, plugin_->next_tick(), ticked_ + ticks_apart});
      if (due > until) break;
      now_ = ticked_ = due;
      plugin_->tick(now_);
      takes_over();
      if (!news_.empty()) looks(false);
    }
    now_ = until;
  }

  // --- the air
  // ------------------------------------------------------------------------------------

  struct Spell {
    std::string place;
    Ms from, until;
    double by_k;
  };
  std::vector<Spell> weather() {
    test::Dice dice(kitchen_.seed, 3);
    std::vector<Spell> spells;
    const auto some = dice.whole(0, 5);
    for (std::int64_t i = 0; i < some; ++i) {
      const Ms from = begins + static_cast<Ms>(dice.between(0.0, 29.0) * day);
      const std::string place = dice.one_of(kitchen_.rooms).id;
      const double by_k = place == "fridge" ? dice.between(2.0, 12.0) : dice.between(-8.0, 11.0);
      spells.push_back({place, from, from + static_cast<Ms>(dice.between(2, 80) * hour), by_k});
    }
    mean_c_ = {{"kitchen", dice.between(18.0, 25.0)},
               {"larder", dice.between(13.0, 20.0)},
               {"fridge", dice.between(2.5, 7.0)}};
    const auto faults = dice.whole(0, 4);
    for (std::int64_t i = 0; i < faults; ++i) {
      const Ms from = begins + static_cast<Ms>(dice.between(0.0, 29.0) * day);
      ailing_.push_back({dice.one_of(kitchen_.rooms).id, from,
                         from + static_cast<Ms>(dice.between(1, 60) * hour),
                         static_cast<double>(dice.whole(0, 2))});
    }
    return spells;
  }

  [[nodiscard]] double air_c(const std::string& place) const {
    double air_c = mean_c_.at(place);
    const double days = static_cast<double>(now_ - begins) / static_cast<double>(day);
    air_c += (place == "fridge" ? 0.4 : 1.5) * std::sin(2.0 * std::numbers::pi * days);
    for (const Spell& spell : weather_) {
      if (spell.place == place && now_ >= spell.from && now_ < spell.until) air_c += spell.by_k;
    }
    return air_c;
  }

  void reads(const Room& room) {
    const double true_c = air_c(room.id);
    air_[room.id].emplace_back(now_, true_c);
    if (!room.is_measured) return;
    double shown_c = std::round(10.0 * (true_c + 0.05 * luck_.bell())) / 10.0;
    for (const Spell& ailing : ailing_) {
      if (ailing.place != room.id || now_ < ailing.from || now_ >= ailing.until) continue;
      if (ailing.by_k == 0.0) return;  // silent
      shown_c = ailing.by_k == 1.0 ? 20.0 : 32.0 + 1.8 * shown_c;
    }
    plugin_->hears("house/" + room.id, fmt::format("{:.1f}", shown_c), false, now_);
    takes_over();
    if (!news_.empty()) looks(false);
  }

  // --- an hour
  // ------------------------------------------------------------------------------------

  void hour_goes_by(int number) {
    const Ms from = begins + number * hour + 20'000;
    for (const Ms at : {from, from + 30 * minute}) {
      runs_until(at);
      for (const Room& room : kitchen_.rooms) reads(room);
    }
    runs_until(from + 43 * minute);
    tells_what_was_put_off();
    for (const Person::Saying& saying : person_.in_the_hour(now_)) {
      nlohmann::json fact = saying.fact;
      if (fact.at("fact") != "retract") fact["ref"] = fmt::format("r{}", next_ref_++);
      if (saying.late_by == 0) {
        says(fact);
      } else {
        fact["at"] = test::rfc3339(std::chrono::sys_seconds{std::chrono::seconds{now_ / 1000}});
        put_off_.emplace(now_ + saying.late_by, fact);
      }
      runs_until(now_ + minute);
    }
    if (number % 6 == 5) looks(false);
  }

  void tells_what_was_put_off() {
    while (!put_off_.empty() && put_off_.begin()->first <= now_) {
      const nlohmann::json fact = put_off_.begin()->second;
      put_off_.erase(put_off_.begin());
      says(fact);
    }
  }

  void says(const nlohmann::json& fact) {
    plugin_->tick(now_);  // what is due is told before
    takes_over();
    if (!news_.empty()) looks(false);
    last_answer_ = nullptr;
    plugin_->hears("wheymark/say", fact.dump(), false, now_);
    takes_over();
    if (last_answer_.is_null()) throw faults::Broken("no answer: " + fact.dump());
    const bool accepted = last_answer_.at("accepted");
    const Ms at = fact.contains("at") ? ms_of(fact.at("at")) : now_;
    if (accepted) memory_.accepts(fact, at);
    said_.push_back({now_, fact, accepted, last_answer_.value("why", "")});
    looks(false);
  }

  // --- looking
  // ------------------------------------------------------------------------------------

  void looks(bool again) {
    Outlets outlets = gathered();
    const std::vector<Event> news = std::exchange(news_, {});
    const bool doubts = look_({kitchen_, memory_, outlets, news, history_, said_, air_}, again);
    if (!doubts || again) return;
    // What time alone moves is shown anew every five minutes.
    const Ms until = now_ + 6 * minute;
    now_ = ticked_ = until;
    plugin_->tick(now_);
    takes_over();
    looks(true);
  }

  Outlets gathered() {
    ++looks_;
    Outlets seen;
    seen.at = now_;
    seen.retained = listener_.retained;
    seen.page = page_from(plugin_->rendered("/", now_));
    seen.in_full = looks_ % 8 == 0;
    for (const Vessel* vessel : kitchen_.vessels()) {
      const auto published = seen.retained.find("wheymark/tile/jar-" + vessel->id);
      const bool renders = seen.in_full || published == seen.retained.end();
      const std::string path = "/tile/jar-" + vessel->id + ".svg";
      seen.tiles[vessel->id] =
          tile_from(renders ? plugin_->rendered(path, now_) : published->second);
    }
    if (!seen.in_full) return seen;
    seen.exported = nlohmann::json::parse(plugin_->exported("all.json", now_));
    seen.inventory = nlohmann::json::parse(plugin_->exported("inventory.json", now_));
    seen.inventory_text = plugin_->exported("inventory.txt", now_);
    for (const Vessel* vessel : kitchen_.vessels()) {
      const auto ask = [&](const char* what, std::map<std::string, nlohmann::json>& into) {
        const auto answer =
            plugin_->asked(fmt::format(R"({{"fact":"{}","jar":"{}"}})", what, vessel->id), now_);
        errors_.clear();  // a question that cannot be answered is told as one
        if (answer) into[vessel->id] = nlohmann::json::parse(*answer);
      };
      ask("explain", seen.explained);
      ask("plan", seen.planned);
    }
    return seen;
  }

  Kitchen kitchen_;
  Memory memory_;
  faults::Listener listener_;
  Person person_;
  test::Dice luck_;
  std::unique_ptr<faults::Plugin> plugin_;
  Ms now_ = begins, ticked_ = 0;
  std::string errors_;
  std::vector<faults::Message> waiting_;
  std::vector<Event> news_, history_;
  std::vector<Said> said_;
  std::vector<Spell> weather_, ailing_;
  std::map<std::string, double> mean_c_;
  std::map<std::string, std::vector<std::pair<Ms, double>>> air_;
  std::multimap<Ms, nlohmann::json> put_off_;
  nlohmann::json last_answer_;
  int next_ref_ = 1;
  std::size_t looks_ = 0;
  std::function<bool(const Scene&, bool)> look_;
};

}  // namespace wheymark::truth
