#include "plugin/wire/homie_device.hpp"

#include <cstdint>

#include "plugin/wire/fingerprint.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

json description_of(const PropertyShape& property) {
  json described = {{"name", property.name}, {"datatype", property.datatype}};
  if (!property.format.empty()) described["format"] = property.format;
  if (!property.unit.empty()) described["unit"] = property.unit;
  if (property.settable) described["settable"] = true;
  if (!property.retained) described["retained"] = false;
  return described;
}

// Folded to 31 bits and never 0: a number that any client can hold.
std::uint32_t version_of(const std::string& content) {
  const std::uint64_t hash = fingerprint(content);
  return static_cast<std::uint32_t>((hash ^ (hash >> 32)) & 0x7fffffffU) | 1U;
}

}  // namespace

std::string description(const DeviceShape& device) {
  json described = {{"homie", "5.0"}, {"name", device.name}, {"type", device.type}};
  if (!device.root.empty()) described["root"] = device.root;
  if (!device.children.empty()) described["children"] = device.children;
  json nodes = json::object();
  for (const NodeShape& node : device.nodes) {
    json properties = json::object();
    for (const PropertyShape& property : device.properties) {
      if (property.node == node.id) {
        properties[std::string(property.id)] = description_of(property);
      }
    }
    nodes[std::string(node.id)] = {{"name", node.name}, {"properties", std::move(properties)}};
  }
  described["nodes"] = std::move(nodes);
  described["version"] = version_of(text_of(described));
  return text_of(described);
}

}  // namespace wheymark
