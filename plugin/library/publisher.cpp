#include "plugin/library/publisher.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <span>
#include <utility>

#include "plugin/tile/documents.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

// Values that time alone changes (progress, hours to the peak in tenths) are computed this often.
constexpr std::chrono::minutes states_every{5};

}  // namespace

Publisher::Publisher(const Host& host, Store& store, const Configuration& configuration,
                     const HomieHousehold& homie, const Household& household, Remarks& remarks)
    : host_(host),
      configuration_(configuration),
      homie_(homie),
      household_(household),
      remarks_(remarks),
      own_state_topic_(homie.topic(homie.root(), "$state")),
      states_(host, store) {}

// --- the connection -----------------------------------------------------------------------------

void Publisher::connected() {
  has_greeted_ = false;
  remarks_.hub_knows_us(false);
}

void Publisher::disconnected() {
  has_greeted_ = false;
  remarks_.hub_knows_us(false);
  states_.disconnected();
}

void Publisher::greet(Instant now) {
  has_greeted_ = true;
  root_is_described_ = false;
  remarks_.hub_knows_us(true);
  if (const Outcome known = states_.connected(); !known) remarks_.warn(known.why());
  own_state_.connected();
  alerts_.clear();
  look_at_everything(now);
  // Children first, then the root that names them, as the convention wants devices to be added.
  const std::vector<HomieDevice> devices = homie_.described(configuration_);
  for (const HomieDevice& child : std::span(devices).first(homie_.children().size())) {
    states_.publish(homie_.topic(child.id, "$state"), "init");
    states_.publish(homie_.topic(child.id, "$description"), child.description);
  }
  publish_what_is_due(now);
  for (const auto& [device, sentence] : answers_) {
    states_.publish(homie_.topic(device, HomieHousehold::answer_property), sentence);
  }
  for (const Introduction& introduction : configuration_.introductions) {
    states_.publish(introduction.topic, introduction.payload);
  }
  publish_root_state("init");
  states_.publish(homie_.topic(homie_.root(), "$description"), devices.back().description);
  root_is_described_ = true;
  publish_stock(now);
  send();
}

void Publisher::become_ready() {
  publish_children_states("ready");
  publish_root_state("ready");
  // Children are taken away only after the root is ready without them.
  states_.clear_ghosts();
  send();
}

void Publisher::say_goodbye(Instant now) {
  publish_what_is_due(now);
  publish_children_states("disconnected");
  publish_root_state("disconnected");
  send();
}

// --- our own state ------------------------------------------------------------------------------

void Publisher::publish_children_states(const std::string& state) {
  for (const std::string& child : homie_.children()) {
    states_.publish(homie_.topic(child, "$state"), state);
  }
}

void Publisher::publish_root_state(const std::string& state) {
  if (!has_greeted_) return;
  own_state_.said(state);
  states_.publish_again(own_state_topic_, state);
}

bool Publisher::receive_own_state(std::string_view payload, bool retained, Instant now) {
  if (!has_greeted_ || !own_state_.overwritten_by(payload, retained)) return false;
  host_.log(WHEYMARK_NOTICE,
            fmt::format("{} was overwritten with {}; saying {} again", own_state_topic_,
                        shown_text(payload), own_state_.last_said()));
  own_state_.schedule_repair(now);
  return true;
}

void Publisher::clock_went_back(Instant now) {
  own_state_.clock_went_back(now);
  look_at_everything(now);
}

// --- jars, cultures and places ------------------------------------------------------------------

void Publisher::publish(Instant now) {
  publish_what_is_due(now);
  send();
}

void Publisher::look_at_everything(Instant now) {
  looks_.look_at_everything(configuration_.setup, now);
}

void Publisher::publish_what_is_due(Instant now) {
  if (!has_greeted_) return;
  for (const Subject& subject : looks_.due(now)) look_at(subject, now);
  if (own_state_.repair_is_due(now)) publish_root_state(own_state_.last_said());
}

void Publisher::look_at(const Subject& subject, Instant now) {
  const Instant later = std::chrono::floor<std::chrono::minutes>(now) + states_every;
  std::optional<Instant> next;
  if (subject.kind == Subject::Kind::jar) {
    if (const JarSetup* jar = configuration_.setup.jar(subject.jar())) {
      publish_jar(*jar, looks_.picture_is_due(subject, now), now);
    }
    if (household_.book().in_jar(subject.jar()) != nullptr) next = later;
  } else if (const CultureSetup* culture = configuration_.setup.culture(subject.culture());
             culture != nullptr && subject.kind == Subject::Kind::culture) {
    publish_culture(*culture, now);
  } else if (const PlaceSetup* place = configuration_.setup.place(subject.place());
             place != nullptr && subject.kind == Subject::Kind::place) {
    publish_place(*place, now);
    next = household_.places().thermometer(place->id).changes_at(now);
    const bool has_bottles = place->kind == PlaceKind::fridge;  // which grow older
    if (has_bottles) next = std::min(next.value_or(later), later);
  }
  looks_.was_looked_at(subject, next);
}

void Publisher::publish_jar(const JarSetup& jar, bool with_picture, Instant now) {
  const std::string device = HomieHousehold::device_of_jar(jar.id);
  const JarState state = jar_state(household_, jar.id, now);
  publish_values(device, HomieHousehold::jar_values(state, now));
  std::vector<Alert> alerts = alerts_of(jar, state);
  for (Alert& harm : harm_alerts(jar, state, household_, now)) alerts.push_back(std::move(harm));
  publish_alerts(device, alerts);
  if (!with_picture) return;
  states_.publish(fmt::format("{}/tile/{}", configuration_.prefix, device),
                  tile_of(household_, jar, state, now));
}

void Publisher::publish_culture(const CultureSetup& culture, Instant now) {
  const std::string device = HomieHousehold::device_of_culture(culture.id);
  publish_values(device, HomieHousehold::culture_values(household_, culture, now));
  publish_alerts(device, alerts_of(culture, grains_state(culture, household_, now)));
}

void Publisher::publish_place(const PlaceSetup& place, Instant now) {
  const std::string device = HomieHousehold::device_of_place(place.id);
  publish_values(device, HomieHousehold::place_values(household_, place, now));
  std::vector<Alert> alerts = alerts_of(place, household_.places().thermometer(place.id), now);
  for (Alert& warmth : warmth_alerts(place, household_, now)) alerts.push_back(std::move(warmth));
  publish_alerts(device, alerts);
  if (place.kind == PlaceKind::fridge && root_is_described_) publish_stock(now);
}

void Publisher::publish_stock(Instant now) {
  publish_values(homie_.root(), HomieHousehold::stock_values(stock_of(household_, now)));
}

void Publisher::publish_values(const std::string& device,
                               const std::vector<PropertyValue>& values) {
  for (const auto& [below, payload] : values) states_.publish(homie_.topic(device, below), payload);
}

void Publisher::publish_alerts(const std::string& device, const std::vector<Alert>& alerts) {
  std::set<std::string>& before = alerts_[device];
  std::set<std::string> now;
  for (const Alert& alert : alerts) {
    states_.publish(homie_.topic(device, "$alert/" + alert.id), alert.text);
    now.insert(alert.id);
  }
  for (const std::string& id : before) {
    if (!now.contains(id)) states_.publish(homie_.topic(device, "$alert/" + id), "");
  }
  before = std::move(now);
}

// --- what people are told -----------------------------------------------------------------------

void Publisher::show(const Answer& answer, const std::optional<JarId>& jar, Instant now) {
  const bool of_a_jar = jar && configuration_.setup.jar(*jar) != nullptr;
  const std::string device = of_a_jar ? HomieHousehold::device_of_jar(*jar) : homie_.root();
  const std::string sentence = sentence_of(answer, now, configuration_.setup);
  if (!answer.accepted) remarks_.warn(sentence, device);
  for (const std::string& about : {device, homie_.root()}) {
    answers_[about] = sentence;
    states_.publish(homie_.topic(about, HomieHousehold::answer_property), sentence);
  }
}

void Publisher::confirm(const HomieHousehold::SetTopic& pressed, std::string_view payload) const {
  // Not retained: a press has no value afterwards.
  host_.publish(
      {homie_.topic(HomieHousehold::device_of_jar(pressed.jar), "care/" + pressed.property),
       payload,
       {},
       0,
       false,
       0});
}

void Publisher::send() {
  if (const Outcome remembered = states_.send(); !remembered) remarks_.warn(remembered.why());
}

std::optional<Instant> Publisher::next() const {
  if (!has_greeted_) return std::nullopt;
  const auto repair = own_state_.repair_at();
  const auto look = looks_.next();
  return repair && look ? std::min(*repair, *look) : repair ? repair : look;
}

}  // namespace wheymark
