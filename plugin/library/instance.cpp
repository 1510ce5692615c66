#include "plugin/library/instance.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "core/household/doubtful_report.hpp"
#include "core/kinetics/parameters.hpp"
#include "plugin/history/document.hpp"
#include "plugin/library/journal_row.hpp"
#include "plugin/wire/cloud_event.hpp"
#include "plugin/wire/fact_json.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/press.hpp"
#include "plugin/wire/question.hpp"
#include "plugin/wire/reading_text.hpp"

namespace wheymark {
namespace {

// A power cut may cost this much of readings, which the model bridges: hubs live on SD cards.
constexpr std::chrono::seconds readings_durable_after{60};
// Values that only time moves (progress, hours to the peak in tenths) are looked at this often.
constexpr std::chrono::minutes states_every{5};
constexpr std::chrono::seconds retry_after{10};

// The jar that a fact is about; nothing for a fact about a culture or about another fact.
std::optional<JarId> jar_of(const Fact& fact) {
  return std::visit(
      [](const auto& kind) -> std::optional<JarId> {
        if constexpr (requires { kind.jar; }) return kind.jar;
        return std::nullopt;
      },
      fact);
}

Instant kept_at(const Entry& entry) {
  return std::visit(
      [](const auto& kind) {
        if constexpr (requires { kind.told_at; }) return kind.told_at;
        if constexpr (!requires { kind.told_at; }) return kind.at;
      },
      entry);
}

constexpr const char* not_kept = "it could not be kept, so it does not count; say it again: ";

}  // namespace

Instance::Instance(const Host& host, Configuration configuration, std::unique_ptr<Store> store)
    : host_(host),
      configuration_(std::move(configuration)),
      store_(std::move(store)),
      household_(configuration_.plan, default_parameters()),
      homie_(configuration_),
      mail_(host_, *store_),
      states_(host_, *store_) {
  for (const auto& [place, thermometer] : configuration_.thermometers) {
    thermometers_.emplace(thermometer.topic, place);
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
  return store_->read_journal([this](const JournalRow& row) -> Outcome {
    const auto entry = entry_of(row);
    if (!entry) return entry.refusal();
    household_.apply(entry.value());
    restored_until_ = std::max(restored_until_, kept_at(entry.value()));
    if (const auto* said = std::get_if<Announced>(&entry.value())) (void)sequence_.next(said->at);
    return Nothing{};
  });
}

std::string Instance::will_topic() const {
  return homie_.topic(homie_.root().id, "$state");
}

void Instance::warn(const std::string& line) const {
  warn(line, homie_.root().id);
}

void Instance::warn(const std::string& line, const std::string& device) const {
  host_.log(WHEYMARK_WARNING, line);
  if (!greeted_ || !configuration_.homie_log) return;
  host_.publish({homie_.topic(device, "$log/warn"), line, {}, 0, false, 0});
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
  now_ = std::max(now_, now);
  if (connected_ && !greeted_) greet();
  return true;
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
  host_.subscribe(configuration_.prefix + "/say", 1);
  host_.subscribe(homie_.set_filter(), 1);
  host_.subscribe(will_topic(), 1);
  std::string last;
  for (const auto& [topic, place] : thermometers_) {
    if (topic != last) host_.subscribe(topic, 1);
    last = topic;
  }
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
  mail_.disconnected();
  states_.disconnected();
}

void Instance::stop(Instant now) {
  at(now);
  if (const Outcome flushed = store_->flush(); !flushed) warn(flushed.why());
  flush_at_.reset();
  publish_children_states("disconnected");
  publish_root_state("disconnected");
  send_states();
  next_tick_.reset();
}

// --- what comes in ------------------------------------------------------------------------------

void Instance::message(std::string_view topic, std::string_view payload, bool retained,
                       Instant now) {
  const bool clock_is_set = at(now);
  if (topic == will_topic()) return take_own_state(payload, retained);
  const auto [first, last] = thermometers_.equal_range(topic);
  for (auto found = first; found != last && clock_is_set; ++found) {
    take_reading(found->second, payload, retained);
  }
  if (first == last && retained) {
    // A command that a broker kept would be obeyed again at every connection.
    warn(fmt::format("a retained message on {} is not obeyed; send it without retain", topic));
  } else if (topic == configuration_.prefix + "/say") {
    take_say(payload, std::nullopt);
  } else if (const auto set = homie_.set_topic(topic)) {
    take_set(*set, payload);
  }
  if (clock_is_set) settle();
}

void Instance::take_reading(const PlaceId& place, std::string_view payload, bool retained) {
  const ThermometerPlan& thermometer = configuration_.thermometers.at(place);
  const auto said = reading_from(payload, thermometer);
  if (!said) return warn(fmt::format("{}: {}", place, said.why()));
  if (retained && !said.value().at) {
    // Kept by the broker for nobody knows how long: it must not count as of now.
    return host_.log(WHEYMARK_NOTICE,
                     fmt::format("{}: a retained reading without an instant is not used", place));
  }
  const auto entry =
      household_.decide(place, said.value().temperature, said.value().at.value_or(now_), now_);
  if (!entry) return host_.log(WHEYMARK_NOTICE, entry.why());
  if (const Outcome kept = record({entry.value()}, {}, Durable::soon); !kept) warn(kept.why());
  household_.apply(entry.value());
  if (!retained) household_.hear(place, now_);
  if (!flush_at_) flush_at_ = now_ + readings_durable_after;
}

bool Instance::take_say(std::string_view payload, const std::optional<JarId>& implied_jar) {
  Answer refusal;
  const auto json = parsed(payload, Comments::refused);
  if (!json) {
    refusal.why = json.why();
    answer(refusal, implied_jar);
    return false;
  }
  const auto text_at = [&](const char* key) -> std::optional<std::string> {
    if (!json.value().is_object() || !json.value().contains(key)) return std::nullopt;
    const nlohmann::json& value = json.value()[key];
    return value.is_string() ? std::optional(value.get<std::string>()) : std::nullopt;
  };
  if (is_question(json.value())) return take_question(json.value(), implied_jar);
  const auto said = said_from(json.value(), implied_jar);
  if (said) return take_said(said.value());
  refusal.ref = text_at("ref");
  refusal.fact = text_at("fact");
  refusal.why = said.why();
  answer(refusal, implied_jar ? implied_jar : text_at("jar"));
  return false;
}

void Instance::take_set(const HomieHousehold::SetTopic& set, std::string_view payload) {
  const std::string device = HomieHousehold::device_of_jar(set.jar);
  const auto said = [&]() -> std::optional<bool> {
    if (set.property == "say") return take_say(payload, set.jar);
    if (const auto fact = pressed(set.property, set.jar, payload)) {
      return take_said({*fact, std::nullopt, ref_of_press(set.jar, payload, now_)});
    }
    return std::nullopt;
  }();
  if (said == true) {
    // The convention's sign of success. Not retained: a press has no value afterwards.
    host_.publish({homie_.topic(device, "care/" + set.property), payload, {}, 0, false, 0});
  }
  if (said) return;
  Answer refusal;
  refusal.fact = set.property;
  refusal.why = fmt::format("care/{} does not take {}; {}", set.property, shown_text(payload),
                            what_care_takes(set.property));
  answer(refusal, set.jar);
}

bool Instance::take_said(const Said& said) {
  const std::optional<JarId> jar = jar_of(said.fact);
  Answer out;
  out.ref = said.ref;
  out.fact = std::string(fact_words[said.fact.index()]);
  const auto refuse = [&](const std::string& why) {
    out.accepted = false;
    out.id.reset();
    out.why = why;
    answer(out, jar);
    return false;
  };
  if (!clock_is_set_) return refuse("the clock here is not set yet; say it again once it is");
  // An event that waits for the disk is told before a fact ends what it is about.
  retry_at_.reset();
  if (const Outcome told = announce_what_is_due(); !told) return refuse(not_kept + told.why());
  const auto decided = household_.decide(said, now_);
  if (!decided) return refuse(decided.why());
  const Household::Accepted& accepted = decided.value();
  out.accepted = true;
  out.id = accepted.record.number;
  if (accepted.said_before) {
    out.fact = std::string(fact_words[accepted.record.fact.index()]);
    out.why = "this ref was said before; it counts once";
    answer(out, jar);
    return true;
  }
  out.why = contradiction(accepted.record.fact, accepted.record.at, household_.kitchen(),
                          household_.plan());
  const Entry entry{accepted.record};
  // The answer goes out with the fact or not at all.
  const Outcome kept = record({entry}, {parcel_of(out, configuration_.prefix)}, Durable::at_once);
  if (!kept) return refuse(not_kept + kept.why());
  household_.apply(entry);
  show(out, jar);
  return true;
}

void Instance::answer(const Answer& out, const std::optional<JarId>& jar) {
  mail_.send_unkept(parcel_of(out, configuration_.prefix));
  show(out, jar);
}

void Instance::delivered(std::uint64_t delivery, Instant now) {
  at(now);
  Outcome kept = Nothing{};
  if (!states_.delivered(delivery, kept)) kept = mail_.delivered(delivery);
  if (!kept) warn(kept.why());
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
  settle();
}

void Instance::settle() {
  if (const Outcome told = announce_what_is_due(); !told) {
    host_.log(WHEYMARK_ERROR, "an event could not be kept, so it waits: " + told.why());
  }
  mail_.send_what_fits();
  publish_states();
  send_states();
  plan_next_tick();
}

Outcome Instance::announce_what_is_due() {
  if (retry_at_ && now_ < *retry_at_) return Nothing{};
  retry_at_.reset();
  const std::vector<Announcement> due = household_.due(now_);
  if (due.empty()) return Nothing{};
  std::vector<Entry> entries;
  std::vector<Parcel> parcels;
  EventSequence sequence = sequence_;
  for (const Announcement& announcement : due) {
    entries.emplace_back(Announced{announcement.id, now_});
    parcels.push_back(parcel_of(announcement, configuration_.prefix, configuration_.root_device,
                                sequence.next(now_)));
  }
  if (const Outcome kept = record(entries, std::move(parcels), Durable::at_once); !kept) {
    retry_at_ = now_ + retry_after;
    return kept;
  }
  for (const Entry& entry : entries) household_.apply(entry);
  sequence_ = sequence;
  return Nothing{};
}

void Instance::plan_next_tick() {
  next_tick_ = retry_at_ ? retry_at_ : household_.next_due();
  const auto no_later_than = [this](std::optional<Instant> instant) {
    if (instant && (!next_tick_ || *instant < *next_tick_)) next_tick_ = instant;
  };
  no_later_than(flush_at_);
  if (greeted_) no_later_than(repair_at_);
  if (greeted_) no_later_than(look_at_tiles_at_);
  if (mail_.was_refused() || states_.was_refused()) no_later_than(now_ + retry_after);
  for (const PlannedPlace& place : configuration_.plan.places) {
    const auto good_until = household_.thermometer(place.id).good_until();
    if (good_until && *good_until > now_) no_later_than(good_until);
  }
  const bool something_moves =
      std::any_of(configuration_.plan.jars.begin(), configuration_.plan.jars.end(),
                  [this](const PlannedJar& jar) { return household_.kitchen().in_jar(jar.id); });
  if (something_moves && greeted_) {
    no_later_than(std::chrono::floor<std::chrono::minutes>(now_) + states_every);
  }
}

Outcome Instance::record(const std::vector<Entry>& entries, std::vector<Parcel> parcels,
                         Durable durable) {
  std::vector<JournalRow> rows;
  rows.reserve(entries.size());
  for (const Entry& entry : entries) rows.push_back(row_of(entry));
  if (const Outcome kept = store_->commit(std::move(rows), parcels, durable); !kept) return kept;
  mail_.send(std::move(parcels));
  return Nothing{};
}

}  // namespace wheymark
