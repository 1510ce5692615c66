// How does another configuration come into use, while jars are followed?
//
// The parts of Run that SIGHUP asks for. The new configuration is checked first; only a good one
// ends the old instance, and the new instance restores everything from the same store.
#include <fmt/format.h>
#include <utility>

#include "plugin/daemon/run.hpp"
#include "plugin/daemon/world_is_wrong.hpp"

namespace wheymark {
namespace {

// For checking a configuration: logs what is wrong, not what was understood.
class Complaining : public HostOfInstance {
 public:
  explicit Complaining(const Log& log) : log_(log) {}
  bool publish(Outgoing) override { return false; }
  bool subscribe(std::string_view, std::uint8_t) override { return false; }
  void log(wheymark_level level, std::string_view line) override {
    if (level <= WHEYMARK_WARNING) log_.line(static_cast<LogLevel>(level), line);
  }

 private:
  const Log& log_;
};

}  // namespace

void Run::read_configuration_again() {
  supervisor_.reloading();
  try {
    Settings settings = read_settings_();
    Complaining complaining(log_);
    if (!configuration_is_good(complaining, settings)) throw WorldIsWrong("see the lines above");
    change_to(std::move(settings));
    log_.notice("the configuration was read again and is in use");
  } catch (const WorldIsWrong& error) {
    log_.error(fmt::format("the new configuration is not used, the one of before goes on: {}",
                           error.what()));
  }
  supervisor_.ready();
}

// The old instance says goodbye and the new one publishes everything anew, on the same connection
// if that may stay: then no message is lost in between.
void Run::change_to(Settings settings) {
  if (can_call()) {
    instance_->stop(*now_ms());
    wait_for_broker(goodbye_wait_max, [this] { return broker_->all_published(); });
  }
  instance_.reset();
  greeted_ = false;
  subscribing_until_.reset();
  std::swap(settings_, settings);
  try {
    open_instance();
    const BrokerAddress address = instance_->broker_address();
    if (address.tile_listen != address_.tile_listen) show_page_at(address.tile_listen);
    address_.tile_listen = address.tile_listen;
    // An acknowledgement that is still to come may be about a message of another store.
    if (address != address_ || !broker_->all_published()) move_to_broker_at(address);
    greet();
  } catch (const WorldIsWrong&) {
    instance_.reset();  // the worker makes another, as after a freeze
    reopen_at_ = Steady::now();
    std::swap(settings_, settings);
    throw;
  }
}

// The old page stays when the new address cannot be listened on.
void Run::show_page_at(const std::string& listen) {
  std::unique_ptr<Web> web;
  if (!listen.empty()) {
    web = web_at(listen, snapshot_);
    log_.notice(fmt::format("the page is at http://{}/", listen));
  }
  web_ = std::move(web);
}

void Run::move_to_broker_at(const BrokerAddress& address) {
  auto next = std::make_unique<Broker>(address, settings_.directory, inbox_, log_);
  broker_->disconnect();
  wait_for_broker(disconnect_wait_max, [this] { return !broker_->disconnecting(); });
  broker_ = std::move(next);  // from here on nothing more comes from the old one
  address_ = address;
  while (std::optional<Arrival> arrival = inbox_.take(std::chrono::milliseconds(0))) {
    if (outlives_its_connection(*arrival)) postponed_.push_back(std::move(*arrival));
  }
}

}  // namespace wheymark
