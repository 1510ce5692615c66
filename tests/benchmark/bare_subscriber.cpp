// What it costs only to receive: Paho's C++ client with a callback that counts.
//
// bare-subscriber URL FILTER: subscribes with QoS 1, prints "ready" on standard output, counts
// until SIGTERM, and prints how many messages came.
#include <atomic>
#include <csignal>
#include <cstdio>
#include <mqtt/async_client.h>

int main(int count_of_words, char** words) {
  if (count_of_words != 3) {
    std::fputs("usage: bare-subscriber URL FILTER\n", stderr);
    return 2;
  }
  sigset_t end;
  sigemptyset(&end);
  sigaddset(&end, SIGTERM);
  sigaddset(&end, SIGINT);
  pthread_sigmask(SIG_BLOCK, &end, nullptr);  // before Paho starts its threads

  std::atomic<long> count{0};
  mqtt::async_client client(words[1], "bare-subscriber", mqtt::create_options(MQTTVERSION_5));
  client.set_message_callback([&](const mqtt::const_message_ptr&) { ++count; });
  mqtt::connect_options options;
  options.set_mqtt_version(MQTTVERSION_5);
  options.set_clean_start(true);
  options.set_keep_alive_interval(20);
  try {
    client.connect(options)->wait();
    client.subscribe(words[2], 1)->wait();
  } catch (const mqtt::exception& error) {
    std::fprintf(stderr, "bare-subscriber: %s\n", error.what());
    return 1;
  }
  std::puts("ready");
  std::fflush(stdout);
  int signal = 0;
  sigwait(&end, &signal);
  std::printf("%ld\n", count.load());
  client.disconnect()->wait();
  return 0;
}
