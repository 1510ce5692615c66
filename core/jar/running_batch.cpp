#include "core/jar/running_batch.hpp"

namespace wheymark {

void RunningBatch::follow(const Batch& batch, const AirOf& air) {
  fermentation_.follow(batch, air);
  if (batch.ended) return;  // only what it taught still matters
  if (!batch.stored.empty()) {
    if (!ageing_) ageing_.emplace(batch, *setup_, *parameters_);
    ageing_->follow(batch, air);
  }
  if (batch.lid == Lid::tight) {
    if (!lid_) lid_.emplace(batch, *setup_, *parameters_);
    lid_->follow(batch, air);
  } else {
    lid_.reset();
  }
}

bool RunningBatch::has_gone_beyond(Instant instant) const {
  return fermentation_.has_gone_beyond(instant) || (ageing_ && ageing_->has_gone_beyond(instant)) ||
         (lid_ && lid_->has_gone_beyond(instant));
}

}  // namespace wheymark
