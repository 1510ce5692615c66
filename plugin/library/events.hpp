// What is due by now is announced, each once: recorded, and handed over as a CloudEvent; and what
// wants a person's attention is told as a notice.
//
// The journal keeps the announcement and the outbox its message, in one transaction. While the
// store cannot keep them nothing is announced, and it is tried again a little later.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/announce/announcer.hpp"
#include "core/basis/result.hpp"
#include "core/notice/attention.hpp"
#include "plugin/library/journal.hpp"

namespace wheymark {

class Events {
 public:
  // Topics begin with the prefix; the root device is the events' source.
  Events(std::string prefix, std::string root_device, Announcer& announcer, Attention& attention,
         Journal& journal)
      : prefix_(std::move(prefix)),
        root_device_(std::move(root_device)),
        announcer_(announcer),
        attention_(attention),
        journal_(journal) {}

  // From when on thermometers are heard: before that, their silence means nothing.
  void listen_from(Instant now) {
    announcer_.listen_from(now);
    attention_.listen_from(now);
  }

  // Announces what is due, and tells what wants attention. Refused when the store cannot keep it;
  // then it waits for a while.
  Outcome announce(Instant now);
  // Announces without waiting: before a person's report ends what there is to announce.
  Outcome announce_at_once(Instant now);

  // When there will be something to announce, or to try again; nothing: never, as things are.
  [[nodiscard]] std::optional<Instant> next();
  // The subjects of announcements since the last call: their state may have changed. Valid until
  // the next call.
  [[nodiscard]] const std::vector<Subject>& drain_announced() { return announced_.drain(); }
  void clock_went_back(Instant now) {
    retry_at_.reset();
    attention_.clock_went_back(now);
  }

 private:
  Outcome tell(const std::vector<Announcement>& due, const std::vector<Notice>& notices,
               Instant now);

  std::string prefix_;
  std::string root_device_;
  Announcer& announcer_;
  Attention& attention_;
  Journal& journal_;
  ChangedSubjects announced_;
  std::optional<Instant> retry_at_;  // it could not be recorded
};

}  // namespace wheymark
