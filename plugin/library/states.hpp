// What is published retained: the latest payload of every topic, sent when it changes, and all of
// it again at every connection, because a broker may have forgotten it.
//
// Which topics we have ever filled is remembered in the store, so that a jar that has left the
// configuration leaves no retained ghost, however long the daemon was away.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "core/basis/result.hpp"
#include "plugin/library/host.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

class States {
 public:
  States(const Host& host, Store& store) : host_(host), store_(store) {}

  // There is a connection, and nothing that was published before counts.
  void connected();
  void disconnected() { connected_ = false; }

  // Publishes the payload if it is another than the last; an empty one clears the topic. What the
  // host refuses waits for publish_what_was_refused().
  void publish(const std::string& topic, const std::string& payload);
  void publish_what_was_refused();
  [[nodiscard]] bool was_refused() const { return !refused_.empty(); }

  // Clears every topic that was filled in an earlier life and is none of those published since
  // `connected`, a device's `$state` before all else of it as the convention wants; then remembers
  // what is filled now.
  Outcome clear_ghosts();

 private:
  const Host& host_;
  Store& store_;
  bool connected_ = false;
  std::map<std::string, std::string> published_;              // by topic; empty payloads as well
  std::vector<std::pair<std::string, std::string>> refused_;  // topic and payload, in their order
};

}  // namespace wheymark
