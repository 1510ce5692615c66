// How does the library run on a broker, for months?
//
// One worker, the thread that calls run(), owns the instance and makes every call to it and to
// Paho; everything else arrives through the inbox, one arrival at a time. A broker that is gone is
// waited for, an instance that froze is made anew from its store, and another configuration makes
// another instance on the same store; only a signal ends it.
#pragma once

#include <chrono>
#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "plugin/daemon/broker.hpp"
#include "plugin/daemon/inbox.hpp"
#include "plugin/daemon/loaded_instance.hpp"
#include "plugin/daemon/log.hpp"
#include "plugin/daemon/signals.hpp"
#include "plugin/daemon/snapshot.hpp"
#include "plugin/daemon/supervisor.hpp"
#include "plugin/daemon/web.hpp"

namespace wheymark {

class Run : public HostOfInstance {
 public:
  // `read_settings` reads the configuration, now and whenever SIGHUP asks for it; it may throw
  // WorldIsWrong.
  // `clock_topic`: empty for the system's clock. Otherwise instants come from the messages on that
  // topic only (RFC 3339), and time stands still until the next one comes; the same payload on
  // <topic>/done tells that the broker has everything that it caused.
  Run(std::function<Settings()> read_settings, std::string clock_topic, const Log& log);

  // Returns after SIGTERM or SIGINT, within two seconds. Throws WorldIsWrong when nothing could be
  // started.
  void until_stopped();

  bool publish(Outgoing message) override;
  bool subscribe(std::string_view filter, std::uint8_t qos) override;
  void log(wheymark_level level, std::string_view line) override;

 private:
  using Steady = std::chrono::steady_clock;

  // How long the broker has for our last messages, and for the end of the connection.
  static constexpr std::chrono::milliseconds goodbye_wait_max{900};
  static constexpr std::chrono::milliseconds disconnect_wait_max{400};

  // False when it is time to stop.
  [[nodiscard]] bool handle_what_happened();
  [[nodiscard]] std::optional<Arrival> next_happening();
  // Returns false when it is time to stop.
  bool handle(Arrival& arrival);
  void on_lost(const std::string& why);
  void on_finished(const Finished& finished);
  void on_connected();
  void on_arrived(Arrived& message);

  // Tells the instance that it is connected, unless it knows, as soon as there is an instant.
  void greet();
  void finish_subscribing();
  void tick_if_due();
  void thaw_if_frozen();
  void open_instance();
  void read_configuration_again();
  // Goes on with other settings, or throws WorldIsWrong and goes on with the old ones.
  void change_to(Settings settings);
  void show_page_at(const std::string& listen);  // empty: nowhere
  void move_to_broker_at(const BrokerAddress& address);
  // Renders the documents of the page anew, if something has happened and it is time to.
  void show_what_changed();
  void move_clock_to(const std::string& payload);
  void pass_time_until(std::int64_t until_ms);
  void tell_clock_done();
  bool let_broker_catch_up();
  void take_up_what_was_held();
  void handle_what_still_comes();
  void goodbye();
  void wait_for_broker(std::chrono::milliseconds wait_max, const std::function<bool()>& is_over);

  [[nodiscard]] std::optional<std::int64_t> now_ms() const;
  [[nodiscard]] std::chrono::milliseconds sleep_length() const;
  [[nodiscard]] bool can_call() const { return instance_ != nullptr && now_ms().has_value(); }

  std::function<Settings()> read_settings_;
  Settings settings_;
  std::string clock_topic_;
  const Log& log_;
  Inbox inbox_;
  Signals signals_;  // before any other thread is started
  Supervisor supervisor_;
  std::unique_ptr<LoadedInstance> instance_;  // none while it waits to be made anew
  BrokerAddress address_;
  std::unique_ptr<Broker> broker_;

  std::deque<Arrival> postponed_;  // to be handled before what is in the inbox
  std::deque<Arrival> held_;       // messages that wait for an instance

  bool greeted_ = false;                                 // `connected` was called
  std::optional<Steady::time_point> subscribing_until_;  // `subscribed` is still to be called
  // The last message that may have waited at the broker, which sends at once what it has kept.
  Steady::time_point waited_came_at_{};

  std::optional<std::int64_t> hand_moved_ms_;
  std::deque<std::string> clock_done_;  // payloads whose consequences are not all sent yet

  Snapshot snapshot_;
  std::unique_ptr<Web> web_;  // none when no page is served
  bool something_happened_ = true;
  Steady::time_point no_snapshot_before_{};

  Steady::time_point no_tick_before_{};
  Steady::time_point opened_at_{};
  Steady::time_point reopen_at_{};
  std::chrono::seconds reopen_wait_{0};
};

}  // namespace wheymark
