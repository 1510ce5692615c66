// When must what is shown of a jar, a culture or a place be looked at again?
//
// At once when somebody said something; half a minute apart while a thermometer streams, which may
// speak each second; and when time alone may have moved it. A jar's picture costs more than all the
// numbers, so it is drawn each five minutes, or when somebody said something.
#pragma once

#include <optional>
#include <unordered_map>
#include <vector>

#include "core/basis/agenda.hpp"
#include "core/household/subject.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Why something may stand otherwise now.
enum class Cause { somebody_said, a_thermometer_read, time_passed };

class Looks {
 public:
  // Whatever there is, at once.
  void look_at_everything(const HouseholdSetup& setup, Instant now);
  // What has changed: at once, or for a reading a little later, if it was looked at just before.
  void schedule(const std::vector<Subject>& changed, Cause cause, Instant now);

  // What must be looked at by now; it stays so until it was looked at.
  [[nodiscard]] std::vector<Subject> due(Instant now) const { return agenda_.due(now); }
  // Nothing: not until it changes.
  void was_looked_at(const Subject& subject, std::optional<Instant> again_at) {
    agenda_.schedule(subject, again_at);
  }
  [[nodiscard]] std::optional<Instant> next() const { return agenda_.next(); }

  // Whether a jar's picture must be drawn again; then it counts as drawn now.
  bool picture_is_due(const Subject& jar, Instant now);

 private:
  Agenda<Subject> agenda_;
  std::unordered_map<Subject, Instant> looked_at_for_reading_;  // the last time
  std::unordered_map<Subject, Instant> next_picture_at_;        // by jar
};

}  // namespace wheymark
