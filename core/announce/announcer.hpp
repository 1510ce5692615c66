// What there is to announce of a household, and when: each occurrence once.
//
// It reads the household and keeps what has been announced. An announcement is an entry of the
// journal, so that nobody is told twice. An agenda holds, for each batch, culture, jar and place,
// when there will next be something to announce; only what has changed is computed again.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

#include "core/announce/announcement.hpp"
#include "core/announce/occurrences.hpp"
#include "core/basis/agenda.hpp"
#include "core/household/household.hpp"

namespace wheymark {

class Announcer {
 public:
  // `household` must outlive it. This does not change its state, but drains its news.
  explicit Announcer(Household& household);

  // Applies an entry of the journal, after the household did.
  void apply(const Entry& entry);
  // Since when we hear the thermometers: before that, nobody could know of their silence.
  void listen_from(Instant instant);
  [[nodiscard]] Instant listening_since() const { return listening_since_; }

  // What must be announced by now and has not been, in the order in which it became true. It stays
  // due until an Announced entry with its id is applied.
  [[nodiscard]] std::vector<Announcement> due(Instant now);
  // When `due` will next return something if nothing else comes in; nothing: never.
  [[nodiscard]] std::optional<Instant> next_due();

 private:
  // A culture's pace that has changed.
  struct PaceChanged {
    CultureId culture;
    PaceChange change;
  };
  // What an occurrence is of.
  using About = std::variant<const Batch*, const PlaceSetup*, const CultureSetup*, const JarSetup*,
                             PaceChanged>;
  struct Pending {
    Occurrence occurrence;
    About about;
    Subject subject;
  };
  // What there is to announce of it, without warnings of what has come by `overtaken_at`.
  [[nodiscard]] std::vector<Pending> pending_of(const Subject& subject, Instant overtaken_at) const;
  void add_of_batch(std::vector<Pending>& pending, const Subject& subject,
                    Instant overtaken_at) const;
  void add_of_culture(std::vector<Pending>& pending, const Subject& subject,
                      Instant overtaken_at) const;
  // Those of `occurrences` that were not announced and are not overtaken.
  void add_unannounced(std::vector<Pending>& pending, const std::vector<Occurrence>& occurrences,
                       const About& about, const Subject& subject, Instant overtaken_at) const;
  [[nodiscard]] Announcement announcement_of(const Pending& pending, Instant now) const;
  [[nodiscard]] bool was_announced(const std::string& id) const { return announced_.contains(id); }
  // When an id was announced, if it was.
  [[nodiscard]] Told told() const;
  void bring_agenda_up_to_date();

  Household& household_;
  std::map<std::string, Instant> announced_;  // when, by id
  Agenda<Subject> agenda_;                    // when there will be something to announce of each
  ChangedSubjects not_on_agenda_;             // whose next occurrence must be found again
  // Places with an announcement since their last reading; the next reading may end what it was
  // about.
  std::set<PlaceId> spoken_of_;
  Instant listening_since_{};
};

}  // namespace wheymark
