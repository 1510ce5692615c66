#include "plugin/library/instance.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <utility>

#include "core/basis/limits.hpp"
#include "core/kinetics/parameters.hpp"
#include "plugin/history/document.hpp"
#include "plugin/library/remembering.hpp"
#include "plugin/tile/documents.hpp"
#include "plugin/wire/presence_text.hpp"

namespace wheymark {
namespace {

// What the host refused is offered to it again.
constexpr std::chrono::seconds offered_again_after{10};
// Shorter than this, when something was said matters to nobody.
constexpr std::chrono::minutes worth_telling_after{1};

}  // namespace

Instance::Instance(const Host& host, Configuration configuration, std::unique_ptr<Store> store)
    : host_(host),
      configuration_(std::move(configuration)),
      store_(std::move(store)),
      household_(configuration_.setup, default_parameters()),
      announcer_(household_),
      attention_(household_),
      homie_(configuration_),
      remarks_(host_, homie_, configuration_.homie_log),
      outbox_(host_, *store_),
      journal_(*store_, outbox_, household_, announcer_, attention_),
      events_(configuration_.prefix, configuration_.root_device, announcer_, attention_, journal_),
      publisher_(host_, *store_, configuration_, homie_, household_, remarks_),
      readings_(configuration_, household_, journal_, remarks_),
      reports_(configuration_.prefix, household_, events_, journal_),
      questions_(household_),
      reception_(configuration_.prefix, homie_, reports_, questions_, outbox_, publisher_) {}

Result<std::unique_ptr<Instance>> Instance::opened(const Host& host, Configuration configuration,
                                                   std::unique_ptr<Store> store) {
  std::unique_ptr<Instance> instance(
      new Instance(host, std::move(configuration), std::move(store)));
  const Outcome restored = instance->journal_.restore(instance->clock_);
  if (!restored) return restored.refusal();
  instance->heard_until_ = instance->clock_.latest();
  return instance;
}

// --- what time it is ----------------------------------------------------------------------------

bool Instance::at(Instant now) {
  const bool was_set = time_.is_set;
  time_.is_set = now >= limits::sane_since && now <= limits::sane_until;
  if (!time_.is_set) {
    if (was_set) remarks_.warn("the clock is not set: nothing is believed or claimed until it is");
    // Nobody knows when it will be set; once it is, this has passed already.
    next_tick_.reset();
    if (now < limits::sane_since) next_tick_ = limits::sane_since;
    return false;
  }
  const Instant before = std::exchange(time_.now, clock_.reads(now));
  if (const std::string news = clock_.news(); !news.empty()) remarks_.warn(news);
  if (time_.now < before) schedule_again_after_going_back();
  household_.weigh_thermometers(time_.now);
  if (connected_ && !publisher_.has_greeted()) greet();
  return true;
}

void Instance::schedule_again_after_going_back() {
  journal_.clock_went_back(time_.now);
  events_.clock_went_back(time_.now);
  publisher_.clock_went_back(time_.now);
  household_.clock_went_back(time_.now);
  if (publisher_.has_greeted()) events_.listen_from(time_.now);
}

// --- the connection -----------------------------------------------------------------------------

void Instance::connected(Instant now) {
  connected_ = true;
  subscribed_ = false;
  publisher_.connected();
  reception_.subscribe(host_);
  host_.subscribe(publisher_.own_state_topic(), 0);
  readings_.subscribe(host_);
  if (configuration_.presence) host_.subscribe(configuration_.presence->topic, 0);
  at(now);
}

void Instance::greet() {
  events_.listen_from(time_.now);
  publisher_.greet(time_.now);
  if (const Outcome sent = outbox_.connected(); !sent) remarks_.warn(sent.why());
  settle(Cause::time_passed);
  if (subscribed_) publisher_.become_ready();
}

void Instance::subscribed(Instant now) {
  subscribed_ = connected_;
  if (at(now)) publisher_.become_ready();
}

void Instance::disconnected(Instant now) {
  if (connected_ && time_.is_set) heard_until_ = time_.now;
  connected_ = false;
  subscribed_ = false;
  publisher_.disconnected();
  outbox_.disconnected();
  at(now);
}

void Instance::delivered(std::uint64_t delivery, Instant now) {
  at(now);
  Outcome kept = Nothing{};
  if (!publisher_.delivered(delivery, kept)) kept = outbox_.delivered(delivery);
  if (!kept) remarks_.warn(kept.why());
  publisher_.send();
}

void Instance::stop(Instant now) {
  at(now);
  if (const Outcome flushed = journal_.flush(); !flushed) remarks_.warn(flushed.why());
  // What stays retained shows the state at the end.
  if (time_.is_set) {
    household_.weigh_all_thermometers(time_.now);
    publisher_.look_at_everything(time_.now);
  }
  publisher_.say_goodbye(time_.now);
  next_tick_.reset();
}

// --- decide, record, apply, publish -------------------------------------------------------------

void Instance::message(std::string_view topic, std::string_view payload, bool retained,
                       Instant now) {
  at(now);
  if (topic == publisher_.own_state_topic()) {
    if (publisher_.receive_own_state(payload, retained, time_.now)) settle(Cause::time_passed);
    return;
  }
  const Cause cause = receive(topic, payload, retained);
  if (time_.is_set) settle(cause);
}

// The broker sends what it has kept for us before it acknowledges our subscriptions.
HostTime Instance::time_of_what_comes() const {
  HostTime time = time_;
  const bool may_have_waited = connected_ && !subscribed_ && heard_until_ &&
                               time_.now - *heard_until_ >= worth_telling_after;
  if (may_have_waited) time.not_before = heard_until_;
  return time;
}

void Instance::receive_presence(std::string_view payload) {
  const PresenceSetup& presence = *configuration_.presence;
  const auto home = somebody_home_from(payload, presence);
  if (home) return attention_.presence(home.value());
  if (!time_.is_set) return;
  remarks_.remark(WHEYMARK_WARNING, presence.topic, "presence", home.why(), time_.now);
}

Cause Instance::receive(std::string_view topic, std::string_view payload, bool retained) {
  const bool is_presence = configuration_.presence && topic == configuration_.presence->topic;
  if (is_presence) receive_presence(payload);
  if (readings_.are_about(topic)) {
    if (time_.is_set) readings_.receive(topic, payload, retained, time_.now);
    return Cause::a_thermometer_read;
  }
  if (is_presence) return Cause::time_passed;
  if (retained) {
    // A command that a broker has retained would be obeyed again at every connection.
    remarks_.remark(
        WHEYMARK_WARNING, topic, "retained",
        fmt::format("a retained message on {} is not obeyed; send it without retain", topic),
        time_.now);
  } else {
    reception_.receive(topic, payload, time_of_what_comes());
  }
  return Cause::somebody_said;
}

void Instance::tick(Instant now) {
  if (!at(now)) return;
  if (const Outcome flushed = journal_.flush_if_due(time_.now); !flushed) {
    remarks_.warn(flushed.why());
  }
  if (const Outcome thinned = journal_.thin_if_due(time_.now); !thinned) {
    remarks_.warn(thinned.why());
  }
  readings_.use_what_waits(time_.now);
  settle(Cause::time_passed);
}

void Instance::settle(Cause cause) {
  household_.weigh_thermometers(time_.now);
  if (const Outcome told = events_.announce(time_.now); !told) {
    host_.log(WHEYMARK_ERROR, "an event could not be kept, so it waits: " + told.why());
  }
  outbox_.send_what_fits();
  publisher_.mark(household_.drain_changed(), cause, time_.now);
  publisher_.mark(events_.drain_announced(), cause, time_.now);
  publisher_.publish(time_.now);
  schedule_next_tick();
}

void Instance::schedule_next_tick() {
  next_tick_ = events_.next();
  const auto no_later_than = [this](std::optional<Instant> instant) {
    if (instant && (!next_tick_ || *instant < *next_tick_)) next_tick_ = instant;
  };
  no_later_than(journal_.flush_at());
  no_later_than(readings_.next());
  no_later_than(household_.folds_late_at());
  no_later_than(publisher_.next());
  if (outbox_.was_refused() || publisher_.was_refused()) {
    no_later_than(time_.now + offered_again_after);
  }
  // While time stands still, nothing else can come due.
  if (const auto believed_from = clock_.believed_from()) next_tick_ = believed_from;
}

Result<std::string> Instance::remember(std::string_view csv, Instant now) {
  now = std::max({now, time_.now, journal_.restored_until()});
  const Remembering found = remembering(csv, household_, now);
  if (!found.complaints.empty()) {
    return Refusal{fmt::format("{}", fmt::join(found.complaints, "\n"))};
  }
  if (!found.entries.empty()) {
    const Outcome kept = journal_.record_and_apply(found.entries, {}, Durable::at_once, now);
    if (!kept) return kept.refusal();
  }
  return found.answer();
}

// --- what is asked and changes nothing ----------------------------------------------------------

std::optional<Document> Instance::document_at(std::string_view path, Instant now) const {
  return document(path, household_, std::max(time_.now, now));
}

Result<std::string> Instance::export_text(std::string_view name, Instant now) const {
  Records records;
  const Outcome read = journal_.read([&](const Entry& entry) -> Outcome {
    records.add(entry);
    return Nothing{};
  });
  if (!read) return read.refusal();
  return document(name, household_, records, std::max(now, records.last().value_or(now)));
}

Result<std::string> Instance::answer_to(std::string_view question, Instant now) const {
  return questions_.answer(question, std::max({now, time_.now, journal_.restored_until()}));
}

}  // namespace wheymark
