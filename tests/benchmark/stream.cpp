// Many thermometers: a stream of JSON readings of known length and speed.
//
// stream URL TOPICS READINGS PER_SECOND: publishes that many readings, QoS 1, in turn on
// "load/0/climate" and so on; the readings of a topic are a minute apart, the last is of now.
// PER_SECOND 0: as fast as the broker accepts them. Ends when the broker has acknowledged the last.
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <deque>
#include <mqtt/async_client.h>
#include <string>
#include <thread>

namespace {

using Clock = std::chrono::steady_clock;
constexpr std::size_t in_flight_max = 500;

std::string reading(long topic, long minute, long long at_s) {
  // A room with a daily cycle, different from the next one's.
  const double hours = static_cast<double>(minute) / 60.0;
  const double air = 20.0 + 0.01 * static_cast<double>(topic % 300) + 1.5 * std::sin(hours * 0.26);
  char text[96];
  std::snprintf(text, sizeof text, R"({"temperature":%.2f,"humidity":%ld,"at":%lld})", air,
                40 + topic % 20, at_s);
  return text;
}

}  // namespace

int main(int count_of_words, char** words) {
  if (count_of_words != 5) {
    std::fputs("usage: stream URL TOPICS READINGS PER_SECOND\n", stderr);
    return 2;
  }
  const long topics = std::atol(words[2]);
  const long readings = std::atol(words[3]);
  const double per_second = std::atof(words[4]);
  try {
    mqtt::async_client client(words[1], "stream",
                              mqtt::create_options(MQTTVERSION_5, 2 * in_flight_max));
    mqtt::connect_options options;
    options.set_mqtt_version(MQTTVERSION_5);
    options.set_clean_start(true);
    client.connect(options)->wait();

    const long minutes = (readings + topics - 1) / topics;
    const long long now_s = std::chrono::duration_cast<std::chrono::seconds>(
                                std::chrono::system_clock::now().time_since_epoch())
                                .count();
    std::deque<mqtt::delivery_token_ptr> in_flight;
    const auto began = Clock::now();
    for (long i = 0; i < readings; ++i) {
      const long topic = i % topics;
      const long minute = i / topics;
      const long long at_s = now_s - 60LL * (minutes - 1 - minute);
      if (in_flight.size() >= in_flight_max) {
        in_flight.front()->wait();
        in_flight.pop_front();
      }
      in_flight.push_back(client.publish("load/" + std::to_string(topic) + "/climate",
                                         reading(topic, minute, at_s), 1, false));
      if (per_second > 0.0) {
        std::this_thread::sleep_until(
            began + std::chrono::duration_cast<Clock::duration>(
                        std::chrono::duration<double>(static_cast<double>(i + 1) / per_second)));
      }
    }
    for (const auto& token : in_flight) token->wait();
    client.disconnect()->wait();
  } catch (const mqtt::exception& error) {
    std::fprintf(stderr, "stream: %s\n", error.what());
    return 1;
  }
  return 0;
}
