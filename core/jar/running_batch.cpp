#include "core/jar/running_batch.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/check.hpp"

namespace wheymark {

void RunningBatch::follow(const Batch& batch, const AirOf& air) {
  if (second_ && second_->begun != batch.sweetened.back().at) second_.reset();
  if (!batch.stored.empty() && !ageing_) ageing_.emplace(batch);
  const auto out_since = out_of_fridge_since(batch, *setup_);
  if (out_ && out_->since() != out_since) out_.reset();
  if (batch.lid != Lid::tight) {
    lid_.reset();
  } else if (!lid_ || !lid_->is_of(batch)) {
    lid_.emplace(batch, *setup_, *parameters_);
  }
  course_.follow(batch, air, [&](const Condition& from, const Condition& to) {
    add_step(batch, air, from, to);
  });
  fermentation_.weigh(batch, course_, air);
  if (ageing_ && !ageing_->begins() && course_.settled()) {
    ageing_->expect(age_when_stored(batch, air));
  }
}

void RunningBatch::add_step(const Batch& batch, const AirOf& air, const Condition& from,
                            const Condition& to) {
  fermentation_.add(batch, from, to);
  if (batch.ended) return;  // only what it taught still matters
  if (ageing_ && to.at > batch.stored.front().at) {
    ageing_->add(age_when_stored(batch, air), from, to);
  }
  const auto out_since = out_of_fridge_since(batch, *setup_);
  if (out_since && to.at > *out_since) {
    const auto then = course_.at(batch, air, *out_since);
    if (!out_ && then) out_.emplace(*then, *parameters_);
    if (out_) out_->add(from, to);
  }
  if (batch.in_second && to.at > batch.sweetened.back().at) {
    const Instant begun = batch.sweetened.back().at;
    if (!second_ || second_->begun != begun) second_ = Second{begun, std::nullopt};
    const auto ready_h = ready_cold_h(batch, air);
    if (ready_h && !second_->ready) second_->ready = cold_clock_passes(*ready_h, from, to);
  }
  if (lid_ && to.at > batch.lid_since) {
    const auto closed = course_.at(batch, air, batch.lid_since);
    if (closed) lid_->add(batch, *closed, to, sugar(batch, air));
  }
}

AgeWhenStored RunningBatch::age_when_stored(const Batch& batch, const AirOf& air) const {
  if (const auto& begins = ageing_->begins()) return *begins;
  return wheymark::age_when_stored(course_, batch, air, *parameters_);
}

double RunningBatch::aged_h(const Batch& batch, const AirOf& air, Instant then) const {
  const auto condition = course_.at(batch, air, then);
  check(condition.has_value(), "the air of a bottle is known or assumed");
  return age_when_stored(batch, air).at(condition->cold_clock_h);
}

std::optional<double> RunningBatch::ready_cold_h(const Batch& batch, const AirOf& air) const {
  const auto begun = course_.at(batch, air, batch.sweetened.back().at);
  if (!begun) return std::nullopt;
  return begun->cold_clock_h + 24.0 * sugar_half_gone_days(*parameters_);
}

Instant RunningBatch::second_ready(const Batch& batch, const AirOf& air) const {
  if (second_ && second_->ready) return *second_->ready;
  const Instant begun = batch.sweetened.back().at;
  const auto ready_h = ready_cold_h(batch, air);
  const auto from = course_.at(batch, air, std::max(begun, settled_at()));
  if (!ready_h || !from) return after_hours(begun, 24.0 * sugar_half_gone_days(*parameters_));
  return after_hours(from->at,
                     (*ready_h - from->cold_clock_h) / ageing_rate(from->milk, *parameters_));
}

std::optional<LeftOut> RunningBatch::left_out(const Batch& batch, const AirOf& air) const {
  const auto since = out_of_fridge_since(batch, *setup_);
  if (!since) return std::nullopt;
  const auto then = course_.at(batch, air, *since);
  const auto last = course_.at(batch, air, std::max(*since, settled_at()));
  if (!then || !last) return std::nullopt;
  return out_.value_or(OutOfFridge(*then, *parameters_)).going_on_from(*last, *parameters_);
}

std::vector<SugarAdded> RunningBatch::sugar(const Batch& batch, const AirOf& air) const {
  constexpr double ml_per_l = 1000.0;
  std::vector<SugarAdded> all;
  for (const Sweetened& sweetened : batch.sweetened) {
    const auto then = course_.at(batch, air, sweetened.at);
    if (!then) continue;
    all.push_back({ml_per_l * sweetened.sugar_g / batch.ml_at(sweetened.at), then->cold_clock_h});
  }
  return all;
}

std::optional<double> RunningBatch::kpa(const Batch& batch, const AirOf& air, Instant then,
                                        Fizz fizz) const {
  if (!lid_) return std::nullopt;
  const auto closed = at(batch, air, batch.lid_since);
  const auto condition = at(batch, air, then);
  if (!closed || !condition) return std::nullopt;
  return lid_->kpa(batch, *closed, *condition, sugar(batch, air), fizz);
}

}  // namespace wheymark
