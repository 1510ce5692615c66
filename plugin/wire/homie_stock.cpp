#include "plugin/wire/homie_stock.hpp"

#include "plugin/wire/number_text.hpp"

namespace wheymark {
namespace {

// Kitchens do not measure closer than to a hundredth of a litre.
std::string litres(std::optional<double> ml) {
  return ml ? decimal(*ml / 1000.0, 2) : "";
}

}  // namespace

const std::vector<Property<Stock>>& stock_properties() {
  using V = const Stock&;
  static const std::vector<Property<Stock>> properties{
      {{"stock", "volume", "Kefir in all bottles and jars", "float", "L", "0:"},
       [](V v) { return litres(v.kefir_ml); }},
      {{"stock", "use-first", "Use first", "string", "", ""},
       [](V v) { return v.use_first ? v.use_first->text() : ""; }},
      {{"stock", "daily", "Kefir drunk a day", "float", "L", "0:"},
       [](V v) { return litres(v.ml_per_d); }},
      {{"stock", "lasts", "All of it lasts", "float", "d", "0:"},
       [](V v) { return v.lasts_d ? decimal(*v.lasts_d, 1) : ""; }},
      {{"stock", "next-milk", "Milk to set next", "float", "mL", "0:"},
       [](V v) { return v.milk_ml ? decimal(*v.milk_ml, 0) : ""; }},
  };
  return properties;
}

}  // namespace wheymark
