// The C boundary: the one exported symbol, and the place where every exception ends.
//
// A C++ exception here is a mistake of our own (or memory that has run out): the instance is frozen
// and logs that, instead of publishing what may be false. Nothing of the household is decided here.
#include <algorithm>
#include <cstddef>
#include <cstring>
#include <exception>
#include <filesystem>
#include <limits>
#include <memory>
#include <new>
#include <string>
#include <variant>

#include "plugin/configuration/configuration.hpp"
#include "plugin/library/host.hpp"
#include "plugin/library/instance.hpp"
#include "plugin/store/store.hpp"
#include "plugin/wheymark.h"

struct wheymark_instance {
  wheymark::Host host;
  std::unique_ptr<wheymark::Instance> running;
  // `connection` hands these out, so they live as long as the instance.
  std::string password_file, ca_file, certificate_file, key_file, will_topic;
  bool frozen = false;
  // What `render` handed out, valid until the next call.
  wheymark::Document document;
  std::string etag;
};

namespace {

using wheymark::as_text;
using wheymark::view_of;

wheymark::Instant instant(std::int64_t ms) {
  return wheymark::Instant(wheymark::Milliseconds(ms));
}

// Whether the caller has at least what version 1 had: nobody can have less.
bool is_whole(const wheymark_settings* settings) {
  return settings != nullptr &&
         settings->struct_size >= offsetof(wheymark_settings, store) + sizeof(wheymark_text);
}
bool is_whole(const wheymark_message* message) {
  return message != nullptr &&
         message->struct_size >= offsetof(wheymark_message, delivery) + sizeof(std::uint64_t);
}

// A caller's record, as far as it goes; what an older caller does not have is zero.
template <class Record>
Record copied(const Record& given) {
  Record record{};
  std::memcpy(&record, &given, std::min<std::size_t>(given.struct_size, sizeof record));
  return record;
}

// A file name of the configuration, which is relative to the configuration's directory.
std::string beside(const wheymark_text& directory, const std::string& file) {
  if (file.empty() || file == ":memory:" || directory.length == 0) return file;
  return (std::filesystem::path(view_of(directory)) / file).string();
}

// Logs an exception that was about to leave the library. Allocates nothing: memory may have run
// out.
void tell_of_mistake(const wheymark::Host& host, const char* what) noexcept {
  host.log(WHEYMARK_ERROR, what);
  host.log(WHEYMARK_ERROR,
           "that is a mistake of the library's own, or no memory; close the instance, if there is "
           "one, and open another from the same store");
}

// Runs `call` on an instance that is not frozen; whatever it throws freezes the instance.
template <class Call>
wheymark_status guarded(wheymark_instance* instance, Call call) noexcept {
  if (instance == nullptr) return WHEYMARK_REFUSED;
  if (instance->frozen) return WHEYMARK_FROZEN;
  try {
    call(*instance->running);
    return WHEYMARK_OK;
  } catch (const std::exception& mistake) {
    instance->frozen = true;
    tell_of_mistake(instance->host, mistake.what());
  } catch (...) {
    instance->frozen = true;
    tell_of_mistake(instance->host, "something unknown was thrown");
  }
  return WHEYMARK_FROZEN;
}

// Reads the configuration, telling every complaint to the host.
std::variant<wheymark::Configuration, wheymark_status> configured(const wheymark::Host& host,
                                                                  const wheymark_settings& given) {
  auto read = wheymark::configuration_from(view_of(given.configuration));
  if (const auto* complaints = std::get_if<wheymark::Complaints>(&read)) {
    for (const auto& complaint : *complaints) {
      host.log(WHEYMARK_ERROR, wheymark::line_of(complaint));
    }
    return WHEYMARK_REFUSED;
  }
  return std::get<wheymark::Configuration>(std::move(read));
}

wheymark_status check_configuration(const wheymark_host* table,
                                    const wheymark_settings* settings) noexcept try {
  if (table == nullptr || !is_whole(settings)) return WHEYMARK_REFUSED;
  const wheymark::Host host(*table);
  const auto read = configured(host, copied(*settings));
  if (const auto* refused = std::get_if<wheymark_status>(&read)) return *refused;
  const auto& configuration = std::get<wheymark::Configuration>(read);
  for (const auto& advice : configuration.advice) {
    host.log(WHEYMARK_WARNING, wheymark::line_of(advice));
  }
  for (const std::string& line : understood(configuration)) host.log(WHEYMARK_NOTICE, line);
  return WHEYMARK_OK;
} catch (const std::exception& mistake) {
  tell_of_mistake(wheymark::Host(*table), mistake.what());
  return WHEYMARK_FROZEN;
} catch (...) {
  return WHEYMARK_FROZEN;
}

wheymark_status open_instance(const wheymark_host* table, const wheymark_settings* settings,
                              wheymark_instance** made) noexcept try {
  if (made == nullptr) return WHEYMARK_REFUSED;
  *made = nullptr;
  if (table == nullptr || !is_whole(settings)) return WHEYMARK_REFUSED;
  const wheymark_settings given = copied(*settings);
  const wheymark::Host host(*table);
  auto read = configured(host, given);
  if (const auto* refused = std::get_if<wheymark_status>(&read)) return *refused;
  auto& configuration = std::get<wheymark::Configuration>(read);

  const std::string file = given.store.length > 0 ? std::string(view_of(given.store))
                                                  : beside(given.directory, configuration.store);
  std::string damage;
  auto store = wheymark::open_store_or_new(file, damage);
  if (!damage.empty()) {
    host.log(WHEYMARK_ERROR, damage);
    if (store) host.log(WHEYMARK_WARNING, "an empty store has taken its place");
  }
  if (!store) {
    host.log(WHEYMARK_ERROR, store.why());
    return WHEYMARK_REFUSED;
  }
  auto running =
      wheymark::Instance::opened(host, std::move(configuration), std::move(store).value());
  if (!running) {
    host.log(WHEYMARK_ERROR, running.why());
    return WHEYMARK_REFUSED;
  }
  auto instance = std::make_unique<wheymark_instance>(
      wheymark_instance{host, std::move(running).value(), {}, {}, {}, {}, {}, false, {}, {}});
  const wheymark::BrokerSetup& broker = instance->running->configuration().broker;
  instance->password_file = beside(given.directory, broker.password_file);
  instance->ca_file = beside(given.directory, broker.ca_file);
  instance->certificate_file = beside(given.directory, broker.certificate_file);
  instance->key_file = beside(given.directory, broker.key_file);
  instance->will_topic = instance->running->will_topic();
  *made = instance.release();
  return WHEYMARK_OK;
} catch (const std::exception& mistake) {
  tell_of_mistake(wheymark::Host(*table), mistake.what());
  return WHEYMARK_FROZEN;
} catch (...) {
  return WHEYMARK_FROZEN;
}

wheymark_status connection(wheymark_instance* instance, wheymark_connection* filled) noexcept {
  if (filled == nullptr) return WHEYMARK_REFUSED;
  return guarded(instance, [&](const wheymark::Instance& running) {
    const wheymark::BrokerSetup& broker = running.configuration().broker;
    wheymark_connection out{};
    out.struct_size = std::min<std::uint32_t>(filled->struct_size, sizeof out);
    out.will_qos = 2;
    out.will_retain = 1;
    out.url = as_text(broker.url);
    out.client_id = as_text(broker.client_id);
    out.user = as_text(broker.user);
    out.password_file = as_text(instance->password_file);
    out.ca_file = as_text(instance->ca_file);
    out.certificate_file = as_text(instance->certificate_file);
    out.key_file = as_text(instance->key_file);
    out.will_topic = as_text(instance->will_topic);
    out.will_payload = as_text("lost");
    out.protocol = as_text(word(broker.protocol));
    if (const auto& listen = running.configuration().tile_listen) {
      out.tile_listen = as_text(*listen);
    }
    std::memcpy(filled, &out, out.struct_size);
  });
}

wheymark_status connected(wheymark_instance* instance, std::int64_t now_ms) noexcept {
  return guarded(instance,
                 [&](wheymark::Instance& running) { running.connected(instant(now_ms)); });
}

wheymark_status subscribed(wheymark_instance* instance, std::int64_t now_ms) noexcept {
  return guarded(instance,
                 [&](wheymark::Instance& running) { running.subscribed(instant(now_ms)); });
}

wheymark_status disconnected(wheymark_instance* instance, std::int64_t now_ms) noexcept {
  return guarded(instance,
                 [&](wheymark::Instance& running) { running.disconnected(instant(now_ms)); });
}

wheymark_status message(wheymark_instance* instance, const wheymark_message* given,
                        std::int64_t now_ms) noexcept {
  if (!is_whole(given)) return WHEYMARK_REFUSED;
  return guarded(instance, [&](wheymark::Instance& running) {
    const wheymark_message in = copied(*given);
    running.message(view_of(in.topic), view_of(in.payload), in.retain != 0, instant(now_ms));
  });
}

wheymark_status tick(wheymark_instance* instance, std::int64_t now_ms) noexcept {
  return guarded(instance, [&](wheymark::Instance& running) { running.tick(instant(now_ms)); });
}

std::int64_t next_tick_ms(const wheymark_instance* instance) noexcept {
  constexpr std::int64_t never = std::numeric_limits<std::int64_t>::max();
  if (instance == nullptr || instance->frozen) return never;
  const auto next = instance->running->next_tick();
  return next ? next->time_since_epoch().count() : never;
}

wheymark_status delivered(wheymark_instance* instance, std::uint64_t delivery,
                          std::int64_t now_ms) noexcept {
  return guarded(
      instance, [&](wheymark::Instance& running) { running.delivered(delivery, instant(now_ms)); });
}

wheymark_status stop(wheymark_instance* instance, std::int64_t now_ms) noexcept {
  return guarded(instance, [&](wheymark::Instance& running) { running.stop(instant(now_ms)); });
}

wheymark_status render(wheymark_instance* instance, wheymark_text path, std::int64_t now_ms,
                       wheymark_document* filled) noexcept {
  if (filled == nullptr) return WHEYMARK_REFUSED;
  bool found = false;
  const wheymark_status status = guarded(instance, [&](const wheymark::Instance& running) {
    auto document = running.document_at(view_of(path), instant(now_ms));
    if (!document) return;
    found = true;
    instance->document = std::move(*document);
    instance->etag = wheymark::etag_of(instance->document.body);
    wheymark_document out{};
    out.struct_size = std::min<std::uint32_t>(filled->struct_size, sizeof out);
    out.content_type = as_text(instance->document.content_type);
    out.etag = as_text(instance->etag);
    out.body = as_text(instance->document.body);
    std::memcpy(filled, &out, out.struct_size);
  });
  return status == WHEYMARK_OK && !found ? WHEYMARK_REFUSED : status;
}

void close_instance(wheymark_instance* instance) noexcept {
  delete instance;
}

wheymark_status export_text(wheymark_instance* instance, wheymark_text name, std::int64_t now_ms,
                            void* context, void (*write)(void*, wheymark_text)) noexcept {
  if (write == nullptr) return WHEYMARK_REFUSED;
  bool refused = false;
  const wheymark_status status = guarded(instance, [&](const wheymark::Instance& running) {
    const auto text = running.export_text(view_of(name), instant(now_ms));
    refused = !text;
    if (text) return write(context, as_text(text.value()));
    instance->host.log(WHEYMARK_ERROR, text.why());
  });
  return status == WHEYMARK_OK && refused ? WHEYMARK_REFUSED : status;
}

wheymark_status ask(wheymark_instance* instance, wheymark_text question, std::int64_t now_ms,
                    void* context, void (*write)(void*, wheymark_text)) noexcept {
  if (write == nullptr) return WHEYMARK_REFUSED;
  bool refused = false;
  const wheymark_status status = guarded(instance, [&](const wheymark::Instance& running) {
    const auto text = running.answer_to(view_of(question), instant(now_ms));
    refused = !text;
    if (text) return write(context, as_text(text.value()));
    instance->host.log(WHEYMARK_ERROR, text.why());
  });
  return status == WHEYMARK_OK && refused ? WHEYMARK_REFUSED : status;
}

wheymark_status remember(wheymark_instance* instance, wheymark_text table, std::int64_t now_ms,
                         void* context, void (*write)(void*, wheymark_text)) noexcept {
  if (write == nullptr) return WHEYMARK_REFUSED;
  bool refused = false;
  const wheymark_status status = guarded(instance, [&](wheymark::Instance& running) {
    const auto done = running.remember(view_of(table), instant(now_ms));
    refused = !done;
    if (done) return write(context, as_text(done.value()));
    std::string_view left = done.why();
    for (std::size_t end = 0; end != std::string_view::npos; left.remove_prefix(end + 1)) {
      end = left.find('\n');
      instance->host.log(WHEYMARK_ERROR, std::string(left.substr(0, end)));
      if (end == std::string_view::npos) break;
    }
  });
  return status == WHEYMARK_OK && refused ? WHEYMARK_REFUSED : status;
}

constexpr wheymark_plugin plugin{sizeof(wheymark_plugin),
                                 WHEYMARK_VERSION,
                                 check_configuration,
                                 open_instance,
                                 connection,
                                 connected,
                                 subscribed,
                                 disconnected,
                                 message,
                                 tick,
                                 next_tick_ms,
                                 delivered,
                                 stop,
                                 close_instance,
                                 render,
                                 export_text,
                                 ask,
                                 remember};

}  // namespace

extern "C" const wheymark_plugin* wheymark_plugin_v1(void) {
  return &plugin;
}
