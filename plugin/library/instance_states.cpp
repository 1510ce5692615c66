// What an instance shows: every retained topic, in the order that Homie wants, and what of it
// changes.
//
// Kept apart from what it takes in and decides (instance.cpp), because all of this can be thrown
// away and published anew at any time: nothing here is kept but the names of the topics.
#include <algorithm>
#include <fmt/format.h>
#include <span>

#include "plugin/library/instance.hpp"
#include "plugin/tile/documents.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

// Values that only time moves (progress, hours to the peak in tenths) are looked at this often.
constexpr std::chrono::minutes states_every{5};
constexpr std::chrono::minutes tiles_every{5};
// A thermometer that speaks each second does not make us publish each second.
constexpr std::chrono::seconds reading_look_spacing{30};
// Two daemons by mistake on one root device would otherwise correct each other without a pause.
constexpr std::chrono::seconds repair_spacing{5};

}  // namespace

void Instance::greet() {
  greeted_ = true;
  remarks_.hub_knows_us(true);
  events_.listen_from(now_);
  if (const Outcome known = states_.connected(); !known) remarks_.warn(known.why());
  own_state_.connected();
  repair_at_.reset();
  alerts_.clear();
  look_at_everything();
  // Children first, then the root that names them, as the convention wants devices to be added.
  const std::vector<HomieDevice> devices = homie_.described(configuration_);
  for (const HomieDevice& child : std::span(devices).first(homie_.children().size())) {
    states_.publish(homie_.topic(child.id, "$state"), "init");
    states_.publish(homie_.topic(child.id, "$description"), child.description);
  }
  publish_states();
  for (const auto& [device, sentence] : answers_) {
    states_.publish(homie_.topic(device, HomieHousehold::answer_property), sentence);
  }
  for (const Introduction& introduction : configuration_.introductions) {
    states_.publish(introduction.topic, introduction.payload);
  }
  publish_root_state("init");
  states_.publish(homie_.topic(homie_.root(), "$description"), devices.back().description);
  send_states();
  if (const Outcome sent = outbox_.connected(); !sent) remarks_.warn(sent.why());
  settle(Cause::time_passed);
  if (subscribed_) become_ready();
}

void Instance::become_ready() {
  publish_children_states("ready");
  publish_root_state("ready");
  // Children are taken away only after the root is ready without them.
  states_.clear_ghosts();
  send_states();
}

void Instance::publish_states() {
  if (!greeted_) return;
  for (const Subject& subject : looks_.due(now_)) look_at(subject);
  if (repair_at_ && now_ >= *repair_at_) {
    repair_at_.reset();
    repaired_ = now_;
    publish_root_state(own_state_.last_said());
  }
}

void Instance::look_at_everything() {
  looks_.clear();
  looked_at_for_reading_.clear();
  next_tile_at_.clear();
  for (const JarSetup& jar : configuration_.setup.jars)
    looks_.schedule(Subject::of_jar(jar.id), now_);
  for (const CultureSetup& culture : configuration_.setup.cultures) {
    looks_.schedule(Subject::of_culture(culture.id), now_);
  }
  for (const PlaceSetup& place : configuration_.setup.places) {
    looks_.schedule(Subject::of_place(place.id), now_);
  }
}

void Instance::plan_looks(Cause because) {
  for (const Subject& subject : household_.changed()) {
    if (subject.kind == Subject::Kind::batch) continue;  // its jar is among them
    if (because != Cause::a_thermometer_read) {
      looks_.schedule(subject, now_);
      if (subject.kind == Subject::Kind::jar) next_tile_at_.erase(subject.id);
      continue;
    }
    const auto looked = looked_at_for_reading_.find(subject);
    const bool just_now = looked != looked_at_for_reading_.end() && looked->second <= now_ &&
                          now_ < looked->second + reading_look_spacing;
    if (just_now) {
      looks_.schedule_by(subject, looked->second + reading_look_spacing);
    } else {
      looks_.schedule(subject, now_);
      looked_at_for_reading_.insert_or_assign(subject, now_);
    }
  }
}

// Publishes it, and plans when time alone may have moved it.
void Instance::look_at(const Subject& subject) {
  const Instant later = std::chrono::floor<std::chrono::minutes>(now_) + states_every;
  std::optional<Instant> next;
  if (subject.kind == Subject::Kind::jar) {
    if (const JarSetup* jar = configuration_.setup.jar(subject.id)) publish_jar(*jar);
    if (household_.book().in_jar(subject.id) != nullptr) next = later;
  } else if (const CultureSetup* culture = configuration_.setup.culture(subject.id);
             culture != nullptr && subject.kind == Subject::Kind::culture) {
    publish_culture(*culture);
  } else if (const PlaceSetup* place = configuration_.setup.place(subject.id);
             place != nullptr && subject.kind == Subject::Kind::place) {
    publish_place(*place);
    next = household_.thermometer(place->id).good_until();
    if (next && *next <= now_) next.reset();
    const bool has_bottles = place->kind == PlaceKind::fridge;  // which grow older
    if (has_bottles) next = std::min(next.value_or(later), later);
  }
  looks_.schedule(subject, next);
}

void Instance::publish_jar(const JarSetup& jar) {
  const std::string device = HomieHousehold::device_of_jar(jar.id);
  const JarState state = jar_state(household_, jar.id, now_);
  for (const auto& [below, payload] : HomieHousehold::jar_values(state, now_)) {
    states_.publish(homie_.topic(device, below), payload);
  }
  publish_standing(device, alerts_of(jar, state));
  publish_tile(jar, state);
}

void Instance::publish_culture(const CultureSetup& culture) {
  const std::string device = HomieHousehold::device_of_culture(culture.id);
  for (const auto& [below, payload] : HomieHousehold::culture_values(household_, culture, now_)) {
    states_.publish(homie_.topic(device, below), payload);
  }
  publish_standing(device, alerts_of(culture, grains_state(culture, household_, now_)));
}

void Instance::publish_place(const PlaceSetup& place) {
  const std::string device = HomieHousehold::device_of_place(place.id);
  for (const auto& [below, payload] : HomieHousehold::place_values(household_, place, now_)) {
    states_.publish(homie_.topic(device, below), payload);
  }
  const ThermometerStatus trust = household_.thermometer(place.id).trust(now_);
  std::vector<Alert> alerts = alerts_of(place, trust);
  for (Alert& warmth : warmth_alerts(place, household_, now_)) {
    alerts.push_back(std::move(warmth));
  }
  publish_standing(device, alerts);
}

void Instance::publish_standing(const std::string& device, const std::vector<Alert>& alerts_of) {
  std::set<std::string>& before = alerts_[device];
  std::set<std::string> now;
  for (const Alert& condition : alerts_of) {
    states_.publish(homie_.topic(device, "$alert/" + condition.id), condition.text);
    now.insert(condition.id);
  }
  for (const std::string& id : before) {
    if (!now.contains(id)) states_.publish(homie_.topic(device, "$alert/" + id), "");
  }
  before = std::move(now);
}

void Instance::publish_tile(const JarSetup& jar, const JarState& state) {
  const auto next = next_tile_at_.find(jar.id);
  if (next != next_tile_at_.end() && now_ < next->second) return;
  next_tile_at_[jar.id] = std::chrono::floor<std::chrono::minutes>(now_) + tiles_every;
  states_.publish(
      fmt::format("{}/tile/{}", configuration_.prefix, HomieHousehold::device_of_jar(jar.id)),
      tile_of(household_, jar, state, now_));
}

void Instance::show(const Answer& out, const std::optional<JarId>& jar) {
  if (!clock_is_set_) return;  // the sentence begins with when it was
  const bool of_a_jar = jar && configuration_.setup.jar(*jar) != nullptr;
  const std::string device = of_a_jar ? HomieHousehold::device_of_jar(*jar) : homie_.root();
  const std::string sentence = sentence_of(out, now_, configuration_.setup);
  if (!out.accepted) remarks_.warn(sentence, device);
  for (const std::string& about : {device, homie_.root()}) {
    answers_[about] = sentence;
    states_.publish(homie_.topic(about, HomieHousehold::answer_property), sentence);
  }
}

void Instance::publish_children_states(const std::string& state) {
  for (const std::string& child : homie_.children()) {
    states_.publish(homie_.topic(child, "$state"), state);
  }
}

void Instance::publish_root_state(const std::string& state) {
  if (!greeted_) return;
  own_state_.said(state);
  states_.publish_again(will_topic_, state);
}

void Instance::take_own_state(std::string_view payload, bool retained) {
  if (!greeted_ || !own_state_.overwritten_by(payload, retained)) return;
  host_.log(WHEYMARK_NOTICE, fmt::format("{} was overwritten with {}; saying {} again", will_topic_,
                                         shown_text(payload), own_state_.last_said()));
  repair_at_ = std::max(now_, repaired_ + repair_spacing);
  settle(Cause::time_passed);
}

void Instance::send_states() {
  if (const Outcome remembered = states_.send(); !remembered) remarks_.warn(remembered.why());
}

std::optional<Document> Instance::document_at(std::string_view path, Instant now) const {
  return document(path, household_, std::max(now_, now));
}

}  // namespace wheymark
