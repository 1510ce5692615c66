// One running Wheymark behind the C boundary: the parts are put together here, and every call of
// the host becomes calls of them.
//
// Always in this order: decide, record, apply, publish. Readings, Reports and Events decide;
// Journal records and applies what they have decided, as one step; Publisher shows it. A fact that
// could not be recorded is refused; an announcement that could not be recorded is tried again. One
// call at a time; `now` is the host's clock as host_clock.hpp corrects it.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "core/announce/announcer.hpp"
#include "core/household/household.hpp"
#include "core/notice/attention.hpp"
#include "plugin/configuration/configuration.hpp"
#include "plugin/library/events.hpp"
#include "plugin/library/host.hpp"
#include "plugin/library/host_clock.hpp"
#include "plugin/library/journal.hpp"
#include "plugin/library/outbox.hpp"
#include "plugin/library/publisher.hpp"
#include "plugin/library/questions.hpp"
#include "plugin/library/readings.hpp"
#include "plugin/library/reception.hpp"
#include "plugin/library/remarks.hpp"
#include "plugin/library/reports.hpp"
#include "plugin/store/store.hpp"
#include "plugin/tile/document.hpp"
#include "plugin/wire/homie_household.hpp"

namespace wheymark {

class Instance {
 public:
  // Restores the household from the store's journal. Refused when it cannot be read.
  static Result<std::unique_ptr<Instance>> opened(const Host& host, Configuration configuration,
                                                  std::unique_ptr<Store> store);
  ~Instance() = default;
  Instance(const Instance&) = delete;
  Instance& operator=(const Instance&) = delete;

  [[nodiscard]] const Configuration& configuration() const { return configuration_; }
  [[nodiscard]] const std::string& will_topic() const { return publisher_.own_state_topic(); }

  void connected(Instant now);
  void subscribed(Instant now);
  void disconnected(Instant now);
  void message(std::string_view topic, std::string_view payload, bool retained, Instant now);
  void tick(Instant now);
  void delivered(std::uint64_t delivery, Instant now);
  void stop(Instant now);

  // The document at a path, as of `now`; see plugin/tile/documents.hpp.
  [[nodiscard]] std::optional<Document> document_at(std::string_view path, Instant now) const;
  // A document about the past (see plugin/history/document.hpp), as of `now` or of the journal's
  // last instant, whichever is later. Changes nothing.
  [[nodiscard]] Result<std::string> export_text(std::string_view name, Instant now) const;
  // The answer to a question (see plugin/wire/question.hpp), as JSON. Changes nothing.
  [[nodiscard]] Result<std::string> answer_to(std::string_view question, Instant now) const;

  // Records the batches of before in a table (see remembering.hpp), all or none; returns what was
  // done, in a sentence, or why not: a line for each place that is wrong.
  Result<std::string> remember(std::string_view csv, Instant now);

  // When the next tick is wanted; nothing: never, as things are.
  [[nodiscard]] std::optional<Instant> next_tick() const { return next_tick_; }

 private:
  Instance(const Host& host, Configuration configuration, std::unique_ptr<Store> store);

  // Sets the time from the host's instant; false while the clock is not set, when nothing can be
  // claimed. The first sane instant greets a broker that was connected before.
  bool at(Instant now);
  // Time went back: what was scheduled for an instant of the future is done soon.
  void schedule_again_after_going_back();
  void greet();
  void receive_presence(std::string_view payload);
  // Decides, records and applies what a message says; returns what that means for publishing.
  Cause receive(std::string_view topic, std::string_view payload, bool retained);
  // The time, and since when what comes now may have waited.
  [[nodiscard]] HostTime time_of_what_comes() const;
  // Announces what is due, publishes what has changed, and schedules the next tick.
  void settle(Cause cause);
  void schedule_next_tick();

  // Each needs only those above it.
  Host host_;
  Configuration configuration_;
  std::unique_ptr<Store> store_;
  Household household_;
  Announcer announcer_;
  Attention attention_;
  HomieHousehold homie_;
  Remarks remarks_;
  Outbox outbox_;
  Journal journal_;
  Events events_;
  Publisher publisher_;
  Readings readings_;
  Reports reports_;
  Questions questions_;
  Reception reception_;

  HostClock clock_;
  HostTime time_;
  bool connected_ = false;
  bool subscribed_ = false;
  std::optional<Instant> heard_until_;  // before the present connection; nothing before the first
  std::optional<Instant> next_tick_;
};

}  // namespace wheymark
