#include "plugin/daemon/loaded_instance.hpp"

#include <cstddef>
#include <fmt/format.h>

#include "plugin/daemon/world_is_wrong.hpp"

namespace wheymark {
namespace {

wheymark_text text_of(std::string_view text) {
  return {text.data(), text.size()};
}

std::string_view view_of(wheymark_text text) {
  return text.length == 0 ? std::string_view() : std::string_view(text.bytes, text.length);
}

std::string string_of(wheymark_text text) {
  return std::string(view_of(text));
}

HostOfInstance& host_behind(void* context) {
  return *static_cast<HostOfInstance*>(context);
}

// The three functions that C calls: no exception may pass through it, so each one ends here.
int publish_for(void* context, const wheymark_message* message) noexcept {
  try {
    const bool done = host_behind(context).publish(
        {string_of(message->topic), string_of(message->payload), string_of(message->content_type),
         message->qos, message->retain != 0, message->delivery});
    return done ? 0 : 1;
  } catch (...) {
    return 1;
  }
}

int subscribe_for(void* context, wheymark_text filter, std::uint8_t qos) noexcept {
  try {
    return host_behind(context).subscribe(view_of(filter), qos) ? 0 : 1;
  } catch (...) {
    return 1;
  }
}

void log_for(void* context, wheymark_level level, wheymark_text line) noexcept {
  try {
    host_behind(context).log(level, view_of(line));
  } catch (...) {
    // When a line cannot be written, that cannot be logged either.
  }
}

wheymark_host table_for(HostOfInstance& host) {
  wheymark_host table{};
  table.struct_size = sizeof table;
  table.context = &host;
  table.publish = &publish_for;
  table.subscribe = &subscribe_for;
  table.log = &log_for;
  return table;
}

wheymark_settings record_of(const Settings& settings) {
  wheymark_settings record{};
  record.struct_size = sizeof record;
  record.configuration = text_of(settings.configuration);
  record.directory = text_of(settings.directory);
  record.store = text_of(settings.store);
  return record;
}

// The daemon uses every function of version 1.0, so a shorter table is of no use to it.
const wheymark_plugin& library() {
  const wheymark_plugin* table = wheymark_plugin_v1();
  if (table == nullptr || table->struct_size < offsetof(wheymark_plugin, render)) {
    throw WorldIsWrong("the library libwheymark that was found does not fit this wheymarkd");
  }
  return *table;
}

}  // namespace

std::string library_version() {
  return library().version;
}

bool configuration_is_good(HostOfInstance& host, const Settings& settings) {
  const wheymark_host table = table_for(host);
  const wheymark_settings record = record_of(settings);
  return library().check(&table, &record) == WHEYMARK_OK;
}

LoadedInstance::LoadedInstance(HostOfInstance& host, const Settings& settings) {
  const wheymark_host table = table_for(host);
  const wheymark_settings record = record_of(settings);
  const wheymark_status status = library().open(&table, &record, &instance_);
  if (status != WHEYMARK_OK || instance_ == nullptr) {
    library().close(instance_);
    throw WorldIsWrong(status == WHEYMARK_FROZEN
                           ? "the library found a mistake of its own while it opened its store"
                           : "nothing was started: see the lines above");
  }
}

LoadedInstance::~LoadedInstance() {
  library().close(instance_);
}

BrokerAddress LoadedInstance::broker_address() {
  wheymark_connection record{};
  record.struct_size = sizeof record;
  if (library().connection(instance_, &record) != WHEYMARK_OK) {
    throw WorldIsWrong("the library does not say how to reach the broker");
  }
  return {string_of(record.url),          string_of(record.client_id),
          string_of(record.user),         string_of(record.password_file),
          string_of(record.ca_file),      string_of(record.certificate_file),
          string_of(record.key_file),     string_of(record.will_topic),
          string_of(record.will_payload), record.will_qos,
          record.will_retain != 0,        view_of(record.protocol) != "3.1.1",
          string_of(record.tile_listen)};
}

void LoadedInstance::connected(std::int64_t now_ms) {
  note(library().connected(instance_, now_ms));
}

void LoadedInstance::subscribed(std::int64_t now_ms) {
  note(library().subscribed(instance_, now_ms));
}

void LoadedInstance::disconnected(std::int64_t now_ms) {
  note(library().disconnected(instance_, now_ms));
}

void LoadedInstance::message(std::string_view topic, std::string_view payload, std::uint8_t qos,
                             bool retain, std::int64_t now_ms) {
  wheymark_message record{};
  record.struct_size = sizeof record;
  record.qos = qos;
  record.retain = retain ? 1 : 0;
  record.topic = text_of(topic);
  record.payload = text_of(payload);
  note(library().message(instance_, &record, now_ms));
}

void LoadedInstance::tick(std::int64_t now_ms) {
  note(library().tick(instance_, now_ms));
}

void LoadedInstance::delivered(std::uint64_t delivery, std::int64_t now_ms) {
  note(library().delivered(instance_, delivery, now_ms));
}

void LoadedInstance::stop(std::int64_t now_ms) {
  note(library().stop(instance_, now_ms));
}

std::optional<Document> LoadedInstance::document(std::string_view path, std::int64_t now_ms) {
  const bool can_render = library().struct_size > offsetof(wheymark_plugin, render);
  if (!can_render || library().render == nullptr) return std::nullopt;
  wheymark_document record{};
  record.struct_size = sizeof record;
  const wheymark_status status = library().render(instance_, text_of(path), now_ms, &record);
  note(status);
  if (status != WHEYMARK_OK) return std::nullopt;
  return Document{string_of(record.content_type), string_of(record.etag), string_of(record.body)};
}

std::string LoadedInstance::exported(std::string_view name, std::int64_t now_ms) {
  const bool there = library().struct_size > offsetof(wheymark_plugin, export_text) &&
                     library().export_text != nullptr;
  if (!there) throw WorldIsWrong("the library libwheymark that was found is too old to export");
  std::string text;
  const auto append = [](void* context, wheymark_text piece) {
    static_cast<std::string*>(context)->append(view_of(piece));
  };
  if (library().export_text(instance_, text_of(name), now_ms, &text, append) != WHEYMARK_OK) {
    throw WorldIsWrong("nothing was exported: see the lines above");
  }
  return text;
}

std::string LoadedInstance::answer_to(std::string_view question, std::int64_t now_ms) {
  const bool there =
      library().struct_size > offsetof(wheymark_plugin, ask) && library().ask != nullptr;
  if (!there) throw WorldIsWrong("the library libwheymark that was found is too old to be asked");
  std::string text;
  const auto append = [](void* context, wheymark_text piece) {
    static_cast<std::string*>(context)->append(view_of(piece));
  };
  if (library().ask(instance_, text_of(question), now_ms, &text, append) != WHEYMARK_OK) {
    throw WorldIsWrong("there is no answer: see the lines above");
  }
  return text;
}

std::string LoadedInstance::remember(std::string_view table, std::int64_t now_ms) {
  const bool there =
      library().struct_size > offsetof(wheymark_plugin, remember) && library().remember != nullptr;
  if (!there) throw WorldIsWrong("the library libwheymark that was found is too old to remember");
  std::string text;
  const auto append = [](void* context, wheymark_text piece) {
    static_cast<std::string*>(context)->append(view_of(piece));
  };
  const wheymark_status status =
      library().remember(instance_, text_of(table), now_ms, &text, append);
  if (status != WHEYMARK_OK) throw WorldIsWrong("nothing was remembered: see the lines above");
  return text;
}

std::int64_t LoadedInstance::next_tick_ms() const {
  return frozen_ ? INT64_MAX : library().next_tick_ms(instance_);
}

}  // namespace wheymark
