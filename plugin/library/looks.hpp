// When must what is shown of a jar, a culture or a place be computed and published again?
//
// At once when somebody reported something; half a minute apart while a thermometer streams,
// perhaps each second; and when time alone may have changed it. A jar's picture costs more than all
// the numbers, so it is drawn each five minutes, or when somebody reported something.
#pragma once

#include <optional>
#include <unordered_map>
#include <vector>

#include "core/basis/agenda.hpp"
#include "core/household/subject.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Why something may have changed.
enum class Cause { somebody_said, a_thermometer_read, time_passed };

class Looks {
 public:
  // Everything is due at once.
  void look_at_everything(const HouseholdSetup& setup, Instant now);
  // What has changed is due at once, or for a reading a little later, if it was published just
  // before.
  void schedule(const std::vector<Subject>& changed, Cause cause, Instant now);

  // What must be published by now; it stays due until was_looked_at().
  [[nodiscard]] std::vector<Subject> due(Instant now) const { return agenda_.due(now); }
  // `again_at` is empty when only a change makes it due again.
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
