#include "plugin/daemon/broker.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <utility>

#include "plugin/daemon/text_file.hpp"
#include "plugin/daemon/topic_filter.hpp"
#include "plugin/daemon/world_is_wrong.hpp"

namespace wheymark {
namespace {

using std::chrono::seconds;

constexpr seconds keep_alive{20};        // a dead link is noticed within a minute
constexpr seconds connect_wait_max{10};  // then Paho reports a failure
constexpr seconds attempt_wait_max{60};  // Paho has lost our request: ask again
constexpr seconds retry_wait_first{1};
constexpr seconds retry_wait_max{8};          // a broker is back within that after its own restart
constexpr seconds look_every{5};              // finds a connection lost without a callback
constexpr std::size_t in_flight_max = 20;     // what common brokers allow one client by default
constexpr std::size_t backlog_max = 200'000;  // all topics of a thousand jars
constexpr std::size_t password_bytes_max = 65'535;  // MQTT's limit

// Whoever is away for longer will look at the jars rather than at what was said of them.
constexpr std::chrono::hours session_kept_for{24 * 7};

constexpr int refusals_from = 0x80;  // MQTT 5: reason codes from here on are failures

std::string in_folder(const std::string& directory, const std::string& file) {
  return (std::filesystem::path(directory) / file).string();
}

// Editors and `echo` end a file with a newline that is no part of the password.
std::string password_in(const std::string& file) {
  std::string text = whole_text_of(file, password_bytes_max);
  while (!text.empty() && (text.back() == '\n' || text.back() == '\r')) text.pop_back();
  return text;
}

std::string readable(const std::string& directory, const std::string& file) {
  std::string path = in_folder(directory, file);
  (void)whole_text_of(path, 1024UL * 1024);  // Paho would only say "failure", without the name
  return path;
}

bool begins_with_tls_scheme(const std::string& url) {
  return url.rfind("mqtts://", 0) == 0 || url.rfind("wss://", 0) == 0;
}

std::string without_user(const std::string& url) {
  const std::size_t host = url.find("://");
  const std::size_t at = url.rfind('@');
  if (host == std::string::npos || at == std::string::npos || at < host) return url;
  return url.substr(0, host + 3) + url.substr(at + 1);
}

mqtt::ssl_options tls_options(const BrokerAddress& address, const std::string& directory) {
  mqtt::ssl_options tls;
  // Without a file the certificates that the system trusts are used.
  if (!address.ca_file.empty()) tls.set_trust_store(readable(directory, address.ca_file));
  if (!address.certificate_file.empty()) {
    tls.set_key_store(readable(directory, address.certificate_file));
  }
  if (!address.key_file.empty()) tls.set_private_key(readable(directory, address.key_file));
  tls.set_enable_server_cert_auth(true);
  tls.set_verify(true);  // that the certificate is the host's own, too
  return tls;
}

mqtt::connect_options connect_options_for(const BrokerAddress& address,
                                          const std::string& directory) {
  mqtt::connect_options options;
  if (address.version_5) {
    options.set_mqtt_version(MQTTVERSION_5);  // first: the will's form depends on it
    options.set_clean_start(false);
  } else {
    options.set_mqtt_version(MQTTVERSION_3_1_1);
    options.set_clean_session(false);
  }
  options.set_automatic_reconnect(false);
  options.set_keep_alive_interval(keep_alive);
  options.set_connect_timeout(connect_wait_max);
  options.set_max_inflight(static_cast<int>(in_flight_max));
  if (!address.user.empty()) options.set_user_name(address.user);
  if (!address.password_file.empty()) {
    options.set_password(password_in(in_folder(directory, address.password_file)));
  }
  if (!address.will_topic.empty()) {
    options.set_will(mqtt::will_options(mqtt::string_ref(address.will_topic),
                                        mqtt::binary_ref(address.will_payload), address.will_qos,
                                        address.will_retain));
  }
  if (begins_with_tls_scheme(address.url)) options.set_ssl(tls_options(address, directory));
  return options;
}

// What the broker said, or what became of the attempt to ask it.
std::string reason_of(const mqtt::token& token) {
  const int code = token.get_return_code();
  const int reason = token.get_reason_code();
  const int said = reason >= refusals_from ? reason : code;
  if (said >= refusals_from) {
    const char* text = MQTTReasonCode_toString(static_cast<MQTTReasonCodes>(said));
    return fmt::format("the broker says: {}", text != nullptr ? text : std::to_string(said));
  }
  // What Paho calls "Failure" is nearly always this; it does not pass on the system's own reason.
  if (code == MQTTASYNC_FAILURE) return "nobody answers there";
  const char* text = MQTTAsync_strerror(code);
  return text != nullptr ? std::string(text) : fmt::format("code {}", code);
}

mqtt::create_options version_of(const BrokerAddress& address) {
  return mqtt::create_options(address.version_5 ? MQTTVERSION_5 : MQTTVERSION_3_1_1);
}

}  // namespace

bool is_topic_to_publish_to(std::string_view topic) {
  using namespace std::string_view_literals;
  return !topic.empty() && topic.size() <= 65'535 &&
         topic.find_first_of("+#\0"sv) == std::string_view::npos;
}

void Broker::Listener::on_success(const mqtt::token& token) {
  if (token.get_type() == mqtt::token::CONNECT) return;  // the connected handler reports it
  inbox_.put(Finished{reinterpret_cast<std::uintptr_t>(token.get_user_context()), true, {}});
}

// A request that a lost connection cut off was not refused; the loss is reported by itself.
void Broker::Listener::on_failure(const mqtt::token& token) {
  try {
    if (token.get_type() == mqtt::token::CONNECT) {
      inbox_.put(ConnectFailed{reason_of(token)});
      return;
    }
    const bool refused = static_cast<int>(token.get_reason_code()) >= refusals_from;
    inbox_.put(Finished{reinterpret_cast<std::uintptr_t>(token.get_user_context()), false,
                        refused ? reason_of(token) : std::string()});
  } catch (...) {
    // An exception that leaves a callback ends the process; the time limits notice what was lost.
  }
}

Broker::Broker(const BrokerAddress& address, const std::string& directory, Inbox& inbox,
               const Log& log) try
    : log_(log),
      inbox_(inbox),
      listener_(inbox),
      options_(connect_options_for(address, directory)),
      client_(address.url, address.client_id, version_of(address)),
      shown_url_(without_user(address.url)),
      needs_tls_(begins_with_tls_scheme(address.url)),
      version_5_(address.version_5) {
  if (version_5_) {
    options_.set_properties({{mqtt::property::SESSION_EXPIRY_INTERVAL,
                              static_cast<std::uint32_t>(seconds(session_kept_for).count())}});
  }
  // Without this, Paho writes every packet into a list of traces that nobody reads: a third of what
  // receiving costs.
  MQTTAsync_setTraceLevel(MQTTASYNC_TRACE_ERROR);
  client_.set_connected_handler([this](const std::string&) { inbox_.put(Connected{}); });
  client_.set_connection_lost_handler([this](const std::string&) { inbox_.put(ConnectionLost{}); });
  client_.set_disconnected_handler([this](const mqtt::properties&, mqtt::ReasonCode reason) {
    if (const char* text = MQTTReasonCode_toString(static_cast<MQTTReasonCodes>(reason))) {
      inbox_.put(ConnectionLost{text});
    }
  });
  client_.set_message_callback([this](const mqtt::const_message_ptr& message) {
    try {
      Arrived arrived{message->get_topic(), message->get_payload_str(),
                      static_cast<std::uint8_t>(message->get_qos()), message->is_retained()};
      arrived.qos == 0 ? inbox_.put(std::move(arrived)) : inbox_.put_and_wait(std::move(arrived));
    } catch (...) {
      // As in Inbox::put: out of memory costs this message, not the daemon.
    }
  });
} catch (const mqtt::exception& error) {
  throw WorldIsWrong(fmt::format("broker {}: {}", without_user(address.url), error.what()));
}

Broker::~Broker() {
  inbox_.let_senders_wait(false);
}

void Broker::tend(Clock::time_point now) {
  if (connected_) {
    if (now < next_look_) return;
    next_look_ = now + look_every;
    look_whether_connected();
  } else if (connecting_) {
    if (now - attempt_began_ > attempt_wait_max) begin_connecting(now);
  } else if (now >= next_attempt_ && !disconnecting()) {
    begin_connecting(now);
  }
}

void Broker::begin_connecting(Clock::time_point now) {
  connecting_ = true;
  attempt_began_ = now;
  inbox_.let_senders_wait(true);
  errands_.ask([this]() noexcept {
    try {
      client_.connect(options_, nullptr, listener_);
    } catch (const std::exception& error) {
      inbox_.put(ConnectFailed{error.what()});
    }
  });
}

void Broker::look_whether_connected() {
  errands_.ask([this]() noexcept {
    if (!client_.is_connected()) inbox_.put(ConnectionLost{});
  });
}

void Broker::request(std::uintptr_t serial, std::function<void(void*)> ask_paho) {
  errands_.ask([this, serial, ask_paho = std::move(ask_paho)]() noexcept {
    try {
      ask_paho(reinterpret_cast<void*>(serial));  // NOLINT: never followed
    } catch (const std::exception& error) {
      // What was on the way when the connection went is asked for anew in the next one.
      client_.is_connected() ? inbox_.put(Finished{serial, false, error.what()})
                             : inbox_.put(ConnectionLost{});
    }
  });
}

void Broker::on_connected() {
  forget_requests();
  connected_ = true;
  connecting_ = false;
  retry_wait_ = seconds(0);
  last_failure_.clear();
  next_look_ = Clock::now() + look_every;
  log_.notice(fmt::format("connected to {}", shown_url_));
}

void Broker::on_connect_failed(const std::string& why, Clock::time_point now) {
  if (connected_) return;
  connecting_ = false;
  retry_later(now);
  const std::string line =
      fmt::format("cannot connect to {}: {}{}; trying again for ever", shown_url_, why,
                  needs_tls_ ? " (if a broker is there, see ca_file, "
                               "certificate_file, key_file and its name)"
                             : "");
  log_.line(why == last_failure_ ? LogLevel::debug : LogLevel::warning, line);
  last_failure_ = why;
}

bool Broker::on_lost(const std::string& why, Clock::time_point now) {
  if (!connected_) return false;
  if (!why.empty()) {
    log_.warning(fmt::format("{} announces: {}", shown_url_, why));
    look_whether_connected();
    return false;
  }
  connected_ = false;
  connecting_ = false;
  forget_requests();
  retry_later(now);
  log_.warning(fmt::format("the connection to {} is lost", shown_url_));
  return true;
}

void Broker::retry_later(Clock::time_point now) {
  retry_wait_ = std::clamp(retry_wait_ * 2, retry_wait_first, retry_wait_max);
  next_attempt_ = now + retry_wait_;
}

void Broker::forget_requests() {
  filters_.clear();
  publishing_.clear();
  subscribing_.clear();
  backlog_.clear();
}

std::optional<std::uint64_t> Broker::on_finished(const Finished& finished) {
  if (disconnect_serial_ == finished.serial) {
    disconnect_serial_.reset();
    connected_ = false;
    return std::nullopt;
  }
  if (const auto asked = subscribing_.find(finished.serial); asked != subscribing_.end()) {
    if (!finished.refused_because.empty()) {
      log_.warning(
          fmt::format("not subscribed to {}: {}", asked->second, finished.refused_because));
    }
    subscribing_.erase(asked);
    return std::nullopt;
  }
  const auto sent = publishing_.find(finished.serial);
  if (sent == publishing_.end()) return std::nullopt;  // of an earlier connection
  const Sent message = std::move(sent->second);
  publishing_.erase(sent);
  hand_over_backlog();
  if (!finished.refused_because.empty()) {
    log_.warning(fmt::format("not published to {}: {}", message.topic, finished.refused_because));
  }
  if (!finished.taken || message.delivery == 0) return std::nullopt;
  return message.delivery;
}

bool Broker::publish(Outgoing message) {
  if (!connected_) return false;
  if (!is_topic_to_publish_to(message.topic) || message.qos > 2) {
    log_.error(fmt::format("not published: \"{}\" is no topic to publish to, or QoS {} is none",
                           message.topic, message.qos));
    return false;
  }
  if (backlog_.size() >= backlog_max) return false;
  backlog_.push_back(std::move(message));
  hand_over_backlog();
  return true;
}

void Broker::hand_over_backlog() {
  while (!backlog_.empty() && publishing_.size() < in_flight_max) {
    hand_over(backlog_.front());
    backlog_.pop_front();
  }
}

void Broker::hand_over(const Outgoing& message) {
  const mqtt::message_ptr packet =
      mqtt::make_message(message.topic, message.payload, message.qos, message.retain);
  if (version_5_ && !message.content_type.empty()) {  // 3.1.1 knows no properties
    mqtt::properties properties;
    properties.add(mqtt::property(mqtt::property::CONTENT_TYPE, message.content_type));
    packet->set_properties(std::move(properties));
  }
  publishing_.emplace(++last_serial_, Sent{message.topic, message.delivery});
  request(last_serial_,
          [this, packet](void* serial) { client_.publish(packet, serial, listener_); });
}

bool Broker::subscribe(std::string_view filter, std::uint8_t qos) {
  if (!connected_) return false;
  filters_.emplace_back(filter);
  subscribing_.emplace(++last_serial_, filter);
  request(last_serial_, [this, asked = std::string(filter), qos](void* serial) {
    client_.subscribe(asked, qos, serial, listener_);
  });
  return true;
}

void Broker::unsubscribe_if_unasked(const std::string& topic) {
  const auto covers_it = [&](const std::string& filter) { return covers(filter, topic); };
  if (!connected_ || std::any_of(filters_.begin(), filters_.end(), covers_it)) return;
  request(++last_serial_,
          [this, topic](void* serial) { client_.unsubscribe(topic, serial, listener_); });
}

void Broker::give_up_subscriptions() {
  for (const auto& [serial, filter] : subscribing_) {
    log_.warning(fmt::format("the broker does not acknowledge the subscription to {}", filter));
  }
  subscribing_.clear();
}

void Broker::disconnect() {
  if (!connected_) return;
  disconnect_serial_ = ++last_serial_;
  request(last_serial_, [this](void* serial) { client_.disconnect(0, serial, listener_); });
}

}  // namespace wheymark
