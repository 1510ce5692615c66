// The simulated world: runs one story against the real library and reports what was broken, if
// anything.
//
// True time runs in milliseconds; the daemon's clock is true time plus an error. Rooms have an air
// of their own; thermometers send its temperature, or not; the network, the broker and the disk
// fail as the story says; people repeat a report every ten minutes until it is answered. After the
// last step nothing fails for some hours, and then everything is checked: see settlement.hpp.
#pragma once

#include <array>
#include <chrono>
#include <climits>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <numbers>
#include <optional>
#include <set>
#include <sqlite3.h>
#include <string>
#include <utility>
#include <vector>

#include "tests/faults/disk.hpp"
#include "tests/faults/listener.hpp"
#include "tests/faults/plugin.hpp"
#include "tests/faults/simulated_home.hpp"
#include "tests/faults/story.hpp"

namespace wheymark::faults {

class World {
 public:
  // `folder` is empty and stays the caller's.
  World(const Story& story, const std::string& folder)
      : story_(story), store_(folder + "/wheymark.db"), luck_(story.seed, 2) {
    // Two days before the clocks of Dublin go forward, on 2027-03-28 at 01:00 UTC.
    constexpr std::chrono::sys_days begins{std::chrono::year{2027} / 3 / 26};
    begins_ = std::chrono::sys_time<std::chrono::milliseconds>{begins}.time_since_epoch().count() +
              6 * hour;
    now_ = begins_;
  }

  // Throws Broken.
  Tally lives() {
    start_daemon();
    for (std::size_t place = 0; place < places.size(); ++place) read_every_some_minutes(place);
    for (const Step& step : story_.steps) {
      at(begins_ + step.at_min * minute, [this, &step] { take(step); });
    }
    run_until(begins_ + story_.hours * hour);
    everything_is_well();
    run_until(now_ + 4 * hour + 30 * second);  // between two readings
    settle_accounts();
    tally_.accepted = listener_.accepted.size();
    tally_.events = listener_.events.size();
    tally_.doubled_events = static_cast<std::uint64_t>(listener_.doubled_events);
    tally_.disk_changes = disk_.changes();
    tally_.bytes_written = disk_.bytes_written();
    return tally_;
  }

 private:
  friend struct Settlement;
  // See settlement.hpp.
  void settle_accounts();

  static constexpr std::int64_t second = 1000;
  static constexpr std::int64_t minute = 60 * second;
  static constexpr std::int64_t hour = 60 * minute;
  static constexpr std::array<const char*, 3> places{"kitchen", "larder", "fridge"};

  // --- time -------------------------------------------------------------------------------------

  [[nodiscard]] std::int64_t clock() const {
    return clock_unset_ ? now_ - booted_ + 1000 : now_ + clock_error_;
  }

  void at(std::int64_t when, std::function<void()> what) {
    agenda_.emplace(std::max(when, now_), std::move(what));
  }

  // The true instant of the next tick, at which the daemon's clock shows it as due.
  [[nodiscard]] std::int64_t tick_due() const {
    if (!plugin_) return INT64_MAX;
    const std::int64_t wanted = plugin_->next_tick();
    if (wanted == INT64_MAX) return INT64_MAX;
    return std::max(now_, now_ + (wanted - clock()));
  }

  void run_until(std::int64_t until) {
    int ticks_here = 0;
    while (true) {
      const std::int64_t tick = tick_due();
      const std::int64_t next = agenda_.empty() ? INT64_MAX : agenda_.begin()->first;
      const std::int64_t when = std::min({tick, next, until});
      ticks_here = when > now_ ? 0 : ticks_here;
      now_ = when;
      if (next <= when) {
        auto first = agenda_.extract(agenda_.begin());
        first.mapped()();
      } else if (tick <= when) {
        if (++ticks_here > 20) throw Broken("a timer that spins");
        with_plugin([&] { plugin_->tick(clock()); });
      } else {
        return;
      }
    }
  }

  // --- the daemon -------------------------------------------------------------------------------

  // Every call of the library goes through here: afterwards the process may turn out to have died
  // in the middle.
  template <class Call>
  void with_plugin(Call call) {
    if (!plugin_) return;
    try {
      call();
    } catch (const Frozen& frozen) {
      if (!disk_.dead()) throw Broken(fmt::format("{}: {}", frozen.what(), last_error_));
    }
    if (disk_.dead()) {
      process_is_gone();
    } else {
      broker_takes_over();
    }
  }

  void start_daemon() {
    HostCalls calls;
    calls.publish = [this](Message m) { return publish(std::move(m)); };
    calls.subscribe = [this](std::string filter) { filters_.insert(std::move(filter)); };
    calls.log = [this](wheymark_level level, std::string line) { log(level, std::move(line)); };
    plugin_ = std::make_unique<Plugin>(std::move(calls), household, store_);
    if (disk_.dead()) return process_is_gone();
    if (!plugin_->opened()) {
      plugin_.reset();
      if (!disk_.ails()) throw Broken("the store does not open again: " + last_error_);
      return at(now_ + minute, [this] { start_daemon(); });
    }
    connect();
  }

  void process_is_gone() {
    plugin_.reset();  // closes its files; it changes nothing any more
    if (power_is_cut_) disk_.loses_what_was_not_synced(luck_);
    disk_.comes_back();
    ++tally_.kills;
    connection_is_gone(true);
    booted_ = now_;
    at(now_ + std::exchange(down_, 0) + second, [this] { start_daemon(); });
  }

  void log(wheymark_level level, std::string line) {
    if (level != WHEYMARK_ERROR || disk_.dead()) return;
    last_error_ = line;
    if (!disk_.ails()) throw_later_ = "an error that nobody announced: " + line;
  }

  // --- the broker -------------------------------------------------------------------------------

  bool publish(Message message) {
    if (disk_.dead()) return false;  // it never came so far
    if (!connected_ || broker_refuses_) return false;
    on_the_way_.push_back(std::move(message));
    return true;
  }

  // What was published in the last call reaches the broker, at once or late; then the daemon hears
  // that the broker has it, if it still lives.
  void broker_takes_over() {
    if (throw_later_) throw Broken(*throw_later_);
    std::vector<Message> messages = std::exchange(on_the_way_, {});
    if (messages.empty()) return;
    const int connection = connection_;
    const std::int64_t delay = broker_slow_ ? luck_.whole(1, 40) * second : 0;
    last_taken_ = std::max(last_taken_, now_ + delay);
    at(last_taken_, [this, connection, messages = std::move(messages)] {
      if (connection != connection_ || !broker_up_) return;
      for (const Message& message : messages) listener_.hears(message);
      with_plugin([&] {
        for (const Message& message : messages) {
          if (message.delivery != 0) plugin_->delivered(message.delivery, clock());
        }
      });
    });
  }

  void connect() {
    if (!broker_up_ || !plugin_ || connected_) return;
    connected_ = true;
    ++connection_;
    ++tally_.connections;
    with_plugin([&] { plugin_->connected(clock()); });
    with_plugin([&] { plugin_->subscribed(clock()); });
  }

  void connection_is_gone(bool with_will) {
    connected_ = false;
    ++connection_;
    on_the_way_.clear();
    filters_.clear();
    if (with_will && broker_up_) listener_.retained["homie/5/wheymark/$state"] = "lost";
  }

  void broker_goes(bool forgets, std::int64_t for_ms) {
    broker_up_ = false;
    if (connected_) {
      connection_is_gone(false);
      with_plugin([&] { plugin_->disconnected(clock()); });
    }
    if (forgets) listener_.retained.clear();
    at(now_ + for_ms, [this] {
      broker_up_ = true;
      connect();
    });
  }

  [[nodiscard]] bool listens_to(const std::string& topic) const {
    return std::any_of(filters_.begin(), filters_.end(),
                       [&](const std::string& filter) { return takes(filter, topic); });
  }

  void daemon_hears(const std::string& topic, const std::string& payload) {
    if (!connected_ || !plugin_ || !listens_to(topic)) return;
    with_plugin([&] { plugin_->hears(topic, payload, false, clock()); });
  }

  // Somebody's message goes through the network to the broker and on to the daemon.
  void send(const std::string& topic, const std::string& payload, bool may_be_lost) {
    if (may_be_lost && luck_.happens(lost_)) return;
    const int copies = luck_.happens(doubled_) ? 2 : 1;
    for (int i = 0; i < copies; ++i) {
      const std::int64_t delay = luck_.happens(late_) ? luck_.whole(1, 1200) * second : 50;
      at(now_ + delay, [this, topic, payload] { daemon_hears(topic, payload); });
    }
  }

  // --- thermometers -----------------------------------------------------------------------------

  [[nodiscard]] double air_c(std::size_t place) const {
    const double days = static_cast<double>(now_ - begins_) / (24.0 * hour);
    const double daily = std::sin(2.0 * std::numbers::pi * days);
    constexpr std::array<double, 3> mean{21.0, 18.0, 4.5};
    constexpr std::array<double, 3> swing{2.0, 3.0, 0.6};
    return mean[place] + swing[place] * daily;
  }

  void read_every_some_minutes(std::size_t place) {
    constexpr std::array<int, 3> every_min{5, 7, 11};
    read(place);
    at(now_ + every_min[place] * minute, [this, place] { read_every_some_minutes(place); });
  }

  void read(std::size_t place) {
    const auto ailing = ailments_[place];
    const std::size_t seen = ailing == Ailment::swapped ? (place + 1) % places.size() : place;
    double says_c = std::round(10.0 * (air_c(seen) + 0.05 * luck_.bell())) / 10.0;
    if (ailing == Ailment::silent) return;
    if (ailing == Ailment::stuck) says_c = stuck_at_[place];
    if (ailing == Ailment::jumping && luck_.happens(0.3)) says_c += luck_.between(-25.0, 25.0);
    if (ailing == Ailment::fahrenheit) says_c = 32.0 + 1.8 * says_c;
    if (ailing == Ailment::kelvin) says_c += 273.15;
    if (!ailing) stuck_at_[place] = said_c_[place] = says_c;
    std::string number = fmt::format("{:.1f}", says_c);
    if (ailing == Ailment::nonsense) {
      constexpr std::array nonsense{"nan", "-inf", "1e999", "unavailable", "", "{}", "21,4"};
      number = luck_.one_of(nonsense);
    }
    ++tally_.readings;
    // The larder's follows true time, whatever the daemon's clock shows.
    send(fmt::format("house/{}", places[place]),
         place == 1 ? fmt::format(R"({{"air":{},"at":{}}})", number, now_) : number, true);
  }

  // --- people -----------------------------------------------------------------------------------

  void say(int number, const Says& says) {
    nlohmann::json fact = nlohmann::json::parse("{" + says.fields + "}");
    if (!fact.contains("ref")) fact["ref"] = fmt::format("say-{}", number);
    const std::string ref = says.told_at_min == -2 ? fmt::format("say-{}", number) : "";
    if (says.told_at_min >= 0) fact["at"] = begins_ + says.told_at_min * minute;
    if (!fact.contains("at")) fact.erase("at");
    std::string topic = "wheymark/say";
    if (number % 3 == 1 && fact.contains("jar")) {
      topic = fmt::format("homie/5/jar-{}/care/say/set", fact["jar"].get<std::string>());
      // A jar that is not in the setup has no such topic, so its facts go to the common one.
      if (fact["jar"] == "green") topic = "wheymark/say";
    }
    // A retraction names another's ref and so has no ref of its own to be answered by.
    const bool is_retraction = fact["fact"] == "retract";
    ++tally_.said;
    say_until_answered(topic, fact.dump(), is_retraction ? "" : fact["ref"].get<std::string>(), 0);
  }

  void say_until_answered(const std::string& topic, const std::string& payload,
                          const std::string& ref, int times) {
    if (is_answered(ref) || (ref.empty() && times > 0)) return;
    said_.insert_or_assign(ref, std::pair(topic, payload));
    send(topic, payload, false);
    at(now_ + 10 * minute, [=, this] { say_until_answered(topic, payload, ref, times + 1); });
  }

  // An answer that asks to try again does not count; one that asks whether somebody is sure does.
  [[nodiscard]] bool is_answered(const std::string& ref) const {
    const auto found = listener_.answers.find(ref);
    if (found == listener_.answers.end()) return false;
    const std::string why = found->second.at("why").get<std::string>();
    return found->second.at("accepted").get<bool>() ||
           why.find("say it again") == std::string::npos ||
           why.find("\"sure\": true") != std::string::npos;
  }

  // --- what the story wants ---------------------------------------------------------------------

  void take(const Step& step) {
    luck_ = Dice(story_.seed, 1000 + static_cast<std::uint64_t>(step.number));
    std::visit([&](const auto& what) { happens(step, what); }, step.what);
  }

  // `undo` runs after that many minutes, or everything_is_well ends the fault before.
  void ends_after(int for_min, std::function<void()> undo) {
    at(now_ + for_min * minute, std::move(undo));
  }

  void happens(const Step&, const WriteFails& fails) { disk_.fails_at_change(fails.at_change); }

  void happens(const Step& step, const Says& says) { say(step.number, says); }

  void happens(const Step&, const ThermometerAils& ails) {
    const auto place = static_cast<std::size_t>(ails.place);
    ailments_[place] = ails.ailment;
    ends_after(ails.for_min, [this, place] { ailments_[place].reset(); });
  }

  void happens(const Step&, const NetworkIsBad& bad) {
    lost_ = 0.01 * bad.lost;
    doubled_ = 0.01 * bad.doubled;
    late_ = 0.01 * bad.late;
    ends_after(bad.for_min, [this] { lost_ = doubled_ = late_ = 0.0; });
  }

  void happens(const Step&, const BrokerAils& ails) {
    switch (ails.fault) {
      case BrokerFault::away:
        return broker_goes(false, ails.for_min * minute);
      case BrokerFault::forgets:
        return broker_goes(true, ails.for_min * second);
      case BrokerFault::refusing:
        broker_refuses_ = true;
        return ends_after(ails.for_min, [this] { broker_refuses_ = false; });
      case BrokerFault::slow:
        broker_slow_ = true;
        return ends_after(ails.for_min, [this] { broker_slow_ = false; });
      case BrokerFault::old_will:
        listener_.retained["homie/5/wheymark/$state"] = "lost";
        return daemon_hears("homie/5/wheymark/$state", "lost");
    }
  }

  void happens(const Step&, const DiskAils& ails) {
    if (ails.fault == DiskFault::full) disk_.is_full(true);
    if (ails.fault == DiskFault::read_only) disk_.is_read_only(true);
    ends_after(ails.for_min, [this] {
      disk_.is_full(false);
      disk_.is_read_only(false);
    });
  }

  void happens(const Step&, const Dies& dies) {
    if (!plugin_) return;
    down_ = dies.down_min * minute;
    power_is_cut_ = dies.power_cut;
    disk_.dies_at_change(dies.at_change);
  }

  void happens(const Step&, const Restarts& restarts) {
    if (!plugin_) return;
    with_plugin([&] { plugin_->stop(clock()); });
    if (!plugin_) return;
    plugin_.reset();
    if (disk_.dead()) return process_is_gone();
    connection_is_gone(false);
    at(now_ + restarts.down_min * minute, [this] { start_daemon(); });
  }

  void happens(const Step&, const ClockAils& ails) {
    clock_unset_ = ails.fault == ClockFault::unset;
    clock_error_ = ails.by_s * second;
    ends_after(ails.for_min, [this] {
      clock_unset_ = false;
      clock_error_ = 0;
    });
  }

  // --- the end ----------------------------------------------------------------------------------

  void everything_is_well() {
    ailments_ = {};
    lost_ = doubled_ = late_ = 0.0;
    broker_refuses_ = broker_slow_ = false;
    disk_.is_full(false);
    disk_.is_read_only(false);
    clock_unset_ = false;
    clock_error_ = 0;
    if (plugin_ && !broker_up_) broker_up_ = true, connect();
  }

  const Story& story_;
  std::string store_;
  Dice luck_;
  Disk disk_;
  Listener listener_;
  std::unique_ptr<Plugin> plugin_;
  std::multimap<std::int64_t, std::function<void()>> agenda_;
  std::int64_t begins_ = 0;
  std::int64_t now_ = 0;

  std::int64_t clock_error_ = 0;
  std::int64_t booted_ = 0;
  bool clock_unset_ = false;

  bool broker_up_ = true;
  bool broker_refuses_ = false;
  bool broker_slow_ = false;
  bool connected_ = false;
  int connection_ = 0;
  std::set<std::string> filters_;
  std::vector<Message> on_the_way_;
  std::int64_t last_taken_ = 0;

  std::int64_t down_ = 0;
  bool power_is_cut_ = false;

  double lost_ = 0.0, doubled_ = 0.0, late_ = 0.0;
  std::array<std::optional<Ailment>, 3> ailments_;
  std::array<double, 3> stuck_at_{20.0, 20.0, 4.0};
  std::array<double, 3> said_c_{};

  std::map<std::string, std::pair<std::string, std::string>> said_;  // topic and payload, by ref
  std::string last_error_;
  std::optional<std::string> throw_later_;
  Tally tally_;
};

}  // namespace wheymark::faults

#include "tests/faults/settlement.hpp"
