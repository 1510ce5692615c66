/* A host of libwheymark in plain C: what a home-automation hub does to follow jars, on one page.
 *
 *   cc -std=c11 -I.. host.c -o host -ldl
 *   ./host libwheymark.so.1 household.json
 *
 * There is no broker here: it plays the messages of one day in the example household, moves the
 * clock by itself, and prints what Wheymark publishes. In a hub, `publish` and `subscribe` go to
 * the hub's own MQTT client or event bus, `message` is called for what arrives, and `now_ms` is the
 * clock's. Everything else is as here. */
#define _POSIX_C_SOURCE 200809L
#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "plugin/wheymark.h"

enum { text_max = 1024 * 1024, parcels_max = 100 };

/* What the callbacks get back as their context. */
typedef struct hub {
  int64_t now_ms;
  uint64_t parcels[parcels_max]; /* published, and to be acknowledged once the call has returned */
  size_t parcel_count;
} hub;

static wheymark_text text(const char* bytes) {
  const wheymark_text made = {bytes, strlen(bytes)};
  return made;
}

static int ends_with(wheymark_text whole, const char* end) {
  const size_t length = strlen(end);
  return whole.length >= length && memcmp(whole.bytes + whole.length - length, end, length) == 0;
}

static int begins_with(wheymark_text whole, const char* begin) {
  const size_t length = strlen(begin);
  return whole.length >= length && memcmp(whole.bytes, begin, length) == 0;
}

/* --- what the library asks of us ---------------------------------------------------------------
 */

static int publish(void* context, const wheymark_message* message) {
  hub* self = context;
  if (message->delivery != 0) {
    if (self->parcel_count == parcels_max) return 1; /* no room: it will try again */
    self->parcels[self->parcel_count++] = message->delivery;
  }
  /* A hub would use all of it. Here: events, answers, and the stage of one jar. */
  if (begins_with(message->topic, "wheymark/events/") ||
      begins_with(message->topic, "wheymark/answer") ||
      ends_with(message->topic, "jar-tall/batch/stage")) {
    char instant[32];
    const time_t seconds = (time_t)(self->now_ms / 1000);
    struct tm utc;
    strftime(instant, sizeof instant, "%Y-%m-%dT%H:%M:%SZ", gmtime_r(&seconds, &utc));
    printf("%s %.*s %.*s\n", instant, (int)message->topic.length, message->topic.bytes,
           (int)message->payload.length, message->payload.bytes);
  }
  return 0;
}

static int subscribe(void* context, wheymark_text filter, uint8_t qos) {
  (void)context;
  printf("subscribes to %.*s, QoS %d\n", (int)filter.length, filter.bytes, qos);
  return 0;
}

static void write_log(void* context, wheymark_level level, wheymark_text line) {
  (void)context;
  fprintf(stderr, "log %d: %.*s\n", (int)level, (int)line.length, line.bytes);
}

/* --- what we do ----------------------------------------------------------------------------------
 */

static void must(wheymark_status status, const char* what) {
  if (status == WHEYMARK_OK) return;
  /* WHEYMARK_FROZEN in a hub: close the instance, open another from the same store, go on. */
  fprintf(stderr, "%s: %s\n", what, status == WHEYMARK_FROZEN ? "frozen" : "refused");
  exit(1);
}

/* The broker has what we published: only now may the library forget it. Never from within publish.
 */
static void acknowledge(const wheymark_plugin* library, wheymark_instance* instance, hub* self) {
  while (self->parcel_count > 0) {
    const uint64_t delivery = self->parcels[--self->parcel_count];
    must(library->delivered(instance, delivery, self->now_ms), "delivered");
  }
}

static void deliver(const wheymark_plugin* library, wheymark_instance* instance, hub* self,
                    const char* topic, const char* payload) {
  wheymark_message message;
  memset(&message, 0, sizeof message);
  message.struct_size = sizeof message;
  message.qos = 1;
  message.topic = text(topic);
  message.payload = text(payload);
  must(library->message(instance, &message, self->now_ms), "message");
  acknowledge(library, instance, self);
}

/* Sleeps until `until_ms`, waking whenever the library wants to. */
static void pass_time(const wheymark_plugin* library, wheymark_instance* instance, hub* self,
                      int64_t until_ms) {
  for (;;) {
    const int64_t due_ms = library->next_tick_ms(instance);
    if (due_ms > until_ms) break;
    if (due_ms > self->now_ms) self->now_ms = due_ms;
    must(library->tick(instance, self->now_ms), "tick");
    acknowledge(library, instance, self);
  }
  self->now_ms = until_ms;
}

static wheymark_text whole_file(const char* name) {
  static char bytes[text_max];
  FILE* file = fopen(name, "rb");
  if (file == NULL) {
    perror(name);
    exit(1);
  }
  const wheymark_text read = {bytes, fread(bytes, 1, sizeof bytes, file)};
  fclose(file);
  return read;
}

int main(int argc, char** argv) {
  if (argc != 3) {
    fprintf(stderr, "usage: %s LIBRARY CONFIGURATION\n", argv[0]);
    return 2;
  }
  void* loaded = dlopen(argv[1], RTLD_NOW | RTLD_LOCAL);
  if (loaded == NULL) {
    fprintf(stderr, "%s\n", dlerror());
    return 1;
  }
  /* ISO C has no cast from an object pointer to a function pointer; POSIX has the same bits. */
  const wheymark_plugin* (*entry)(void) = NULL;
  void* symbol = dlsym(loaded, "wheymark_plugin_v1");
  memcpy(&entry, &symbol, sizeof entry);
  if (symbol == NULL) return 1;
  const wheymark_plugin* library = entry();
  /* All of version 1 is always there. For a later function, look whether the table reaches it. */

  hub self;
  memset(&self, 0, sizeof self);
  self.now_ms = INT64_C(1803888000000); /* 2027-03-01T08:00:00Z */

  wheymark_host host;
  memset(&host, 0, sizeof host);
  host.struct_size = sizeof host;
  host.context = &self;
  host.publish = publish;
  host.subscribe = subscribe;
  host.log = write_log;

  wheymark_settings settings;
  memset(&settings, 0, sizeof settings);
  settings.struct_size = sizeof settings;
  settings.configuration = whole_file(argv[2]);
  settings.store = text(":memory:"); /* a hub leaves this empty and sets `directory` */

  wheymark_instance* instance = NULL;
  must(library->open(&host, &settings, &instance), "open");
  must(library->connected(instance, self.now_ms), "connected");
  must(library->subscribed(instance, self.now_ms), "subscribed");
  acknowledge(library, instance, &self);

  deliver(library, instance, &self, "house/kitchen/temperature", "21.5");
  deliver(library, instance, &self, "wheymark/say", "{\"fact\":\"start\",\"jar\":\"tall\"}");
  for (int quarter = 1; quarter <= 24 * 4; ++quarter) {
    pass_time(library, instance, &self, self.now_ms + 15 * 60 * 1000);
    deliver(library, instance, &self, "house/kitchen/temperature", "21.5");
  }
  deliver(library, instance, &self, "homie/5/jar-tall/care/step/set", "strain");
  deliver(library, instance, &self, "wheymark/say", "nonsense");

  must(library->stop(instance, self.now_ms), "stop");
  acknowledge(library, instance, &self);
  library->close(instance);
  dlclose(loaded);
  return 0;
}
