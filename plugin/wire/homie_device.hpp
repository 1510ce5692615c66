// Devices, nodes and properties as the Homie 5 convention describes them.
//
// A kind of device is a table of properties, each with the function that gives its value; the
// description and the published values both come from that one table, so they cannot disagree.
#pragma once

#include <nlohmann/json.hpp>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace wheymark {

struct NodeShape {
  std::string_view id;
  std::string_view name;
};

// What stays the same of a property. Empty texts are left out of the description.
struct PropertyShape {
  std::string_view node;
  std::string_view id;
  std::string_view name;
  std::string_view datatype;
  std::string_view unit;
  std::string format;
  bool settable = false;
  bool retained = true;
};

// A property of a device whose state is a `View`; `value` gives the payload, empty: not known.
template <class View>
struct Property {
  PropertyShape shape;
  std::string (*value)(const View&);
};

// A topic below the device, "batch/stage", and its payload; an empty payload is "not known".
using PropertyValue = std::pair<std::string, std::string>;

template <class View>
std::vector<PropertyValue> values_of(const std::vector<Property<View>>& properties,
                                     const View& view) {
  std::vector<PropertyValue> values;
  values.reserve(properties.size());
  for (const Property<View>& property : properties) {
    values.emplace_back(std::string(property.shape.node) + "/" + std::string(property.shape.id),
                        property.value(view));
  }
  return values;
}

template <class View>
std::vector<PropertyShape> shapes_of(const std::vector<Property<View>>& properties) {
  std::vector<PropertyShape> shapes;
  shapes.reserve(properties.size());
  for (const Property<View>& property : properties) shapes.push_back(property.shape);
  return shapes;
}

struct DeviceShape {
  std::string id;
  std::string name;
  std::string type;
  std::string root;                   // empty for the root itself
  std::vector<std::string> children;  // of the root
  std::vector<NodeShape> nodes;
  std::vector<PropertyShape> properties;
};

// The payload of `$description`. Its version is made of its content, so it changes with it.
std::string description(const DeviceShape& device);

// Every word of an enumeration, as the format of an enum property: "a,b,c".
template <class Words>
std::string enum_format(const Words& words) {
  std::string format;
  for (const auto& word : words) {
    if (!format.empty()) format += ',';
    format += word.text;
  }
  return format;
}

}  // namespace wheymark
