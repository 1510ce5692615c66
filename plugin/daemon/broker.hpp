// Is there a broker, and has it got what we gave it?
//
// One Paho client for the life of the process, MQTT 5 unless told 3.1.1. The session is kept by the
// broker while we are away, so that what people say then waits there. All functions are called by
// one thread, the worker; whatever Paho reports goes into the Inbox, and the worker hands it back
// here. Nothing here waits; but Paho's thread that receives waits until what has come is handled.
// It holds Paho's lock then, which every call of Paho takes: so these are made by one more thread.
//
// Chosen against the traps of Paho MQTT C++ 1.2.0:
// - Paho's automatic reconnection is off. Connecting again by ourselves covers a broker that is
// not there yet with the same code, logs the reason of every failure, and never runs beside it.
// - Only a few messages at a time are handed to Paho; the rest wait here and are thrown away with
//   the connection, because the library publishes everything anew. Paho's own buffer would send
//   stale states after a reconnection, before the new ones.
// - The connect properties of every copy of the options, and connect() copies them, are those of
//   the options that were copied: so these live as long as the client and are never replaced. No
//   TLS error handler (its context dangles), no reconnect(), no set_callback().
// - Requests are known by a serial number, not by their tokens, which Paho owns.
#pragma once

#include <chrono>
#include <cstdint>
#include <deque>
#include <functional>
#include <mqtt/async_client.h>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "plugin/daemon/errands.hpp"
#include "plugin/daemon/inbox.hpp"
#include "plugin/daemon/loaded_instance.hpp"
#include "plugin/daemon/log.hpp"

namespace wheymark {

class Broker {
 public:
  using Clock = std::chrono::steady_clock;

  // Reads the password. File names that are relative are relative to `directory`. Throws
  // WorldIsWrong when Paho refuses the address or a file cannot be read.
  Broker(const BrokerAddress& address, const std::string& directory, Inbox& inbox, const Log& log);
  Broker(const Broker&) = delete;
  Broker& operator=(const Broker&) = delete;
  ~Broker();

  // Connects when it is time to, and notices a connection that was lost without a callback.
  void tend(Clock::time_point now);

  // What came out of the inbox. on_lost returns false when the news is about an earlier connection.
  void on_connected();
  void on_connect_failed(const std::string& why, Clock::time_point now);
  [[nodiscard]] bool on_lost(const std::string& why, Clock::time_point now);
  // The `delivery` of the message that the broker now has; nothing for anything else.
  [[nodiscard]] std::optional<std::uint64_t> on_finished(const Finished& finished);

  // Both return false when there is no connection, no room, or the topic is not one.
  bool publish(Outgoing message);
  bool subscribe(std::string_view filter, std::uint8_t qos);
  // A kept session keeps subscriptions, too: ends one that nobody has asked for since.
  void unsubscribe_if_unasked(const std::string& topic);

  [[nodiscard]] bool connected() const { return connected_; }
  [[nodiscard]] bool all_subscribed() const { return subscribing_.empty(); }
  [[nodiscard]] bool all_published() const { return publishing_.empty() && backlog_.empty(); }
  // Names the subscriptions that the broker has not acknowledged, and waits for them no longer.
  void give_up_subscriptions();

  // Disconnects properly, so that the broker drops the will. Over when disconnecting() is false.
  void disconnect();
  [[nodiscard]] bool disconnecting() const { return disconnect_serial_.has_value(); }

 private:
  // Tells the inbox how each request ended; called by Paho's threads.
  class Listener : public mqtt::iaction_listener {
   public:
    explicit Listener(Inbox& inbox) : inbox_(inbox) {}
    void on_success(const mqtt::token& token) override;
    void on_failure(const mqtt::token& token) override;

   private:
    Inbox& inbox_;
  };

  struct Sent {
    std::string topic;
    std::uint64_t delivery = 0;
  };

  void begin_connecting(Clock::time_point now);
  void retry_later(Clock::time_point now);
  void forget_requests();
  void hand_over(const Outgoing& message);
  void hand_over_backlog();
  // Puts ConnectionLost into the inbox if it is.
  void look_whether_connected();
  // Asks Paho, later; what it refuses comes as Finished. A serial rather than a pointer tells news
  // of an earlier connection from this one's.
  void request(std::uintptr_t serial, std::function<void(void*)> ask_paho);

  const Log& log_;
  Inbox& inbox_;
  Listener listener_;              // outlives client_, which calls it
  mqtt::connect_options options_;  // never replaced: Paho keeps pointers into it
  mqtt::async_client client_;
  std::string shown_url_;  // without a password, should somebody have written one
  bool needs_tls_ = false;
  bool version_5_ = true;

  bool connected_ = false;
  bool connecting_ = false;
  Clock::time_point attempt_began_{};
  Clock::time_point next_attempt_{};
  Clock::time_point next_look_{};
  std::chrono::seconds retry_wait_{0};
  std::string last_failure_;  // a reason is logged once, not at every attempt

  std::uintptr_t last_serial_ = 0;
  std::unordered_map<std::uintptr_t, Sent> publishing_;          // by serial
  std::unordered_map<std::uintptr_t, std::string> subscribing_;  // filters by serial
  std::vector<std::string> filters_;                             // subscribed to in this connection
  std::optional<std::uintptr_t> disconnect_serial_;
  std::deque<Outgoing> backlog_;
  Errands errands_;  // last: ends before what it uses
};

// Whether MQTT allows to publish to `topic`; a broker cuts the connection of whoever tries others.
[[nodiscard]] bool is_topic_to_publish_to(std::string_view topic);

}  // namespace wheymark
