// How does C++ hold one instance of libwheymark?
//
// RAII round the C table of plugin/wheymark.h, the only thing of the library that the daemon
// knows. What the instance asks of its host arrives at a HostOfInstance. Calls must not overlap,
// and a HostOfInstance must not call back into the instance that is calling it (see the header).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "plugin/wheymark.h"

namespace wheymark {

struct Outgoing {
  std::string topic;
  std::string payload;
  std::string content_type;
  std::uint8_t qos = 0;
  bool retain = false;
  std::uint64_t delivery = 0;  // other than 0: the instance waits for `delivered`
};

// What an instance may ask of its host. Exceptions are caught on the way and count as a refusal.
class HostOfInstance {
 public:
  virtual ~HostOfInstance() = default;
  // Both return false when it cannot be done now.
  virtual bool publish(Outgoing message) = 0;
  virtual bool subscribe(std::string_view filter, std::uint8_t qos) = 0;
  virtual void log(wheymark_level level, std::string_view line) = 0;
};

// What an instance is made from; see wheymark_settings.
struct Settings {
  std::string configuration;
  std::string directory;
  std::string store;
};

// How to reach the broker; see wheymark_connection.
struct BrokerAddress {
  std::string url;
  std::string client_id;
  std::string user;
  std::string password_file;
  std::string ca_file;
  std::string certificate_file;
  std::string key_file;
  std::string will_topic;
  std::string will_payload;
  std::uint8_t will_qos = 0;
  bool will_retain = false;
  bool version_5 = true;    // of MQTT; else 3.1.1
  std::string tile_listen;  // empty: nothing is served

  bool operator==(const BrokerAddress&) const = default;
};

// A document to show; see wheymark_document.
struct Document {
  std::string content_type;
  std::string etag;
  std::string body;
};

[[nodiscard]] std::string library_version();

// Whether the library accepts the configuration; it tells `host.log` what it found.
[[nodiscard]] bool configuration_is_good(HostOfInstance& host, const Settings& settings);

class LoadedInstance {
 public:
  // Throws WorldIsWrong when the library refuses; it has told `host.log` why. `host` must outlive
  // the instance.
  LoadedInstance(HostOfInstance& host, const Settings& settings);
  ~LoadedInstance();
  LoadedInstance(const LoadedInstance&) = delete;
  LoadedInstance& operator=(const LoadedInstance&) = delete;

  [[nodiscard]] BrokerAddress broker_address();

  void connected(std::int64_t now_ms);
  void subscribed(std::int64_t now_ms);
  void disconnected(std::int64_t now_ms);
  void message(std::string_view topic, std::string_view payload, std::uint8_t qos, bool retain,
               std::int64_t now_ms);
  void tick(std::int64_t now_ms);
  void delivered(std::uint64_t delivery, std::int64_t now_ms);
  void stop(std::int64_t now_ms);

  // Nothing when there is none at this path.
  [[nodiscard]] std::optional<Document> document(std::string_view path, std::int64_t now_ms);
  // A document about the household's past, by its name (see plugin/wheymark.h). Throws WorldIsWrong
  // when it is refused (`log` was told why) or the library cannot do it.
  [[nodiscard]] std::string exported(std::string_view name, std::int64_t now_ms);

  // The answer to a question, JSON (see plugin/wheymark.h). Throws WorldIsWrong as `exported` does.
  [[nodiscard]] std::string answer_to(std::string_view question, std::int64_t now_ms);

  // Takes in a table of batches of before (see plugin/wheymark.h); returns what was done. Throws
  // WorldIsWrong as `exported` does.
  [[nodiscard]] std::string remember(std::string_view table, std::int64_t now_ms);

  // INT64_MAX when the instance waits for nothing.
  [[nodiscard]] std::int64_t next_tick_ms() const;

  // The library has found a mistake of its own: every further call does nothing. The way out is to
  // destroy this object and to make another from the same store.
  [[nodiscard]] bool frozen() const { return frozen_; }

 private:
  void note(wheymark_status status) { frozen_ = frozen_ || status == WHEYMARK_FROZEN; }

  wheymark_instance* instance_ = nullptr;
  bool frozen_ = false;
};

}  // namespace wheymark
