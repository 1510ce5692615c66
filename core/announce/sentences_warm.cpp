// The sentences about milk that does not sour, and about kefir that is left on the table.
#include <fmt/format.h>

#include "core/announce/cautions.hpp"
#include "core/announce/describe.hpp"
#include "core/basis/check.hpp"
#include "core/household/household.hpp"
#include "core/household/not_souring.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

void tell_not_souring(const Household& household, const Batch& batch, Announcement& out) {
  const auto plain_milk = not_souring(household, batch);
  check(plain_milk.has_value(), "milk that does not sour was seen");
  const Sign* sign = std::get_if<Sign>(&plain_milk->seen.what);
  out.text = fmt::format(
      "{}: {} after {:.0f} h in the warm, where grains sour milk within a day. That is plain milk "
      "that stood warm: do not taste it, throw it out and wash the jar with hot water. Try its "
      "grains in a little fresh milk, or start from others.",
      name_of_jar(batch.jar(), household.setup()),
      sign != nullptr ? "still milk"
                      : fmt::format("pH {:.1f}", std::get<double>(plain_milk->seen.what)),
      plain_milk->hours);
  add_detail(out, "batch_started", batch.started);
  add_detail(out, "hours", plain_milk->hours);
  out.caution = cautions::warm_milk;
}

void tell_left_out(const Household& household, const Batch& batch, Announcement& out) {
  const HouseholdSetup& setup = household.setup();
  const auto left_out = household.left_out(batch);
  check(left_out.has_value(), "kefir that is left out is out of the fridge");
  const bool too_old = out.time >= left_out->too_old;
  out.text = fmt::format(
      "{}: its kefir stands out of the fridge since {} ({}), {}.", name_of_jar(batch.jar(), setup),
      day_and_clock_text(left_out->since, setup), name_of_place(batch.place(), setup),
      too_old ? "and is as old by now as on its last day in the fridge"
              : "which is as long as a day at room warmth");
  out.text += too_old
                  ? " Common practice is to throw it out. Say discard."
                  : " It goes on souring and making gas: put it in the fridge and say store. If "
                    "it is gone, say finish.";
  add_detail(out, "batch_started", batch.started);
  add_detail(out, "left_out", left_out->since);
  add_detail(out, "hours", hours_between(left_out->since, out.time));
  out.caution = cautions::kefir_left_out;
}

}  // namespace

void describe_warm_milk(const Household& household, const Batch& batch, Announcement& out) {
  switch (out.kind) {
    case EventKind::not_souring:
      return tell_not_souring(household, batch, out);
    case EventKind::left_out:
      return tell_left_out(household, batch, out);
    default:
      check(false, "warm milk tells of its warmth");
  }
}

}  // namespace wheymark
