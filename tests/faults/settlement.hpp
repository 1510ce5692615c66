// When a story is over and everything was well again for some hours: is anything lost, doubled or
// untrue?
#pragma once

#include <ctime>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <map>
#include <set>
#include <sqlite3.h>
#include <string>

#include "tests/faults/world.hpp"

namespace wheymark::faults {

struct Settlement {
  World& world;
  std::map<std::string, std::string> documents_before_{};

  void settle() {
    world.disk_.dies_at_change(-1);
    if (!world.plugin_) world.run_until(world.now_ + 6 * World::hour);  // it was still down
    if (!world.plugin_ || !world.connected_) throw Broken("the daemon never came back");
    world.with_plugin([&] { world.plugin_->tick(world.clock()); });  // what is shown is of now
    world.run_until(world.now_);
    everybody_was_answered();
    documents_before_ = documents();
    thermometers_are_believed_again();
    every_event_that_was_decided_was_heard();
    every_accepted_fact_was_told_once();
    a_new_life_publishes_the_same();
    what_was_accepted_still_stands();
  }

  void everybody_was_answered() const {
    for (const auto& [ref, what] : world.said_) {
      if (!ref.empty() && !world.is_answered(ref)) throw Broken("never answered: " + what.second);
    }
  }

  // No fault may last: four hours later each place shows what its thermometer reads.
  void thermometers_are_believed_again() {
    for (std::size_t i = 0; i < World::places.size(); ++i) {
      const std::string of_place = fmt::format("homie/5/place-{}/air/", World::places[i]);
      const std::string shown = world.listener_.retained[of_place + "temperature"];
      const std::string status = world.listener_.retained[of_place + "thermometer"];
      if (status != "good" || shown != fmt::format("{:.1f}", world.said_c_[i])) {
        throw Broken(fmt::format("{} says {:.1f}, and {} ({}) is shown", World::places[i],
                                 world.said_c_[i], shown, status));
      }
    }
  }

  // The ids of the store's announcements, read without the library.
  [[nodiscard]] std::set<std::string> decided_events() const {
    std::set<std::string> ids;
    sqlite3* database = nullptr;
    sqlite3_open_v2(world.store_.c_str(), &database, SQLITE_OPEN_READWRITE, nullptr);
    // Without shared memory, as the store itself.
    sqlite3_exec(database, "PRAGMA locking_mode=EXCLUSIVE", nullptr, nullptr, nullptr);
    sqlite3_exec(
        database, "SELECT subject FROM journal WHERE kind = 4",
        [](void* all, int, char** columns, char**) {
          static_cast<std::set<std::string>*>(all)->insert(columns[0]);
          return 0;
        },
        &ids, nullptr);
    sqlite3_close(database);
    return ids;
  }

  void every_event_that_was_decided_was_heard() {
    world.with_plugin([&] { world.plugin_->stop(world.clock()); });
    world.run_until(world.now_);  // the last messages arrive: a daemon waits for that
    world.plugin_.reset();
    world.connection_is_gone(false);
    const std::set<std::string> decided = decided_events();
    for (const std::string& id : decided) {
      if (!world.listener_.events.contains(id)) throw Broken("an event that nobody heard: " + id);
    }
    for (const auto& [id, payload] : world.listener_.events) {
      if (!decided.contains(id)) throw Broken("an event that is not in the journal: " + payload);
    }
  }

  // Each start, straining and storing that was accepted has its one event, and no other has;
  // a start on a jar that worked was a straining, too, and its answer said so.
  void every_accepted_fact_was_told_once() {
    std::map<std::string, int> told;
    for (const auto& [id, payload] : world.listener_.events) {
      for (const char* kind : {"batch-started", "strained", "stored"}) {
        const std::string ending = std::string(".") + kind;
        if (!id.ends_with(ending)) continue;
        const std::string front = id.substr(0, id.size() - ending.size());
        ++told[front.substr(front.rfind('.') + 1) + ending];
      }
    }
    std::map<std::string, int> expected;
    const std::map<std::string, std::string> kinds{
        {"start", "batch-started"}, {"strain", "strained"}, {"store", "stored"}};
    for (const auto& [ref, answer] : world.listener_.accepted) {
      const auto kind = kinds.find(answer.at("fact").get<std::string>());
      if (kind == kinds.end()) continue;
      const auto id = answer.at("id").get<std::string>().substr(std::string("fact-").size());
      expected[id + "." + kind->second] = 1;
      const bool strained_too =
          answer.dump().find("taken as strained and fed again") != std::string::npos;
      if (strained_too) expected[id + ".strained"] = 1;
    }
    for (const auto& [what, count] : told) {
      if (count != 1) throw Broken(fmt::format("told {} times: {}", count, what));
      if (!expected.contains(what)) throw Broken("told of what nobody was answered: " + what);
    }
    for (const auto& [what, count] : expected) {
      if (!told.contains(what)) throw Broken("accepted and never told: " + what);
    }
  }

  void a_new_life_publishes_the_same() {
    const auto before = values_of(world.listener_.retained);
    const std::size_t events = world.listener_.events.size();
    world.listener_.retained.clear();
    world.start_daemon();
    world.run_until(world.now_);
    if (world.listener_.events.size() != events) {
      throw Broken("a restart told something new");
    }
    const auto after = values_of(world.listener_.retained);
    for (const auto& [topic, payload] : before) {
      const auto found = after.find(topic);
      const std::string now = found == after.end() ? "nothing" : found->second;
      if (now != payload) {
        throw Broken(fmt::format("{} was {} and after a restart is {}", topic, payload, now));
      }
    }
    if (before.size() != after.size()) throw Broken("after a restart there is more");
    const auto documents_after = documents();
    for (const auto& [name, text] : documents_before_) {
      if (documents_after.at(name) == text) continue;
      throw Broken(fmt::format("{} is another after a restart:\n{}\n{}", name, text,
                               documents_after.at(name)));
    }
  }

  // The page, the tiles and the exports: what depends on habits, excursions, ages, lids and paces.
  [[nodiscard]] std::map<std::string, std::string> documents() const {
    std::map<std::string, std::string> all;
    for (const char* path : {"/", "/tile/jar-blue.svg", "/tile/jar-red.svg", "/tile/jar-bottle.svg",
                             "/tile/jar-flask.svg"}) {
      all[path] = world.plugin_->rendered(path, world.clock());
    }
    for (const char* name : {"all.json", "inventory.json", "month.svg"}) {
      all[name] = world.plugin_->exported(name, world.clock());
    }
    return all;
  }

  static std::map<std::string, std::string> values_of(std::map<std::string, std::string> retained) {
    std::erase_if(retained, [](const auto& value) {
      // A tile is drawn every five minutes, and published again at every connection.
      return value.first.find('$') != std::string::npos || value.first.ends_with("/answer") ||
             value.first.find("/tile/") != std::string::npos;
    });
    return retained;
  }

  // Reported once more, it is the same fact, or was taken back; and nothing is announced again.
  void what_was_accepted_still_stands() {
    const auto events = world.listener_.events;
    const std::string began =
        fmt::format("{:%Y-%m-%dT%H:%M:%S}", fmt::gmtime(std::time_t{world.clock() / 1000}));
    const auto accepted = world.listener_.accepted;
    for (const auto& [ref, answer] : accepted) {
      world.listener_.answers.erase(ref);
      world.daemon_hears(world.said_.at(ref).first, world.said_.at(ref).second);
      world.run_until(world.now_ + World::second);
      if (!world.listener_.answers.contains(ref)) throw Broken("not answered again: " + ref);
      const auto& again = world.listener_.answers.at(ref);
      const auto why = again.at("why").get<std::string>();
      const bool stands = again.at("accepted").get<bool>() && again.at("id") == answer.at("id");
      if (!stands && why.find("taken back") == std::string::npos) {
        throw Broken(fmt::format("{} was accepted and is lost: {}", ref, again.dump()));
      }
    }
    for (const auto& [id, event] : world.listener_.events) {
      const bool came_true_meanwhile =
          nlohmann::json::parse(event).at("time").get<std::string>() >= began;
      if (!events.contains(id) && !came_true_meanwhile) {
        throw Broken("saying it again told something new: " + event);
      }
    }
  }
};

inline void World::settle_accounts() {
  Settlement{*this}.settle();
}

}  // namespace wheymark::faults
