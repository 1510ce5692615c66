#include "plugin/library/reports.hpp"

#include <fmt/format.h>
#include <span>
#include <utility>

#include "core/household/report_answer.hpp"
#include "core/notice/guidance.hpp"
#include "core/record/ledger.hpp"
#include "core/record/local_time.hpp"
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

// MQTT does not tell when it was sent.
std::string waited_text(Instant not_before, const HouseholdSetup& setup) {
  return fmt::format(
      "it waited at the broker, so it may have been said at any time since {}; it counts as of "
      "now. "
      "If it was much earlier, say undo, and say it again with \"at\"",
      day_and_clock_text(not_before, setup));
}

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
  Report report = said;
  report.not_before = time.not_before;
  const auto decided = household_.decide(report, time.now);
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
  if (record.not_before && !takes_back(record.fact)) {
    if (!out.why.empty()) out.why += "; ";
    out.why += waited_text(*record.not_before, household_.setup());
  }
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
