// What do the web threads serve now?
//
// The worker puts all documents in; web threads get them out. The two share this one lock and
// nothing else: no web thread ever calls the instance, and the worker never waits for a reader.
#pragma once

#include <chrono>
#include <condition_variable>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>

#include "plugin/daemon/loaded_instance.hpp"

namespace wheymark {

class Snapshot {
 public:
  using Documents = std::map<std::string, std::shared_ptr<const Document>, std::less<>>;

  // By path. Kept as long as somebody reads it.
  void replace(Documents documents);

  // Null when there is none at this path.
  [[nodiscard]] std::shared_ptr<const Document> at(std::string_view path) const;

  // Returns when the page at "/" has another etag than `etag`, after `wait_max`, or at the end;
  // the etag then.
  [[nodiscard]] std::string wait_for_other_than(const std::string& etag,
                                                std::chrono::milliseconds wait_max) const;

  // From here on nobody waits.
  void end();
  [[nodiscard]] bool ended() const;

 private:
  [[nodiscard]] std::string etag_of_page() const;  // with the lock held

  mutable std::mutex lock_;
  mutable std::condition_variable changed_;
  Documents documents_;
  bool ended_ = false;
};

}  // namespace wheymark
