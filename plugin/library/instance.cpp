#include "plugin/library/instance.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <utility>

#include "core/air/thinning.hpp"
#include "core/basis/limits.hpp"
#include "core/kinetics/parameters.hpp"
#include "plugin/history/document.hpp"
#include "plugin/library/journal_row.hpp"
#include "plugin/wire/cloud_event.hpp"
#include "plugin/wire/reading_text.hpp"

namespace wheymark {
namespace {

// A power cut may cost this much of readings, which the model bridges: hubs live on SD cards.
constexpr std::chrono::seconds readings_durable_after{60};
constexpr std::chrono::seconds retry_after{10};
constexpr std::chrono::hours thin_every{24};

// What one household says in a busy hour, and then one fact every ten seconds: somebody who floods
// us shall not fill the disk.
constexpr double facts_at_once = 300.0;
constexpr double facts_at_once_per_jar = 10.0;
constexpr double facts_per_h = 360.0;

// A plan costs some fifteen milliseconds: somebody who asks without a pause shall not keep the
// thermometers waiting.
constexpr double questions_at_once = 60.0;
constexpr double questions_per_h = 360.0;

constexpr double remarks_at_once = 100.0;
constexpr double remarks_per_h = 60.0;

Instant kept_at(const Entry& entry) {
  return std::visit(
      [](const auto& kind) {
        if constexpr (requires { kind.told_at; }) return kind.told_at;
        if constexpr (!requires { kind.told_at; }) return kind.at;
      },
      entry);
}

}  // namespace

Instance::Instance(const Host& host, Configuration configuration, std::unique_ptr<Store> store)
    : host_(host),
      configuration_(std::move(configuration)),
      store_(std::move(store)),
      household_(configuration_.setup, default_parameters()),
      announcer_(household_),
      homie_(configuration_),
      will_topic_(homie_.topic(homie_.root(), "$state")),
      say_topic_(configuration_.prefix + "/say"),
      outbox_(host_, *store_),
      states_(host_, *store_),
      facts_(facts_at_once +
                 facts_at_once_per_jar * static_cast<double>(configuration_.setup.jars.size()),
             facts_per_h),
      questions_(questions_at_once, questions_per_h),
      remarks_(remarks_at_once, remarks_per_h) {
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
  if (const Outcome restored = instance->restore(); !restored) return restored.refusal();
  return instance;
}

Outcome Instance::restore() {
  household_.begin_restoring();
  const Outcome read = store_->read_journal([this](const JournalRow& row) -> Outcome {
    const auto entry = entry_of(row);
    if (!entry) return entry.refusal();
    remember_clock(entry.value());
    apply(entry.value());
    restored_until_ = std::max(restored_until_, kept_at(entry.value()));
    if (const auto* said = std::get_if<Announced>(&entry.value())) (void)sequence_.next(said->at);
    return Nothing{};
  });
  household_.end_restoring();
  return read;
}

void Instance::apply(const Entry& entry) {
  household_.apply(entry);
  announcer_.apply(entry);
}

void Instance::remember_clock(const Entry& entry) {
  if (const auto* fact = std::get_if<FactRecord>(&entry)) return clock_.was(fact->told_at);
  if (const auto* announced = std::get_if<Announced>(&entry)) return clock_.was(announced->at);
  const auto* taken = std::get_if<ReadingTaken>(&entry);
  if (taken == nullptr) return clock_.has_been(std::get<ReadingDoubted>(entry).at);
  // One that is older than its place's last was kept after the clock had been set back.
  const TemperatureHistory* air = household_.places().history(taken->place);
  const bool went_back = air != nullptr && air->last() && air->last()->at >= taken->at;
  return went_back ? clock_.was(taken->at) : clock_.has_been(taken->at);
}

void Instance::warn(const std::string& line) const {
  warn(line, homie_.root());
}

void Instance::warn(const std::string& line, const std::string& device) const {
  host_.log(WHEYMARK_WARNING, line);
  if (!greeted_ || !configuration_.homie_log) return;
  host_.publish({homie_.topic(device, "$log/warn"), line, {}, 0, false, 0});
}

void Instance::remark(wheymark_level level, const std::string& line) {
  if (!remarks_.takes(now_)) {
    ++remarks_kept_back_;
    return;
  }
  const std::uint64_t before = std::exchange(remarks_kept_back_, 0);
  const std::string all =
      before == 0 ? line : fmt::format("{} (and {} remarks were kept back before)", line, before);
  level == WHEYMARK_WARNING ? warn(all) : host_.log(level, all);
}

bool Instance::at(Instant now) {
  const bool was_set = clock_is_set_;
  clock_is_set_ = now >= limits::sane_since && now <= limits::sane_until;
  if (!clock_is_set_) {
    if (was_set) warn("the clock is not set: nothing is believed or claimed until it is");
    // Nobody knows when it will be; once it is, this has passed already.
    next_tick_.reset();
    if (now < limits::sane_since) next_tick_ = limits::sane_since;
    return false;
  }
  const Instant before = std::exchange(now_, clock_.reads(now));
  if (const std::string news = clock_.news(); !news.empty()) warn(news);
  if (now_ < before) plan_again_after_going_back();
  household_.weigh_thermometers(now_);
  if (connected_ && !greeted_) greet();
  return true;
}

void Instance::plan_again_after_going_back() {
  if (flush_at_) flush_at_ = std::min(*flush_at_, now_ + readings_durable_after);
  retry_at_.reset();
  repaired_ = std::min(repaired_, now_);
  if (repair_at_) repair_at_ = now_;
  look_at_everything();
  thin_at_.reset();
  household_.clock_went_back(now_);
  if (greeted_) announcer_.listen_from(now_);
}

// --- the connection -----------------------------------------------------------------------------

void Instance::connected(Instant now) {
  connected_ = true;
  greeted_ = false;
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
  subscribed_ = false;
  at(now);
  outbox_.disconnected();
  states_.disconnected();
}

void Instance::stop(Instant now) {
  at(now);
  if (const Outcome flushed = store_->flush(); !flushed) warn(flushed.why());
  flush_at_.reset();
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
    remark(WHEYMARK_WARNING,
           fmt::format("a retained message on {} is not obeyed; send it without retain", topic));
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
  if (!said) return remark(WHEYMARK_WARNING, fmt::format("{}: {}", place, said.why()));
  if (retained && !said.value().at) {
    // Kept by the broker for nobody knows how long: it must not count as of now.
    return remark(WHEYMARK_NOTICE,
                  fmt::format("{}: a retained reading without an instant is not used", place));
  }
  const auto entry =
      household_.decide(place, said.value().temperature, said.value().at.value_or(now_), now_);
  if (!entry) return remark(WHEYMARK_NOTICE, entry.why());
  if (const Outcome kept = record({row_of(entry.value())}, {}, Durable::soon); !kept) {
    // Not believed either: a household that is folded again would not know of it.
    return remark(WHEYMARK_WARNING, kept.why());
  }
  apply(entry.value());
  if (!retained) household_.hear(place, now_);
  if (!flush_at_) flush_at_ = now_ + readings_durable_after;
}

void Instance::delivered(std::uint64_t delivery, Instant now) {
  at(now);
  Outcome kept = Nothing{};
  if (!states_.delivered(delivery, kept)) kept = outbox_.delivered(delivery);
  if (!kept) warn(kept.why());
  send_states();
}

Result<std::string> Instance::export_text(std::string_view name, Instant now) const {
  Records records;
  const Outcome read = store_->read_journal([&](const JournalRow& row) -> Outcome {
    const auto entry = entry_of(row);
    if (!entry) return entry.refusal();
    records.add(entry.value());
    return Nothing{};
  });
  if (!read) return read.refusal();
  return document(name, household_, records, std::max(now, records.last().value_or(now)));
}

// --- what goes out ------------------------------------------------------------------------------

void Instance::tick(Instant now) {
  if (!at(now)) return;
  if (flush_at_ && now_ >= *flush_at_) {
    const Outcome flushed = store_->flush();
    if (!flushed) warn(flushed.why());
    flush_at_ = flushed ? std::nullopt : std::optional(now_ + readings_durable_after);
  }
  thin_readings();
  settle(Cause::time_passed);
}

void Instance::thin_readings() {
  if (thin_at_ && now_ < *thin_at_) return;
  thin_at_ = now_ + thin_every;
  Thinning thinning(now_);
  const Outcome thinned =
      store_->thin(now_ - Thinning::all_of, [this, &thinning](const JournalRow& row) {
        const bool differs = thinning.keeps(row.subject, row.at, Celsius(row.value));
        return differs || household_.places().something_rests_on(row.subject, row.at);
      });
  if (!thinned) warn(thinned.why());
}

void Instance::settle(Cause because) {
  household_.weigh_thermometers(now_);
  if (const Outcome told = announce_what_is_due(); !told) {
    host_.log(WHEYMARK_ERROR, "an event could not be kept, so it waits: " + told.why());
  }
  outbox_.send_what_fits();
  plan_looks(because);
  publish_states();
  send_states();
  plan_next_tick();
}

Outcome Instance::announce_what_is_due() {
  if (retry_at_ && now_ < *retry_at_) return Nothing{};
  retry_at_.reset();
  const std::vector<Announcement> due = announcer_.due(now_);
  if (due.empty()) return Nothing{};
  std::vector<Entry> entries;
  std::vector<JournalRow> rows;
  std::vector<OutboxMessage> messages;
  EventSequence sequence = sequence_;
  for (const Announcement& announcement : due) {
    entries.emplace_back(Announced{announcement.id, now_});
    rows.push_back(row_of(entries.back()));
    messages.push_back(outbox_message_of(announcement, configuration_.prefix,
                                         configuration_.root_device, sequence.next(now_)));
  }
  if (const Outcome kept = record(std::move(rows), std::move(messages), Durable::at_once); !kept) {
    retry_at_ = now_ + retry_after;
    return kept;
  }
  for (const Entry& entry : entries) apply(entry);
  for (const Announcement& announcement : due) announced_about_.add(announcement.about);
  sequence_ = sequence;
  return Nothing{};
}

void Instance::plan_next_tick() {
  next_tick_ = retry_at_ ? retry_at_ : announcer_.next_due();
  const auto no_later_than = [this](std::optional<Instant> instant) {
    if (instant && (!next_tick_ || *instant < *next_tick_)) next_tick_ = instant;
  };
  no_later_than(flush_at_);
  if (greeted_) no_later_than(repair_at_);
  if (greeted_) no_later_than(looks_.next());
  if (outbox_.was_refused() || states_.was_refused()) no_later_than(now_ + retry_after);
  // While time stands still, nothing else can come due.
  if (const auto believed_from = clock_.believed_from()) next_tick_ = believed_from;
}

Outcome Instance::record(std::vector<JournalRow> rows, std::vector<OutboxMessage> messages,
                         Durable durable) {
  if (const Outcome kept = store_->commit(std::move(rows), messages, durable); !kept) return kept;
  outbox_.send(std::move(messages));
  return Nothing{};
}

}  // namespace wheymark
