#include "plugin/library/host.hpp"

#include <algorithm>
#include <cstring>

namespace wheymark {

Host::Host(const wheymark_host& table) : table_{} {
  std::memcpy(&table_, &table, std::min<std::size_t>(table.struct_size, sizeof table_));
}

bool Host::publish(const Outgoing& message) const {
  if (table_.publish == nullptr) return false;
  wheymark_message out{};
  out.struct_size = sizeof out;
  out.qos = message.qos;
  out.retain = message.retain ? 1 : 0;
  out.topic = as_text(message.topic);
  out.payload = as_text(message.payload);
  out.content_type = as_text(message.content_type);
  out.delivery = message.delivery;
  return table_.publish(table_.context, &out) == 0;
}

bool Host::subscribe(std::string_view filter, std::uint8_t qos) const {
  return table_.subscribe != nullptr && table_.subscribe(table_.context, as_text(filter), qos) == 0;
}

void Host::log(wheymark_level level, std::string_view line) const {
  if (table_.log != nullptr) table_.log(table_.context, level, as_text(line));
}

}  // namespace wheymark
