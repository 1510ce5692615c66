// The sentences by subject: each fills in text, caution and details of what is to be announced.
#pragma once

#include <string>
#include <utility>
#include <variant>

#include "core/announce/announcement.hpp"
#include "core/household/household.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

inline void add_detail(Announcement& out, std::string name,
                       std::variant<double, Instant, std::string> value) {
  out.details.push_back({std::move(name), std::move(value)});
}

// What ends with a question stays one.
inline std::string as_sentence(const std::string& words) {
  return words.ends_with('?') ? words : words + ".";
}

// From the start to the straining.
void describe_batch(const Household& household, const Batch& batch, Announcement& out, Instant now);
// Its bottle in the fridge, and its dates.
void describe_bottle(const Household& household, const Batch& batch, Announcement& out,
                     Instant now);
// Milk or kefir that stands warm.
void describe_warm_milk(const Household& household, const Batch& batch, Announcement& out);
// The gas under its lid.
void describe_lid(const Household& household, const Batch& batch, Announcement& out, Instant now);
// Something that nobody must taste was seen in its bottle.
void describe_suspect(const Household& household, const Batch& batch, Announcement& out);
// Its second fermentation.
void describe_second(const Household& household, const Batch& batch, Announcement& out,
                     Instant now);
// A jar, whatever is in it.
void describe_jar(const Household& household, const JarSetup& jar, Announcement& out);
void describe_grains(const Household& household, const CultureSetup& culture, Announcement& out,
                     Instant now);
// A place's warmth, and its thermometer.
void describe_warmth(const Household& household, const PlaceSetup& place, Announcement& out,
                     Instant now);
void describe_thermometer(const Household& household, const PlaceSetup& place, Announcement& out);

}  // namespace wheymark
