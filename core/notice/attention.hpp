// The attention policy: which notice, when, to whom. In one place, and pure.
//
// Events are facts at their instant; a notice is for a person. What wants attention (matters) is
// grouped into few notices at moments that can be foreseen: a morning's and an evening's word, and
// one when something must be done within the hour. Nothing is told twice, nothing that only echoes
// what was just done, and at night nothing but safety. Each day has a budget.
//
// Household and time make the matters; what was told is folded from the journal (ToldNotices). It
// looks on the ten minutes of the clock, so that a restart tells the same as a life without one.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/forecast/in_time.hpp"
#include "core/household/household.hpp"
#include "core/notice/notice.hpp"
#include "core/notice/told.hpp"

namespace wheymark {

class Attention {
 public:
  // `household` must outlive it. This does not change it.
  explicit Attention(const Household& household) : household_(household) {}

  // Applies an entry of the journal, after the household did.
  void apply(const Entry& entry);
  // Since when the thermometers are heard.
  void listen_from(Instant instant) { listening_since_ = instant; }
  // Whether somebody is at home, as far as anybody said.
  void presence(bool somebody_is_home);
  void clock_went_back(Instant now);
  // What was due last could not be recorded: it is due again.
  void could_not_be_kept();

  // What must be told now, at most one of safety and one other. It stays due until a Noticed entry
  // with its matters is applied.
  [[nodiscard]] std::vector<Notice> due(Instant now);
  // When it will look again if nothing else comes in; nothing: never, as things are.
  [[nodiscard]] std::optional<Instant> next_due() const;

 private:
  // A moment of the day at which notices are told.
  struct Moment {
    NoticeKind kind;
    Instant bedtime;     // of this day
    Instant getting_up;  // after the night that follows
  };
  [[nodiscard]] std::optional<Moment> moment(Instant now) const;
  [[nodiscard]] bool is_told(const std::string& key) const { return told_.matter(key) != nullptr; }

  [[nodiscard]] std::vector<Matter> safety(Instant now) const;
  [[nodiscard]] bool is_to_be_strained(const Batch& batch) const;
  // The matters for this moment; nothing when it is better to be silent.
  [[nodiscard]] std::vector<Matter> chosen(const Moment& moment, Instant now);
  void add_of_batch(std::vector<Matter>& matters, const Batch& batch, const Moment& moment,
                    Instant now, std::span<const Attended> attended);
  [[nodiscard]] std::optional<Matter> straining_of(const Batch& batch, const Moment& moment,
                                                   Instant now, std::span<const Attended> attended);
  [[nodiscard]] std::optional<Matter> cooled_of(const Batch& batch, const Moment& moment,
                                                Instant now) const;
  void add_feedings(std::vector<Matter>& matters, const Moment& moment, Instant now) const;
  // What comes today while nobody is there.
  [[nodiscard]] std::vector<Matter> leaving(Instant now) const;
  [[nodiscard]] int budget() const;
  // Whether what is left of the day's budget is for this.
  [[nodiscard]] bool may_tell(const Moment& moment, const std::vector<Matter>& matters,
                              Instant now) const;
  [[nodiscard]] Notice notice_of(NoticeKind kind, std::vector<Matter> matters, Instant now) const;

  const Household& household_;
  ToldNotices told_;
  std::optional<bool> somebody_is_home_;
  Instant listening_since_{};
  std::optional<Instant> looked_at_;  // on the ten minutes
  bool safety_may_have_changed_ = false;
  bool just_left_ = false;
  bool peaks_today_ = false;           // seen while choosing: a straining lies ahead today
  std::optional<Instant> evening_of_;  // the bedtime before which the evening was considered
  std::optional<Instant> morning_of_;  // the bedtime of the day whose morning was considered
};

}  // namespace wheymark
