// The household's kefir as properties of the root device.
#pragma once

#include <vector>

#include "core/household/stock.hpp"
#include "plugin/wire/homie_device.hpp"

namespace wheymark {

const std::vector<Property<Stock>>& stock_properties();

}  // namespace wheymark
