// Who looks at the page, and how many may do so at once?
//
// Serves the snapshot over HTTP, for reading only: GET and HEAD, no files, nothing that can be
// changed. Connections are bounded: a few threads for pages, a few for the live pages that stay
// open, a short queue; whoever comes beyond that is told to come back, and the daemon's own
// connections do not suffer. A slow client costs a thread for some seconds at most between two
// bytes; somebody who keeps that up from many connections can keep others from the page, no more.
// There is no TLS and no password here: put a proxy in front to reach it from elsewhere.
//
// What speaks HTTP is a module (plugin/web) that is loaded when a page is asked for: a daemon
// without one has neither that code nor its libraries in memory.
#pragma once

#include <memory>
#include <string>

#include "plugin/daemon/snapshot.hpp"

namespace wheymark {

class Web {
 public:
  Web() = default;
  // Ends every connection.
  virtual ~Web() = default;
  Web(const Web&) = delete;
  Web& operator=(const Web&) = delete;
};

// Listens on "HOST:PORT". Throws WorldIsWrong when that cannot be. The snapshot must outlive it.
std::unique_ptr<Web> web_at(const std::string& listen, Snapshot& snapshot);

}  // namespace wheymark

// The one thing that the module exports: what web_at gives.
extern "C" wheymark::Web* wheymark_web(const std::string& listen, wheymark::Snapshot& snapshot);
