/* The C interface of libwheymark: what a home-automation hub needs to follow jars of milk kefir.
 *
 * Compatibility. A host built against this header keeps working with every later library of the
 * same major version, and a library keeps working with every earlier host of that version: tables
 * and records begin with `struct_size`, which whoever fills them sets to sizeof; they grow at the
 * end only; nobody reads beyond the smaller of the two sizes; a function that is missing there is
 * not called. A change that breaks this gets a new entry point beside the old one.
 *
 * Life. One entry point, wheymark_plugin_v1(), gives the table of functions. `open` makes an
 * instance from a configuration; `connected` (at every connection of the host to its broker) makes
 * it subscribe and publish everything it has to say; `message`, `tick`, `delivered` and
 * `subscribed` feed it; `stop` lets it say goodbye; `close` frees it. Several instances may live in
 * one process; they share nothing, but no two may use one store.
 *
 * Threads. The library starts none and installs no handler. Calls on one instance must not overlap;
 * they may come from different threads one after the other. The host's functions are called only
 * from within a call of the host's and must not call back into the same instance.
 *
 * Time. All instants are milliseconds since 1970-01-01T00:00:00Z, given by the host. The library
 * reads no clock. An instant that is earlier than one before is taken as that one; a clock that has
 * stayed behind for half an hour is believed. Before 2024 a clock is not set: nothing is claimed.
 *
 * Memory. Whatever a call is given belongs to the caller and is read only during the call; whatever
 * the library hands out is valid until the next call on that instance.
 *
 * Text. UTF-8 with a length, not terminated. Topics and filters are MQTT's.
 *
 * Errors. Functions return a wheymark_status. A refused configuration is told line by line to
 * `log`. When the library finds a mistake of its own, that instance is frozen: every call returns
 * WHEYMARK_FROZEN and does nothing; the host closes it and opens another from the same store. No
 * C++ exception ever leaves the library.
 *
 * Lost and doubled messages. A message with a `delivery` other than 0 is kept in the store until
 * the host has called `delivered` with that number; after a restart or `connected` it is published
 * again, the same to the byte. Whoever receives it may see it twice and can tell by its id. All
 * other messages are states that are published anew at `connected`.
 */
#ifndef WHEYMARK_H
#define WHEYMARK_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define WHEYMARK_EXPORT __attribute__((visibility("default")))
#else
#define WHEYMARK_EXPORT
#endif

typedef struct wheymark_instance wheymark_instance;

typedef enum wheymark_status {
  WHEYMARK_OK = 0,
  WHEYMARK_REFUSED = 1, /* the call or the configuration was wrong; `log` was told why */
  WHEYMARK_FROZEN = 2   /* a mistake of the library's own; close, then open again */
} wheymark_status;

typedef enum wheymark_level {
  WHEYMARK_ERROR = 0, /* something was lost or cannot work */
  WHEYMARK_WARNING = 1, /* the world was wrong, and we go on */
  WHEYMARK_NOTICE = 2, /* worth a line in a quiet log */
  WHEYMARK_DEBUG = 3
} wheymark_level;

typedef struct wheymark_text {
  const char* bytes; /* may be NULL when length is 0 */
  size_t length;
} wheymark_text;

typedef struct wheymark_message {
  uint32_t struct_size;
  uint8_t qos;    /* 0, 1 or 2 */
  uint8_t retain; /* 0 or 1 */
  uint16_t reserved; /* 0 */
  wheymark_text topic;
  wheymark_text payload;
  wheymark_text content_type; /* MQTT 5's property; empty: none */
  uint64_t delivery;          /* other than 0: tell `delivered` once the broker has it */
  /* end of version 1 */
} wheymark_message;

/* What the host does for the library. */
typedef struct wheymark_host {
  uint32_t struct_size;
  void* context; /* given back in every call */
  /* Publishes, or refuses (a value other than 0) when there is no connection or no room. */
  int (*publish)(void* context, const wheymark_message* message);
  /* Subscribes; the acknowledgement of all that `connected` asked for is told by `subscribed`. */
  int (*subscribe)(void* context, wheymark_text filter, uint8_t qos);
  void (*log)(void* context, wheymark_level level, wheymark_text line);
  /* end of version 1 */
} wheymark_host;

/* What an instance is made from. */
typedef struct wheymark_settings {
  uint32_t struct_size;
  uint32_t reserved;           /* 0 */
  wheymark_text configuration; /* the JSON text itself */
  wheymark_text directory;     /* relative file names are relative to this; empty: as they are */
  wheymark_text store;         /* instead of the configuration's; ":memory:" keeps nothing */
  /* end of version 1 */
} wheymark_settings;

/* How the host should reach its broker, from the configuration. Files are named, never read. */
typedef struct wheymark_connection {
  uint32_t struct_size;
  uint8_t will_qos;
  uint8_t will_retain;
  uint16_t reserved;
  wheymark_text url; /* mqtt://, mqtts://, ws://, wss:// */
  wheymark_text client_id;
  wheymark_text user;
  wheymark_text password_file;
  wheymark_text ca_file;
  wheymark_text certificate_file;
  wheymark_text key_file;
  wheymark_text will_topic;
  wheymark_text will_payload;
  /* end of version 1 */
  wheymark_text protocol;    /* "5" or "3.1.1" */
  wheymark_text tile_listen; /* "127.0.0.1:8078": serve the documents there; empty: nowhere */
  /* end of version 1.1 */
} wheymark_connection;

/* Something to look at, as it stands now. */
typedef struct wheymark_document {
  uint32_t struct_size;
  uint32_t reserved; /* 0 */
  wheymark_text content_type;
  wheymark_text etag; /* with its quotes, as HTTP has it; the same as long as the body is the same */
  wheymark_text body;
  /* end of version 1.1 */
} wheymark_document;

typedef struct wheymark_plugin {
  uint32_t struct_size;
  const char* version; /* "major.minor.patch", terminated */

  /* Says to `host->log` what is wrong with the configuration, each place a line (WHEYMARK_ERROR),
   * or what was understood (WHEYMARK_NOTICE). Opens no store. */
  wheymark_status (*check)(const wheymark_host* host, const wheymark_settings* settings);

  /* Makes an instance, restoring it from its store. `host` is copied. On WHEYMARK_REFUSED, *made is
   * NULL and `log` was told why. */
  wheymark_status (*open)(const wheymark_host* host, const wheymark_settings* settings,
                          wheymark_instance** made);

  wheymark_status (*connection)(wheymark_instance* instance, wheymark_connection* filled);

  /* The host is connected, now or again: subscribe to everything and publish everything. */
  wheymark_status (*connected)(wheymark_instance* instance, int64_t now_ms);
  /* The broker has acknowledged all subscriptions that `connected` asked for. */
  wheymark_status (*subscribed)(wheymark_instance* instance, int64_t now_ms);
  /* The connection is gone: publish nothing until `connected`. */
  wheymark_status (*disconnected)(wheymark_instance* instance, int64_t now_ms);

  wheymark_status (*message)(wheymark_instance* instance, const wheymark_message* message,
                             int64_t now_ms);
  wheymark_status (*tick)(wheymark_instance* instance, int64_t now_ms);
  /* The instant at which the instance next wants a `tick`, or INT64_MAX. May change at every call
   * on the instance; an earlier tick does no harm. */
  int64_t (*next_tick_ms)(const wheymark_instance* instance);
  /* The broker has taken over the message that was published with this number. */
  wheymark_status (*delivered)(wheymark_instance* instance, uint64_t delivery, int64_t now_ms);

  /* Publishes the goodbye and makes everything durable. Afterwards only `delivered` and `close`. */
  wheymark_status (*stop)(wheymark_instance* instance, int64_t now_ms);
  /* Frees the instance; NULL is allowed. */
  void (*close)(wheymark_instance* instance);
  /* end of version 1 */

  /* The document at a path: "/" is the page, "/tile/jar-ID.svg" a jar's tile; "/paths" lists all
   * others, a line each. WHEYMARK_REFUSED when there is none, and `log` is told nothing. Changes
   * nothing; the library serves nothing by itself. */
  wheymark_status (*render)(wheymark_instance* instance, wheymark_text path, int64_t now_ms,
                            wheymark_document* filled);
  /* end of version 1.1 */
} wheymark_plugin;

/* The one symbol of the library. The table is constant and lives as long as the library. */
WHEYMARK_EXPORT const wheymark_plugin* wheymark_plugin_v1(void);

#ifdef __cplusplus
}
#endif

#endif
