// Who looks at the page, and how many may do so at once?
//
// Serves the snapshot over HTTP, for reading only: GET and HEAD, no files, nothing that can be
// changed. Connections are bounded: a few threads for pages, a few for the live pages that stay
// open, a short queue; whoever comes beyond that is told to come back, and the daemon's own
// connections are not touched. A slow client costs a thread for some seconds at most between two
// bytes; somebody who keeps that up from many connections can keep others from looking, no more.
// There is no TLS and no password here: put a proxy in front to reach it from elsewhere.
#pragma once

#include <memory>
#include <string>

#include "plugin/daemon/snapshot.hpp"

namespace wheymark {

class Web {
 public:
  // Listens on "HOST:PORT". Throws WorldIsWrong when that cannot be. The snapshot must outlive it.
  Web(const std::string& listen, Snapshot& snapshot);
  // Ends every connection.
  ~Web();
  Web(const Web&) = delete;
  Web& operator=(const Web&) = delete;

 private:
  class Server;
  std::unique_ptr<Server> server_;
};

}  // namespace wheymark
