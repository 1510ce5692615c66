#include "plugin/library/reports.hpp"

#include <span>
#include <utility>

#include "core/household/report_answer.hpp"
#include "core/notice/guidance.hpp"
#include "plugin/wire/fact_json.hpp"
#include "plugin/wire/notice_event.hpp"

namespace wheymark {
namespace {

// What one household reports in a busy hour, and then one fact every ten seconds: a flood must not
// fill the disk.
constexpr double facts_at_once = 300.0;
constexpr double facts_at_once_per_jar = 10.0;
constexpr double facts_per_h = 360.0;

constexpr const char* too_much = "more is said at once than can be kept; say it again in a while";
constexpr const char* not_kept = "it could not be kept, so it does not count; say it again: ";

}  // namespace

Reports::Reports(std::string prefix, const Household& household, Events& events, Journal& journal)
    : prefix_(std::move(prefix)),
      household_(household),
      events_(events),
      journal_(journal),
      allowance_(facts_at_once +
                     facts_at_once_per_jar * static_cast<double>(household.setup().jars.size()),
                 facts_per_h) {}

Reports::Received Reports::receive(const Report& said, const HostTime& time) {
  Answer out;
  out.ref = said.ref;
  out.fact = std::string(fact_words[said.fact.index()]);
  const auto refused = [&](const std::string& why) -> Received {
    out.accepted = false;
    out.id.reset();
    out.why = why;
    return {out, false};
  };
  if (!time.is_set) return refused("the clock here is not set yet; say it again once it is");
  // An event that waits for the disk is announced before a fact ends what it is about.
  if (const Outcome told = events_.announce_at_once(time.now); !told) {
    return refused(not_kept + told.why());
  }
  const auto decided = household_.decide(said, time.now);
  if (!decided) return refused(decided.why());
  const FactRecord& record = decided.value().record;
  out.accepted = true;
  out.id = record.number;
  if (decided.value().reported_before) {
    out.fact = std::string(fact_words[record.fact.index()]);
    out.why = "this ref was said before; it counts once";
    return {out, false};
  }
  if (!allowance_.allows(time.now)) return refused(too_much);
  out.why = answer_to(record, household_);
  const std::string& understood = decided.value().understood;
  if (!out.why.empty() && !understood.empty()) out.why += "; ";
  out.why += understood;
  if (std::holds_alternative<Strain>(record.fact)) {
    out.fields = steps_text(steps_after_straining(record, household_));
  }
  const Entry entry{record};
  // The answer is committed with the fact or not at all.
  const Outcome kept = journal_.record_and_apply(
      std::span(&entry, 1), {outbox_message_of(out, prefix_)}, Durable::at_once, time.now);
  if (!kept) return refused(not_kept + kept.why());
  return {out, true};
}

}  // namespace wheymark
