// What is published retained: the latest payload of every topic, sent when it changes, and all of
// it again at every connection, because a broker may have forgotten it.
//
// A topic that we fill is remembered in the store before it is filled, so that a jar that has left
// the configuration leaves no retained ghost, however long or suddenly the daemon was away. Many
// topics are remembered in one transaction: therefore `publish` only lays out, and `send` sends.
#pragma once

#include <cstdint>
#include <deque>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

#include "core/basis/result.hpp"
#include "plugin/library/host.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

class States {
 public:
  States(const Host& host, Store& store) : host_(host), store_(store) {}

  // There is a connection, and nothing that was published before counts. Refused when the store
  // does not tell which topics we ever filled; then ghosts may stay until the next connection.
  Outcome connected();
  void disconnected();

  // Lays out the payload if it is another than the last. An empty one clears the topic, whoever has
  // filled it: perhaps we have, before our store was lost.
  void publish(const std::string& topic, const std::string& payload);
  // Lays out the payload even when it is the same as before.
  void publish_again(const std::string& topic, const std::string& payload);

  // Sends what is laid out, in that order; what the host refuses stays laid out, for the next time.
  // Refused when the store could not remember the new topics among it; they are sent all the same,
  // and remembering is tried again with the next.
  Outcome send();
  [[nodiscard]] bool was_refused() const { return !laid_out_.empty(); }

  // Clears every topic that was filled in an earlier life and is none of those published since
  // `connected`, in the order that Homie asks for: what makes a device exist goes first. They are
  // laid out behind everything else. A ghost is remembered until the broker has acknowledged that
  // it is gone.
  void clear_ghosts();
  // Whether this is the number of a ghost that we wait for; then `kept` says whether it is
  // forgotten.
  bool delivered(std::uint64_t delivery, Outcome& kept);

 private:
  void lay_out_ghosts(const std::vector<std::string>& topics);
  Outcome remember_new_topics();
  void drop_what_was_overtaken();

  const Host& host_;
  Store& store_;
  bool connected_ = false;
  struct Topic {
    // The fingerprint of the last payload of this connection; nothing: none was published in it.
    std::optional<std::uint64_t> payload;
    bool is_remembered = false;  // in the store
  };
  std::unordered_map<std::string, Topic> topics_;
  struct LaidOut {
    std::string topic;
    std::string payload;
    std::uint64_t delivery;  // of a ghost; else 0
  };
  std::deque<LaidOut> laid_out_;
  std::set<std::string> to_remember_;
  // The store numbers its messages from 1 and never gets so far. Never used twice, because news of
  // an earlier connection may come late.
  static constexpr std::uint64_t first_ghost = std::uint64_t{1} << 63;
  std::uint64_t next_ghost_ = first_ghost;
  std::map<std::uint64_t, std::string> ghosts_;  // on their way, by delivery
  std::vector<std::string> later_ghosts_;        // once those are gone
  std::vector<std::string> gone_;
};

}  // namespace wheymark
