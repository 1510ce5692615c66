#include "core/pace/culture_learning.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace wheymark {
namespace {

bool taught_earlier(const Lesson& a, const Lesson& b) {
  return std::tie(a.at, a.batch) < std::tie(b.at, b.batch);
}

}  // namespace

CultureLearning::CultureLearning(const CulturePace& unknown)
    : settled_{unknown, CultureHealth(), StrainingHabit()}, now_(settled_) {}

void CultureLearning::Learned::learn(const Lesson& lesson, const PaceEvidence& usual) {
  const PaceEvidence evidence =
      lesson.strained
          ? habit.learn(lesson.evidence, *lesson.strained, pace.given(usual).of_a_batch(lesson.at))
          : lesson.evidence;
  if (!evidence.says_something()) return;
  if (!lesson.remembered) health.learn(lesson.batch, lesson.at, evidence, lesson.log_warmth, pace);
  pace.learn(evidence, lesson.at);
}

void CultureLearning::learn(Lesson lesson) {
  const auto known = std::find_if(lessons_.begin(), lessons_.end(),
                                  [&](const Lesson& l) { return l.batch == lesson.batch; });
  const bool is_new = known == lessons_.end();
  if (is_new && (lessons_.empty() || taught_earlier(lessons_.back(), lesson))) {
    now_.learn(lesson, usual_);
    lessons_.push_back(std::move(lesson));
    return;
  }
  if (!is_new) lessons_.erase(known);
  lessons_.insert(std::upper_bound(lessons_.begin(), lessons_.end(), lesson, taught_earlier),
                  std::move(lesson));
  fold_again();
}

void CultureLearning::know_usual(PaceEvidence usual) {
  usual_ = std::move(usual);
  fold_again();
}

void CultureLearning::forget(std::uint64_t batch) {
  if (std::erase_if(lessons_, [&](const Lesson& l) { return l.batch == batch; }) > 0) fold_again();
}

void CultureLearning::settle_before(Instant instant) {
  const auto open = std::find_if(lessons_.begin(), lessons_.end(),
                                 [&](const Lesson& l) { return l.at >= instant; });
  for (auto lesson = lessons_.begin(); lesson != open; ++lesson) settled_.learn(*lesson, usual_);
  lessons_.erase(lessons_.begin(), open);
}

void CultureLearning::fold_again() {
  now_ = settled_;
  for (const Lesson& lesson : lessons_) now_.learn(lesson, usual_);
}

CulturePace CultureLearning::pace_without(std::uint64_t batch, Instant grains_out) const {
  const auto others_before = [&](const Lesson& l) {
    return l.batch != batch && l.at <= grains_out;
  };
  if (std::all_of(lessons_.begin(), lessons_.end(), others_before)) {
    return pace();
  }
  Learned learned = settled_;
  for (const Lesson& lesson : lessons_) {
    if (others_before(lesson)) learned.learn(lesson, usual_);
  }
  return learned.pace.given(usual_);
}

}  // namespace wheymark
