// What is published retained: the latest payload of every topic, sent when it changes, and all of it
// again at every connection, because a broker may have forgotten it.
//
// Which topics we have ever filled is remembered in the store, so that a jar that has left the
// configuration leaves no retained ghost, however long the daemon was away.
#pragma once

#include <map>
#include <set>
#include <string>

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

  // Publishes the payload if it is another than the last; an empty one clears the topic.
  void publish(const std::string& topic, const std::string& payload);

  // Clears every topic that was filled in an earlier life and is none of those published since
  // `connected`; then remembers what is filled now.
  Outcome clear_ghosts();

 private:
  const Host& host_;
  Store& store_;
  bool connected_ = false;
  std::map<std::string, std::string> published_;  // by topic; empty payloads as well
};

}  // namespace wheymark
