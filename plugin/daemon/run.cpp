#include "plugin/daemon/run.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <malloc.h>
#include <signal.h>
#include <sstream>
#include <utility>

#include "plugin/daemon/rfc3339.hpp"
#include "plugin/daemon/timers.hpp"
#include "plugin/daemon/world_is_wrong.hpp"

namespace wheymark {
namespace {

using std::chrono::milliseconds;
using std::chrono::seconds;

constexpr seconds subscribe_wait_max{10};
constexpr milliseconds kept_comes_within{200};  // of one another
constexpr milliseconds sleep_max{5000};         // to check the broker, and to notice a moved clock
constexpr milliseconds tick_spacing_min{50};  // a library that never advances shall not burn a core
constexpr milliseconds snapshot_spacing_min{500};
constexpr int handled_at_once_max = 64;  // less than a millisecond of readings
constexpr seconds catch_up_wait_max{5};
constexpr seconds reopen_wait_first{1};
constexpr seconds reopen_wait_max{60};
constexpr seconds healthy_after{600};  // then the next freeze counts as the first

std::int64_t system_ms() {
  const auto since_1970 = std::chrono::system_clock::now().time_since_epoch();
  return std::chrono::duration_cast<milliseconds>(since_1970).count();
}

}  // namespace

Run::Run(std::function<Settings()> read_settings, std::string clock_topic, const Log& log)
    : read_settings_(std::move(read_settings)),
      settings_(read_settings_()),
      clock_topic_(std::move(clock_topic)),
      log_(log),
      signals_(inbox_) {
  signal(SIGPIPE, SIG_IGN);  // a broker that goes away while Paho writes must not end us
  open_instance();
  address_ = instance_->broker_address();
  broker_ = std::make_unique<Broker>(address_, settings_.directory, inbox_, log);
  show_page_at(address_.tile_listen);
}

void Run::until_stopped() {
  supervisor_.ready();
  for (;;) {
    supervisor_.sign_of_life(Steady::now());
    broker_->tend(Steady::now());
    if (!handle_what_happened()) break;
    thaw_if_frozen();
    finish_subscribing();
    tick_if_due();
    tell_clock_done();
    show_what_changed();
    if (const std::size_t count = inbox_.dropped(); count > 0) {
      log_.warning(fmt::format("too many messages at once: {} were dropped", count));
    }
  }
  goodbye();
}

// In a stream several at a time, because checking everything else costs as much as one of them.
bool Run::handle_what_happened() {
  std::optional<Arrival> arrival = next_happening();
  for (int handled = 1; arrival; ++handled) {
    if (!handle(*arrival)) return false;
    const bool more = clock_topic_.empty() && inbox_.has_at_hand() && postponed_.empty() &&
                      handled < handled_at_once_max && can_call() && !instance_->frozen();
    arrival = more ? inbox_.take(milliseconds(0)) : std::nullopt;
  }
  return true;
}

std::optional<Arrival> Run::next_happening() {
  if (postponed_.empty()) return inbox_.take(sleep_length());
  std::optional<Arrival> arrival(std::move(postponed_.front()));
  postponed_.pop_front();
  return arrival;
}

bool Run::handle(Arrival& arrival) {
  something_happened_ = true;
  if (std::holds_alternative<StopAsked>(arrival)) return false;
  if (std::holds_alternative<ReloadAsked>(arrival)) read_configuration_again();
  if (std::holds_alternative<Connected>(arrival)) {
    on_connected();
  } else if (const auto* failed = std::get_if<ConnectFailed>(&arrival)) {
    broker_->on_connect_failed(failed->why, Steady::now());
    supervisor_.status("waiting for the broker: " + failed->why);
  } else if (const auto* lost = std::get_if<ConnectionLost>(&arrival)) {
    on_lost(lost->why);
  } else if (const auto* finished = std::get_if<Finished>(&arrival)) {
    on_finished(*finished);
  } else if (auto* message = std::get_if<Arrived>(&arrival)) {
    on_arrived(*message);
  }
  return true;
}

void Run::on_lost(const std::string& why) {
  if (!broker_->on_lost(why, Steady::now())) return;
  supervisor_.status("waiting for the broker: the connection is lost");
  if (greeted_ && can_call()) instance_->disconnected(*now_ms());
  greeted_ = false;
  subscribing_until_.reset();
}

void Run::on_finished(const Finished& finished) {
  const std::optional<std::uint64_t> delivery = broker_->on_finished(finished);
  if (delivery && can_call()) instance_->delivered(*delivery, *now_ms());
}

void Run::on_connected() {
  broker_->on_connected();
  supervisor_.status("connected to the broker");
  greeted_ = false;
  subscribing_until_.reset();
  if (!clock_topic_.empty()) (void)broker_->subscribe(clock_topic_, 1);
  greet();
}

void Run::on_arrived(Arrived& message) {
  if (message.qos > 0) waited_came_at_ = Steady::now();
  if (!clock_topic_.empty() && message.topic == clock_topic_) {
    // What it brings about waits for acknowledgements, which come by the thread that waits for it.
    if (message.handling != nullptr) message.handling->is_done();
    move_clock_to(message.payload);
  } else if (!can_call()) {
    // A clock that is moved by hand comes as a message, after this one.
    if (message.handling != nullptr && instance_ != nullptr) message.handling->is_done();
    if (held_.size() < Inbox::messages_max) held_.push_back(std::move(message));
  } else {
    instance_->message(message.topic, message.payload, message.qos, message.retain, *now_ms());
    if (!subscribing_until_) broker_->unsubscribe_if_unasked(message.topic);
  }
  if (message.handling != nullptr) message.handling->is_done();
}

void Run::greet() {
  if (greeted_ || !broker_->connected() || !can_call()) return;
  greeted_ = true;
  subscribing_until_ = Steady::now() + subscribe_wait_max;
  instance_->connected(*now_ms());
}

void Run::finish_subscribing() {
  if (!subscribing_until_ || !can_call()) return;
  if (!broker_->all_subscribed()) {
    if (Steady::now() < *subscribing_until_) return;
    broker_->give_up_subscriptions();
  } else if (Steady::now() < std::min(waited_came_at_ + kept_comes_within, *subscribing_until_)) {
    return;
  }
  subscribing_until_.reset();
  instance_->subscribed(*now_ms());
  malloc_trim(0);  // what the greeting needed
}

// With a hand-moved clock, timers fire when it is moved.
void Run::tick_if_due() {
  if (!clock_topic_.empty() || !can_call()) return;
  const std::int64_t now = *now_ms();
  const Steady::time_point steady = Steady::now();
  if (instance_->next_tick_ms() > now || steady < no_tick_before_) return;
  no_tick_before_ = steady + tick_spacing_min;
  instance_->tick(now);
  something_happened_ = true;
}

void Run::show_what_changed() {
  const Steady::time_point began = Steady::now();
  if (!web_ || !something_happened_ || !can_call() || began < no_snapshot_before_) return;
  something_happened_ = false;
  const std::int64_t now = *now_ms();
  const auto paths = instance_->document("/paths", now);
  if (!paths) return;
  Snapshot::Documents documents;
  std::istringstream lines(paths->body);
  for (std::string path; std::getline(lines, path);) {
    if (auto document = instance_->document(path, now)) {
      documents.emplace(path, std::make_shared<const Document>(std::move(*document)));
    }
  }
  snapshot_.replace(std::move(documents));
  // However many jars there are, the snapshot costs a twentieth of a core at most.
  no_snapshot_before_ =
      began + std::max<Steady::duration>(snapshot_spacing_min, 20 * (Steady::now() - began));
}

// A frozen instance does nothing; the store has everything that it had accepted.
void Run::thaw_if_frozen() {
  const Steady::time_point now = Steady::now();
  if (instance_ != nullptr && instance_->frozen()) {
    if (now - opened_at_ > healthy_after) reopen_wait_ = seconds(0);
    reopen_wait_ = std::clamp(reopen_wait_ * 2, reopen_wait_first, reopen_wait_max);
    reopen_at_ = now + reopen_wait_;
    instance_.reset();
    greeted_ = false;
    subscribing_until_.reset();
    log_.error(fmt::format("the library found a mistake of its own and is started again in {} s",
                           reopen_wait_.count()));
  }
  if (instance_ != nullptr || now < reopen_at_) return;
  try {
    open_instance();
    log_.notice("the library is started again");
    greet();
  } catch (const WorldIsWrong& error) {
    reopen_wait_ = std::clamp(reopen_wait_ * 2, reopen_wait_first, reopen_wait_max);
    reopen_at_ = now + reopen_wait_;
    log_.error(fmt::format("the library cannot be started again: {}; next try in {} s",
                           error.what(), reopen_wait_.count()));
  }
}

void Run::open_instance() {
  instance_ = std::make_unique<LoadedInstance>(*this, settings_);
  malloc_trim(0);  // what reading the journal needed; the allocator would keep it for ever
  opened_at_ = Steady::now();
  take_up_what_was_held();
}

void Run::take_up_what_was_held() {
  std::move(held_.rbegin(), held_.rend(), std::front_inserter(postponed_));
  held_.clear();
}

void Run::move_clock_to(const std::string& payload) {
  const std::optional<std::int64_t> asked_ms = instant_ms_from_rfc3339(payload);
  if (!asked_ms) {
    log_.error(
        fmt::format("the clock topic {} says \"{}\", which is no instant such as "
                    "2027-03-01T08:00:00Z",
                    clock_topic_, payload.substr(0, 60)));
    return;
  }
  if (!hand_moved_ms_) {
    hand_moved_ms_ = asked_ms;
    greet();
    take_up_what_was_held();
  } else if (*asked_ms < *hand_moved_ms_) {
    log_.warning(fmt::format("the clock was to be moved back to {}; it stays at {}", payload,
                             rfc3339_from_instant_ms(*hand_moved_ms_)));
  } else {
    pass_time_until(*asked_ms);
  }
  clock_done_.push_back(payload);
}

void Run::pass_time_until(std::int64_t until_ms) {
  if (instance_ != nullptr) {
    try {
      fire_timers(*instance_, *hand_moved_ms_, until_ms, [this] { return let_broker_catch_up(); });
    } catch (const WorldIsWrong& error) {
      log_.error(error.what());
    }
  }
  hand_moved_ms_ = until_ms;
}

// Between two timers of one move the instance is told what the broker has acknowledged, as it would
// be without a hand-moved clock; weeks of messages would not fit into the backlog either. What else
// happens meanwhile happens after the move. Returns false when it is time to stop.
bool Run::let_broker_catch_up() {
  const Steady::time_point until = Steady::now() + catch_up_wait_max;
  supervisor_.sign_of_life(Steady::now());
  for (;;) {
    const bool waiting = broker_->connected() && !broker_->all_published();
    std::optional<Arrival> arrival = inbox_.take(milliseconds(waiting ? 20 : 0));
    if (arrival) {
      if (const auto* finished = std::get_if<Finished>(&*arrival)) {
        on_finished(*finished);
      } else if (const auto* lost = std::get_if<ConnectionLost>(&*arrival)) {
        on_lost(lost->why);
      } else {
        const bool stop = std::holds_alternative<StopAsked>(*arrival);
        // What the broker acknowledges comes by the same thread of Paho's.
        if (const auto* message = std::get_if<Arrived>(&*arrival); message && message->handling) {
          message->handling->is_done();
        }
        postponed_.push_back(*arrival);
        if (stop) return false;
      }
    } else if (!waiting || Steady::now() > until) {
      return true;
    }
  }
}

void Run::tell_clock_done() {
  while (!clock_done_.empty() && greeted_ && !subscribing_until_ && broker_->all_published()) {
    if (!broker_->publish({clock_topic_ + "/done", clock_done_.front(), {}, 1, false, 0})) return;
    clock_done_.pop_front();
  }
}

// What the broker sends at once is answered before the goodbye.
void Run::handle_what_still_comes() {
  const Steady::time_point until = Steady::now() + goodbye_wait_max / 2;
  while (Steady::now() < until) {
    std::optional<Arrival> arrival = inbox_.take(milliseconds(20));
    if (!arrival) return;
    handle(*arrival);
  }
}

// The goodbye is published by `stop`; what the broker acknowledges while we wait is still passed
// on.
void Run::goodbye() {
  supervisor_.stopping();
  web_.reset();
  handle_what_still_comes();
  if (can_call()) instance_->stop(*now_ms());
  wait_for_broker(goodbye_wait_max, [this] { return broker_->all_published(); });
  broker_->disconnect();
  wait_for_broker(disconnect_wait_max, [this] { return !broker_->disconnecting(); });
  instance_.reset();
  signals_.everything_is_durable();
  log_.notice("stopped");
}

void Run::wait_for_broker(milliseconds wait_max, const std::function<bool()>& is_over) {
  const Steady::time_point until = Steady::now() + wait_max;
  while (broker_->connected() && !is_over() && Steady::now() < until) {
    std::optional<Arrival> arrival = inbox_.take(milliseconds(20));
    if (!arrival) continue;
    auto* const message = std::get_if<Arrived>(&*arrival);
    if (message && message->handling && message->topic != clock_topic_ && can_call()) {
      // Paho waits for it, and neither sends nor receives meanwhile.
      on_arrived(*message);
    } else if (outlives_its_connection(*arrival)) {
      postponed_.push_back(std::move(*arrival));
    }
    if (const auto* finished = std::get_if<Finished>(&*arrival)) on_finished(*finished);
    if (const auto* lost = std::get_if<ConnectionLost>(&*arrival)) {
      (void)broker_->on_lost(lost->why, Steady::now());
    }
  }
}

bool Run::publish(Outgoing message) {
  return broker_ && broker_->publish(std::move(message));
}

bool Run::subscribe(std::string_view filter, std::uint8_t qos) {
  return broker_ && broker_->subscribe(filter, qos);
}

void Run::log(wheymark_level level, std::string_view line) {
  log_.line(static_cast<LogLevel>(level), line);
}

std::optional<std::int64_t> Run::now_ms() const {
  if (clock_topic_.empty()) return system_ms();
  return hand_moved_ms_;
}

// Until the next thing that is known to be due.
milliseconds Run::sleep_length() const {
  milliseconds wait = std::min(sleep_max, supervisor_.sign_every());
  if (web_ && something_happened_) wait = std::min(wait, snapshot_spacing_min);
  if (!broker_->connected()) wait = milliseconds(500);  // attempts are begun by tend()
  if (instance_ == nullptr) wait = milliseconds(500);
  if (subscribing_until_) wait = kept_comes_within;
  if (clock_topic_.empty() && instance_ != nullptr) {
    const std::int64_t due_ms = instance_->next_tick_ms();
    const std::int64_t now = system_ms();
    if (due_ms <= now) return std::min(wait, tick_spacing_min);
    if (due_ms - now < wait.count()) wait = milliseconds(due_ms - now);
  }
  return wait;
}

}  // namespace wheymark
