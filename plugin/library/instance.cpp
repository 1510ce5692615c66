#include "plugin/library/instance.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <span>
#include <utility>

#include "core/basis/limits.hpp"
#include "core/kinetics/parameters.hpp"
#include "plugin/history/document.hpp"
#include "plugin/wire/reading_text.hpp"

namespace wheymark {
namespace {

// What the host refused is offered to it again.
constexpr std::chrono::seconds offered_again_after{10};

// What one household says in a busy hour, and then one fact every ten seconds: somebody who floods
// us shall not fill the disk.
constexpr double facts_at_once = 300.0;
constexpr double facts_at_once_per_jar = 10.0;
constexpr double facts_per_h = 360.0;

// A plan costs some fifteen milliseconds: somebody who asks without a pause shall not keep the
// thermometers waiting.
constexpr double questions_at_once = 60.0;
constexpr double questions_per_h = 360.0;

}  // namespace

Instance::Instance(const Host& host, Configuration configuration, std::unique_ptr<Store> store)
    : host_(host),
      configuration_(std::move(configuration)),
      store_(std::move(store)),
      household_(configuration_.setup, default_parameters()),
      homie_(configuration_),
      will_topic_(homie_.topic(homie_.root(), "$state")),
      say_topic_(configuration_.prefix + "/say"),
      remarks_(host_, homie_, configuration_.homie_log),
      outbox_(host_, *store_),
      journal_(*store_, outbox_, household_),
      events_(configuration_, household_, journal_),
      states_(host_, *store_),
      facts_(facts_at_once +
                 facts_at_once_per_jar * static_cast<double>(configuration_.setup.jars.size()),
             facts_per_h),
      questions_(questions_at_once, questions_per_h) {
  for (const PlaceSetup& place : configuration_.setup.places) {
    const auto thermometer = configuration_.thermometers.find(place.id);
    if (thermometer == configuration_.thermometers.end()) continue;
    heard_at_[thermometer->second.topic].push_back({place.id, &thermometer->second});
  }
}

Result<std::unique_ptr<Instance>> Instance::opened(const Host& host, Configuration configuration,
                                                   std::unique_ptr<Store> store) {
  std::unique_ptr<Instance> instance(
      new Instance(host, std::move(configuration), std::move(store)));
  if (const Outcome restored = instance->journal_.restore(instance->clock_); !restored)
    return restored.refusal();
  return instance;
}

bool Instance::at(Instant now) {
  const bool was_set = clock_is_set_;
  clock_is_set_ = now >= limits::sane_since && now <= limits::sane_until;
  if (!clock_is_set_) {
    if (was_set) remarks_.warn("the clock is not set: nothing is believed or claimed until it is");
    // Nobody knows when it will be; once it is, this has passed already.
    next_tick_.reset();
    if (now < limits::sane_since) next_tick_ = limits::sane_since;
    return false;
  }
  const Instant before = std::exchange(now_, clock_.reads(now));
  if (const std::string news = clock_.news(); !news.empty()) remarks_.warn(news);
  if (now_ < before) plan_again_after_going_back();
  household_.weigh_thermometers(now_);
  if (connected_ && !greeted_) greet();
  return true;
}

void Instance::plan_again_after_going_back() {
  journal_.clock_went_back(now_);
  events_.clock_went_back();
  repaired_ = std::min(repaired_, now_);
  if (repair_at_) repair_at_ = now_;
  look_at_everything();
  household_.clock_went_back(now_);
  if (greeted_) events_.listen_from(now_);
}

// --- the connection -----------------------------------------------------------------------------

void Instance::connected(Instant now) {
  connected_ = true;
  greeted_ = false;
  remarks_.hub_knows_us(false);
  subscribed_ = false;
  subscribe();
  at(now);
}

void Instance::subscribe() const {
  host_.subscribe(say_topic_, 1);
  host_.subscribe(homie_.set_filter(), 1);
  host_.subscribe(will_topic_, 1);
  for (const auto& [topic, places] : heard_at_) host_.subscribe(topic, 1);
}

void Instance::subscribed(Instant now) {
  subscribed_ = connected_;
  if (at(now)) become_ready();
}

void Instance::disconnected(Instant now) {
  connected_ = false;
  greeted_ = false;
  remarks_.hub_knows_us(false);
  subscribed_ = false;
  at(now);
  outbox_.disconnected();
  states_.disconnected();
}

void Instance::stop(Instant now) {
  at(now);
  if (const Outcome flushed = journal_.flush(); !flushed) remarks_.warn(flushed.why());
  // Whoever reads on what is retained reads how things stood at the end.
  if (clock_is_set_) {
    household_.weigh_all_thermometers(now_);
    look_at_everything();
  }
  publish_states();
  publish_children_states("disconnected");
  publish_root_state("disconnected");
  send_states();
  next_tick_.reset();
}

// --- what comes in ------------------------------------------------------------------------------

void Instance::message(std::string_view topic, std::string_view payload, bool retained,
                       Instant now) {
  const bool clock_is_set = at(now);
  if (topic == will_topic_) return take_own_state(payload, retained);
  Cause because = Cause::somebody_said;
  if (const auto heard = heard_at_.find(topic); heard != heard_at_.end()) {
    because = Cause::a_thermometer_read;
    for (const HeardAt& at : heard->second) {
      if (clock_is_set) take_reading(at, payload, retained);
    }
  } else if (retained) {
    // A command that a broker kept would be obeyed again at every connection.
    remarks_.remark(
        WHEYMARK_WARNING,
        fmt::format("a retained message on {} is not obeyed; send it without retain", topic), now_);
  } else if (topic == say_topic_) {
    because = Cause::somebody_said;
    take_say(payload, std::nullopt);
  } else if (const auto set = homie_.set_topic(topic)) {
    because = Cause::somebody_said;
    take_set(*set, payload);
  }
  if (clock_is_set) settle(because);
}

void Instance::take_reading(const HeardAt& at, std::string_view payload, bool retained) {
  const PlaceId& place = at.place;
  const auto said = reading_from(payload, *at.thermometer);
  if (!said)
    return remarks_.remark(WHEYMARK_WARNING, fmt::format("{}: {}", place, said.why()), now_);
  if (retained && !said.value().at) {
    // Kept by the broker for nobody knows how long: it must not count as of now.
    return remarks_.remark(
        WHEYMARK_NOTICE,
        fmt::format("{}: a retained reading without an instant is not used", place), now_);
  }
  const auto entry =
      household_.decide(place, said.value().temperature, said.value().at.value_or(now_), now_);
  if (!entry) return remarks_.remark(WHEYMARK_NOTICE, entry.why(), now_);
  const Outcome kept =
      journal_.record_and_apply(std::span(&entry.value(), 1), {}, Durable::soon, now_);
  if (!kept) return remarks_.remark(WHEYMARK_WARNING, kept.why(), now_);
  if (!retained) household_.hear(place, now_);
}

void Instance::delivered(std::uint64_t delivery, Instant now) {
  at(now);
  Outcome kept = Nothing{};
  if (!states_.delivered(delivery, kept)) kept = outbox_.delivered(delivery);
  if (!kept) remarks_.warn(kept.why());
  send_states();
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

// --- what goes out ------------------------------------------------------------------------------

void Instance::tick(Instant now) {
  if (!at(now)) return;
  if (const Outcome flushed = journal_.flush_if_due(now_); !flushed) remarks_.warn(flushed.why());
  if (const Outcome thinned = journal_.thin_if_due(now_); !thinned) remarks_.warn(thinned.why());
  settle(Cause::time_passed);
}

void Instance::settle(Cause because) {
  household_.weigh_thermometers(now_);
  if (const Outcome told = events_.announce(now_); !told) {
    host_.log(WHEYMARK_ERROR, "an event could not be kept, so it waits: " + told.why());
  }
  outbox_.send_what_fits();
  plan_looks(because);
  publish_states();
  send_states();
  plan_next_tick();
}

void Instance::plan_next_tick() {
  next_tick_ = events_.next();
  const auto no_later_than = [this](std::optional<Instant> instant) {
    if (instant && (!next_tick_ || *instant < *next_tick_)) next_tick_ = instant;
  };
  no_later_than(journal_.flush_at());
  if (greeted_) no_later_than(repair_at_);
  if (greeted_) no_later_than(looks_.next());
  if (outbox_.was_refused() || states_.was_refused()) no_later_than(now_ + offered_again_after);
  // While time stands still, nothing else can come due.
  if (const auto believed_from = clock_.believed_from()) next_tick_ = believed_from;
}

}  // namespace wheymark
