// The page over HTTP: a module of its own, which the daemon loads when a page is configured.
#include <atomic>
#include <cerrno>
#include <charconv>
#include <cstring>
#include <deque>
#include <fmt/format.h>
#include <httplib.h>
#include <sys/socket.h>
#include <thread>
#include <vector>

#include "plugin/daemon/web.hpp"
#include "plugin/daemon/world_is_wrong.hpp"
#include "plugin/web/connection.hpp"

namespace wheymark {
namespace {

using httplib::Request;
using httplib::Response;
using std::chrono::milliseconds;

constexpr int page_threads = 4;
constexpr int live_pages_max = 12;                // each holds a thread as long as it is open
constexpr std::size_t waiting_max = 32;           // connections that wait for a thread
constexpr milliseconds request_wait_max{2'000};   // an open connection without a request
constexpr milliseconds request_whole_max{3'000};  // a request that has begun
constexpr int requests_max = 20;                  // then somebody else gets the thread
constexpr milliseconds live_heartbeat{15'000};    // a proxy would end a silent connection
constexpr std::size_t request_bytes_max = 1024;   // requests have no body

// Set while a connection is told that there is no room, by the thread that accepts.
thread_local bool no_room = false;

// A few threads and a short queue. httplib's own queue is endless.
class FewAtOnce : public httplib::TaskQueue {
 public:
  FewAtOnce() {
    for (int i = 0; i < page_threads + live_pages_max; ++i) {
      threads_.emplace_back([this] { work(); });
    }
  }
  FewAtOnce(const FewAtOnce&) = delete;
  FewAtOnce& operator=(const FewAtOnce&) = delete;
  ~FewAtOnce() override = default;

  void enqueue(std::function<void()> connection) override {
    {
      const std::lock_guard guard(lock_);
      if (waiting_.size() < waiting_max) {
        waiting_.push_back(std::move(connection));
        come_in_.notify_one();
        return;
      }
    }
    no_room = true;
    connection();
    no_room = false;
  }

  void shutdown() override {
    {
      const std::lock_guard guard(lock_);
      ended_ = true;
    }
    come_in_.notify_all();
    for (std::thread& thread : threads_) thread.join();
  }

 private:
  void work() {
    for (;;) {
      std::unique_lock guard(lock_);
      come_in_.wait(guard, [this] { return ended_ || !waiting_.empty(); });
      if (waiting_.empty()) return;
      const std::function<void()> connection = std::move(waiting_.front());
      waiting_.pop_front();
      guard.unlock();
      connection();
    }
  }

  std::mutex lock_;
  std::condition_variable come_in_;
  std::deque<std::function<void()>> waiting_;
  bool ended_ = false;
  std::vector<std::thread> threads_;
};

struct HostAndPort {
  std::string host;
  int port = 0;
};

// The configuration has checked the form.
HostAndPort split(const std::string& listen) {
  HostAndPort address;
  const std::size_t colon = listen.rfind(':');
  address.host = listen.substr(0, colon);
  if (address.host.size() > 2 && address.host.front() == '[') {
    address.host = address.host.substr(1, address.host.size() - 2);
  }
  if (colon != std::string::npos) {
    std::from_chars(listen.data() + colon + 1, listen.data() + listen.size(), address.port);
  }
  return address;
}

// A picture brings its own style, a page has its own in a file; nothing may come from elsewhere.
const char* content_policy_of(const std::string& content_type) {
  return content_type.rfind("image/svg+xml", 0) == 0
             ? "default-src 'none'; style-src 'unsafe-inline'"
             : "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; "
               "connect-src 'self'; base-uri 'none'; form-action 'none'";
}

// Whether the reader has this already (RFC 9110, 13.1.2: a list of etags, weak ones count too).
bool has_already(const Request& request, const std::string& etag) {
  const std::string known = request.get_header_value("If-None-Match");
  return known == "*" || (!etag.empty() && known.find(etag) != std::string::npos);
}

class Server : public Web, private httplib::Server {
 public:
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;
  Server(const std::string& listen, Snapshot& snapshot) : snapshot_(snapshot) {
    new_task_queue = [] { return new FewAtOnce; };  // httplib deletes it
    set_payload_max_length(request_bytes_max);
    set_tcp_nodelay(true);
    set_default_headers(
        {{"X-Content-Type-Options", "nosniff"}, {"Referrer-Policy", "no-referrer"}});
    set_pre_routing_handler([](const Request& request, Response& response) {
      if (request.method == "GET" || request.method == "HEAD") {
        return HandlerResponse::Unhandled;
      }
      response.status = 405;
      response.set_header("Allow", "GET, HEAD");
      response.set_content("This page is for looking only.\n", "text/plain; charset=utf-8");
      return HandlerResponse::Handled;
    });
    Get("/live", [this](const Request& request, Response& response) { live(request, response); });
    Get(".*", [this](const Request& request, Response& response) { show(request, response); });

    const auto [host, port] = split(listen);
    // Without the option a second daemon would share the port and answer every second reader.
    set_socket_options([](socket_t socket) {
      const int yes = 1;
      setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    });
    if (!bind_to_port(host, port)) {
      throw WorldIsWrong(
          fmt::format("tile.listen {}: cannot listen there ({}); allowed: an address of this "
                      "machine and a port "
                      "that nobody else listens on",
                      listen, strerror(errno)));
    }
    thread_ = std::thread([this] {
      listen_after_bind();
      thread_ended_ = true;
    });
  }

  ~Server() override {
    snapshot_.end();
    while (!is_running() && !thread_ended_) std::this_thread::yield();
    stop();
    thread_.join();
  }

 private:
  void show(const Request& request, Response& response) {
    const std::shared_ptr<const Document> document = snapshot_.at(request.path);
    if (document == nullptr) {
      response.status = 404;
      response.set_content("There is nothing here. The page is at /\n",
                           "text/plain; charset=utf-8");
      return;
    }
    response.set_header("ETag", document->etag);
    response.set_header("Cache-Control", "no-cache");  // keep it, but ask whether it has changed
    response.set_header("Content-Security-Policy", content_policy_of(document->content_type));
    if (has_already(request, document->etag)) {
      response.status = 304;
      return;
    }
    response.set_content(document->body, document->content_type);
  }

  // Server-sent events: the page's etag, at once and whenever it is another.
  void live(const Request& request, Response& response) {
    response.set_header("Cache-Control", "no-store");
    if (request.method == "HEAD") {
      response.set_content("", "text/event-stream");
      return;
    }
    if (live_pages_.fetch_add(1) >= live_pages_max) {
      --live_pages_;
      response.status = 503;
      response.set_header("Retry-After", "60");
      response.set_content("Too many live pages are open.\n", "text/plain; charset=utf-8");
      return;
    }
    auto told = std::make_shared<std::string>();
    response.set_chunked_content_provider(
        "text/event-stream",
        [this, told](std::size_t, httplib::DataSink& sink) { return tell(*told, sink); },
        [this](bool) { --live_pages_; });
  }

  bool tell(std::string& told, httplib::DataSink& sink) const {
    if (snapshot_.ended()) return false;
    const std::string etag = snapshot_.wait_for_other_than(told, live_heartbeat);
    const std::string event =
        etag == told ? std::string(": still here\n\n") : fmt::format("data: {}\n\n", etag);
    told = etag;
    return sink.write(event.data(), event.size());
  }

  // Called for each connection, by a thread of the queue or, without room, by the one that accepts.
  bool process_and_close_socket(socket_t socket) override {
    Connection connection(socket);
    if (no_room) {
      connection.turn_away();
      return false;
    }
    for (int left = requests_max; left > 0 && !snapshot_.ended(); --left) {
      if (!connection.request_begins(request_wait_max, request_whole_max)) return false;
      bool closed = false;
      if (!process_request(connection, left == 1, closed, nullptr)) return false;
      if (closed) return true;
    }
    return true;
  }

  Snapshot& snapshot_;
  std::atomic<int> live_pages_{0};
  std::atomic<bool> thread_ended_{false};
  std::thread thread_;
};

}  // namespace
}  // namespace wheymark

[[gnu::visibility("default")]] wheymark::Web* wheymark_web(const std::string& listen,
                                                           wheymark::Snapshot& snapshot) {
  return new wheymark::Server(listen, snapshot);
}
