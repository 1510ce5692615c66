/* A stand-in for libwheymark with which the daemon is tested: it knows nothing of kefir, does what
 * topics tell it to do, and publishes what it was told. Its configuration is lines of "key value":
 *
 *   url, client_id, user, password_file, ca_file   as in wheymark_connection
 *   refuse WHY                                     the configuration is refused
 *
 * Subscribed to in/#. What a message on in/... makes it do:
 *   in/echo TEXT      publishes out/echo "NOW QOS RETAIN TEXT", to be delivered
 *   in/every MS       from now on a timer: at each, a retained out/parcel/N "NOW", to be delivered
 *   in/flood N        publishes out/flood/1 ... N at once, QoS 1
 *   in/wild TOPIC     publishes to TOPIC, and says on out/wild whether that was refused
 *   in/long N         publishes N bytes on out/long, with bytes that are not UTF-8
 *   in/freeze         freezes
 *   in/hang SECONDS   does not return for so long
 *   in/stick          asks for the same instant for ever
 * Every delivery that is acknowledged before `stop` is published on out/delivered, QoS 0.
 * State: a retained fake/state, "init", "ready" at `subscribed`, "disconnected" at `stop`, "lost"
 * as the will. */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "plugin/wheymark.h"

enum { parcels_max = 4096, text_max = 256 };

typedef struct parcel {
  uint64_t delivery;
  char topic[text_max];
  char payload[text_max];
  int retain;
} parcel;

struct wheymark_instance {
  wheymark_host host;
  char url[text_max], client_id[text_max], user[text_max], password_file[text_max];
  char ca_file[text_max];
  int frozen, stuck, stopped;
  int64_t next_ms, every_ms;
  uint64_t delivery_last, parcel_last;
  parcel parcels[parcels_max];
  size_t parcel_count;
};

static wheymark_text text(const char* bytes) {
  wheymark_text made = {bytes, strlen(bytes)};
  return made;
}

/* The value of `key` in the configuration, or "". */
static void value_of(wheymark_text configuration, const char* key, char* value) {
  const size_t key_length = strlen(key);
  const char* line = configuration.bytes;
  const char* end = configuration.bytes + configuration.length;
  value[0] = '\0';
  while (line < end) {
    const char* stop = memchr(line, '\n', (size_t)(end - line));
    if (stop == NULL) stop = end;
    if ((size_t)(stop - line) > key_length && memcmp(line, key, key_length) == 0 &&
        line[key_length] == ' ') {
      const size_t length = (size_t)(stop - line) - key_length - 1;
      if (length >= text_max) return;
      memcpy(value, line + key_length + 1, length);
      value[length] = '\0';
      return;
    }
    line = stop + 1;
  }
}

static int publish(wheymark_instance* self, const char* topic, wheymark_text payload, int qos,
                   int retain, uint64_t delivery) {
  wheymark_message message;
  memset(&message, 0, sizeof message);
  message.struct_size = sizeof message;
  message.qos = (uint8_t)qos;
  message.retain = (uint8_t)retain;
  message.topic = text(topic);
  message.payload = payload;
  if (delivery != 0) message.content_type = text("text/plain");
  message.delivery = delivery;
  return self->host.publish(self->host.context, &message);
}

static void publish_parcel(wheymark_instance* self, const parcel* p) {
  publish(self, p->topic, text(p->payload), 1, p->retain, p->delivery);
}

/* Kept until it is delivered. */
static void add_parcel(wheymark_instance* self, const char* topic, const char* payload,
                       int retain) {
  if (self->parcel_count == parcels_max) return;
  parcel* p = &self->parcels[self->parcel_count++];
  p->delivery = ++self->delivery_last;
  p->retain = retain;
  snprintf(p->topic, sizeof p->topic, "%s", topic);
  snprintf(p->payload, sizeof p->payload, "%s", payload);
  publish_parcel(self, p);
}

static wheymark_status check(const wheymark_host* host, const wheymark_settings* settings) {
  char why[text_max];
  value_of(settings->configuration, "refuse", why);
  if (why[0] != '\0') {
    host->log(host->context, WHEYMARK_ERROR, text(why));
    host->log(host->context, WHEYMARK_ERROR, text("second line"));
    return WHEYMARK_REFUSED;
  }
  host->log(host->context, WHEYMARK_NOTICE, text("understood\033[2J"));
  return WHEYMARK_OK;
}

static wheymark_status open_instance(const wheymark_host* host, const wheymark_settings* settings,
                                     wheymark_instance** made) {
  char line[2 * text_max];
  *made = NULL;
  if (check(host, settings) != WHEYMARK_OK) return WHEYMARK_REFUSED;
  wheymark_instance* self = calloc(1, sizeof *self);
  if (self == NULL) return WHEYMARK_FROZEN;
  self->host = *host;
  self->next_ms = INT64_MAX;
  value_of(settings->configuration, "url", self->url);
  value_of(settings->configuration, "client_id", self->client_id);
  value_of(settings->configuration, "user", self->user);
  value_of(settings->configuration, "password_file", self->password_file);
  value_of(settings->configuration, "ca_file", self->ca_file);
  snprintf(line, sizeof line, "store is \"%.*s\"", (int)settings->store.length,
           settings->store.length != 0 ? settings->store.bytes : "");
  host->log(host->context, WHEYMARK_NOTICE, text(line));
  *made = self;
  return WHEYMARK_OK;
}

static wheymark_status connection(wheymark_instance* self, wheymark_connection* filled) {
  filled->will_qos = 1;
  filled->will_retain = 1;
  filled->url = text(self->url);
  filled->client_id = text(self->client_id);
  filled->user = text(self->user);
  filled->password_file = text(self->password_file);
  filled->ca_file = text(self->ca_file);
  filled->will_topic = text("fake/state");
  filled->will_payload = text("lost");
  return WHEYMARK_OK;
}

static wheymark_status connected(wheymark_instance* self, int64_t now_ms) {
  (void)now_ms;
  if (self->frozen) return WHEYMARK_FROZEN;
  self->host.subscribe(self->host.context, text("in/#"), 1);
  publish(self, "fake/state", text("init"), 1, 1, 0);
  for (size_t i = 0; i < self->parcel_count; ++i) publish_parcel(self, &self->parcels[i]);
  return WHEYMARK_OK;
}

static wheymark_status subscribed(wheymark_instance* self, int64_t now_ms) {
  (void)now_ms;
  if (self->frozen) return WHEYMARK_FROZEN;
  publish(self, "fake/state", text("ready"), 1, 1, 0);
  return WHEYMARK_OK;
}

static wheymark_status disconnected(wheymark_instance* self, int64_t now_ms) {
  (void)now_ms;
  self->host.log(self->host.context, WHEYMARK_NOTICE, text("told: disconnected"));
  return self->frozen ? WHEYMARK_FROZEN : WHEYMARK_OK;
}

static int is(wheymark_text topic, const char* name) {
  return topic.length == strlen(name) && memcmp(topic.bytes, name, topic.length) == 0;
}

static void flood(wheymark_instance* self, long count) {
  char topic[text_max];
  for (long i = 1; i <= count; ++i) {
    snprintf(topic, sizeof topic, "out/flood/%ld", i);
    publish(self, topic, text("x"), 1, 0, 0);
  }
}

static void publish_long(wheymark_instance* self, long count) {
  wheymark_text payload = {NULL, (size_t)count};
  char* bytes = malloc((size_t)count + 1);
  if (bytes == NULL) return;
  memset(bytes, 0xff, (size_t)count);
  payload.bytes = bytes;
  publish(self, "out/long", payload, 0, 0, 0);
  free(bytes);
}

static wheymark_status message(wheymark_instance* self, const wheymark_message* in,
                               int64_t now_ms) {
  char payload[text_max], said[2 * text_max];
  if (self->frozen) return WHEYMARK_FROZEN;
  const size_t length = in->payload.length < text_max - 1 ? in->payload.length : text_max - 1;
  if (length != 0) memcpy(payload, in->payload.bytes, length);
  payload[length] = '\0';
  if (is(in->topic, "in/freeze")) {
    self->frozen = 1;
    return WHEYMARK_FROZEN;
  }
  if (is(in->topic, "in/echo")) {
    snprintf(said, sizeof said, "%" PRId64 " %d %d %s", now_ms, in->qos, in->retain, payload);
    add_parcel(self, "out/echo", said, 0);
  } else if (is(in->topic, "in/every")) {
    self->every_ms = atol(payload);
    self->next_ms = now_ms + self->every_ms;
  } else if (is(in->topic, "in/flood")) {
    flood(self, atol(payload));
  } else if (is(in->topic, "in/wild")) {
    const int refused = publish(self, payload, text("x"), 1, 0, 0);
    publish(self, "out/wild", text(refused ? "refused" : "published"), 1, 0, 0);
  } else if (is(in->topic, "in/long")) {
    publish_long(self, atol(payload));
  } else if (is(in->topic, "in/hang")) {
    sleep((unsigned)atol(payload));
  } else if (is(in->topic, "in/stick")) {
    self->stuck = 1;
    self->next_ms = now_ms;
  }
  return WHEYMARK_OK;
}

static wheymark_status tick(wheymark_instance* self, int64_t now_ms) {
  char topic[text_max], payload[text_max];
  if (self->frozen) return WHEYMARK_FROZEN;
  if (self->stuck || now_ms < self->next_ms) return WHEYMARK_OK;
  self->next_ms += self->every_ms;
  snprintf(topic, sizeof topic, "out/parcel/%" PRIu64, ++self->parcel_last);
  snprintf(payload, sizeof payload, "%" PRId64, now_ms);
  add_parcel(self, topic, payload, 1);
  return WHEYMARK_OK;
}

static int64_t next_tick_ms(const wheymark_instance* self) {
  return self->next_ms;
}

static wheymark_status delivered(wheymark_instance* self, uint64_t delivery, int64_t now_ms) {
  char said[text_max];
  (void)now_ms;
  if (self->frozen) return WHEYMARK_FROZEN;
  for (size_t i = 0; i < self->parcel_count; ++i) {
    if (self->parcels[i].delivery != delivery) continue;
    memmove(&self->parcels[i], &self->parcels[i + 1],
            (self->parcel_count - i - 1) * sizeof self->parcels[0]);
    --self->parcel_count;
    snprintf(said, sizeof said, "%" PRIu64, delivery);
    if (!self->stopped) publish(self, "out/delivered", text(said), 0, 0, 0);
    return WHEYMARK_OK;
  }
  return WHEYMARK_OK;
}

static wheymark_status stop(wheymark_instance* self, int64_t now_ms) {
  (void)now_ms;
  if (self->frozen) return WHEYMARK_FROZEN;
  publish(self, "fake/state", text("disconnected"), 1, 1, 0);
  self->stopped = 1; /* the goodbye is the last word */
  return WHEYMARK_OK;
}

static void close_instance(wheymark_instance* self) {
  free(self);
}

const wheymark_plugin* wheymark_plugin_v1(void) {
  /* As a library of version 1.0 would be: without pages and tiles. */
  static const wheymark_plugin table = {offsetof(wheymark_plugin, render),
                                        "0.0.0-fake",
                                        check,
                                        open_instance,
                                        connection,
                                        connected,
                                        subscribed,
                                        disconnected,
                                        message,
                                        tick,
                                        next_tick_ms,
                                        delivered,
                                        stop,
                                        close_instance,
                                        NULL,
                                        NULL,
                                        NULL,
                                        NULL};
  return &table;
}
