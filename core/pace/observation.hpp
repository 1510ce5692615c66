// What a report about a batch says of its pace.
//
// A report of a sign tells two things: the next sign is not there yet, and this one came at some
// time since somebody last looked. People look while they are awake, so hours of the night hardly
// count as hours of looking: what is reported at seven may have come at any hour of the night, what
// is reported at noon came lately. A sign that was reported before tells only that the next has
// still not come. A pH tells how far the acid was, to the error of a household's meter or strip and
// of the curve's shape. A verdict at straining tells where in the peak it was.
//
// Pace is measured by the peak's opening; the other signs lie before and after it by the
// household's sign spacing (sign_spacing.hpp).
#pragma once

#include <functional>
#include <vector>

#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/kinetics/signs.hpp"
#include "core/pace/clock_track.hpp"
#include "core/pace/pace_evidence.hpp"

namespace wheymark {

// Hours between two instants in which somebody may have looked at the jar: all the waking hours,
// and little of the others.
using LookedHours = std::function<double(Instant from, Instant to)>;

// A look at a jar: how far its acid clock (pace 1) was, and how likely it is that something that
// was seen had come so much earlier and nobody had reported it.
class Look {
 public:
  // `track` reaches to `at` or beyond.
  Look(const ClockTrack& track, Instant at, const LookedHours& looked_h);

  // > 0, or the look tells nothing.
  [[nodiscard]] double clock_h() const { return clock_h_; }
  // For a sign that came when ln(clock) was `earlier` (not negative) less: 1 for one that has just
  // come, falling with the hours in which somebody could have reported it before.
  [[nodiscard]] double unsaid_so_long(double earlier) const;

 private:
  double clock_h_;
  std::vector<double> unsaid_;  // for each step of ln(clock) back
};

// `seen_before` is the sign that was reported last before, in this batch: still milk if none was.
void weigh_sign(PaceEvidence& evidence, Sign sign, Sign seen_before, const Look& look,
                const Milestones& milestones, const Parameters& parameters);

// `readings_before` of the same batch share its error, so each adds less than the one before. A
// meter is trusted as a kitchen's is, or less where it is said to be worse.
void weigh_ph(PaceEvidence& evidence, double ph, double error_ph, int readings_before,
              const Look& look, const AcidCurve& curve, const Milestones& milestones,
              const Parameters& parameters);

// Strained by somebody who strains what shows whey pockets, without a word. In this share of cases
// (0 to 1) they looked by themselves, or again after a while; else they went there because they
// were told, as likely as `once_told_per_h` each hour by then, and it may have come long before.
// Returns the likelihood of the hour where the evidence is 1, each hour awake.
double weigh_straining(PaceEvidence& evidence, double looked_share, double once_told_per_h,
                       const Look& look, const Milestones& milestones,
                       const Parameters& parameters);

void weigh_verdict(PaceEvidence& evidence, Verdict verdict, Sign seen_before, const Look& look,
                   const Milestones& milestones, const Parameters& parameters);

}  // namespace wheymark
