#include "plugin/daemon/snapshot.hpp"

#include <utility>

namespace wheymark {

void Snapshot::replace(Documents documents) {
  {
    const std::lock_guard guard(lock_);
    documents_ = std::move(documents);
  }
  changed_.notify_all();
}

std::shared_ptr<const Document> Snapshot::at(std::string_view path) const {
  const std::lock_guard guard(lock_);
  const auto found = documents_.find(path);
  return found == documents_.end() ? nullptr : found->second;
}

std::string Snapshot::etag_of_page() const {
  const auto page = documents_.find("/");
  return page == documents_.end() ? std::string() : page->second->etag;
}

std::string Snapshot::wait_for_other_than(const std::string& etag,
                                          std::chrono::milliseconds wait_max) const {
  std::unique_lock guard(lock_);
  changed_.wait_for(guard, wait_max, [&] { return ended_ || etag_of_page() != etag; });
  return etag_of_page();
}

void Snapshot::end() {
  {
    const std::lock_guard guard(lock_);
    ended_ = true;
  }
  changed_.notify_all();
}

bool Snapshot::ended() const {
  const std::lock_guard guard(lock_);
  return ended_;
}

}  // namespace wheymark
