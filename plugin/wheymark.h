/* The C interface of libwheymark: what a home-automation hub needs to follow jars of milk kefir.
 *
 * Compatibility. A host built against this header keeps working with every later library of the
 * same major version, and a library keeps working with every earlier host of that version. The
 * shared object's name, libwheymark.so.1, has that major version. A change that breaks the promise
 * gets a new entry point beside the old one, and the old one stays.
 *
 * Growth. Tables and records begin with `struct_size`, which whoever fills them sets to sizeof.
 * They grow at the end only, past the last line "end of version"; nothing is reordered, removed or
 * given another meaning. Nobody reads or writes beyond the smaller of the two sizes. What lies
 * beyond it, or is NULL, is a function that is not called (by the library in the host's table; a
 * host compares `struct_size` with the offset of what it wants in the library's), or a value of
 * zero. `reserved` is zero. Statuses and levels may get more values: treat an unknown status as a
 * refusal, an unknown level as the most talkative. Enumerations have the size of an int.
 *
 * Life. One entry point, wheymark_plugin_v1(), gives the table of functions. `open` makes an
 * instance from a configuration; `connected` (at every connection of the host to its broker) makes
 * it subscribe and publish everything it has to say; `message`, `tick`, `delivered` and
 * `subscribed` feed it; `stop` lets it say goodbye; `close` frees it, also without `stop`, as a
 * power cut would. Another configuration needs another instance: stop, close, open with the same
 * store. When every instance is closed the library may be unloaded, and loaded again.
 *
 * Instances. Several may live in one process; they share nothing, but no two may use one store: it
 * is locked, and the second `open` is refused. Two instances on one broker need different `wire`
 * names in their configurations. After fork(), only the parent goes on with an instance.
 *
 * Threads. The library starts none, opens no socket, installs no handler of signals or of anything
 * else, and does nothing when it is loaded. [any]: a function so marked may be called at any time
 * by any thread. [one]: calls on one instance must not overlap; they may come from different
 * threads one after the other. The host's functions are called only from within a call of the
 * host's, by the same thread. They must not call back into the same instance, throw, or jump out of
 * it.
 *
 * Time. All instants are milliseconds since 1970-01-01T00:00:00Z, given by the host. The library
 * reads no clock. An instant that is earlier than one before counts as that one; a clock that has
 * stayed behind for half an hour is believed. Before 2024 and from 2100 on the clock counts as not
 * set: nothing is believed or claimed until it is.
 *
 * Memory. Whatever a call is given belongs to the caller and is read only during the call; whatever
 * the library hands out is valid until the next call on that instance (inside the host's functions:
 * until they return). `close` frees everything but the system's time zone tables, which stay until
 * the library is unloaded.
 *
 * Text. UTF-8 with a length, not terminated. Topics and filters are MQTT's. Numbers have a point
 * and nothing depends on the process's locale, environment or working directory (except for
 * relative file names without `directory`).
 *
 * Files. The library reads the system's time zone tables, and reads and writes the store and files
 * beside it whose names begin with the store's. All others are named to the host, never opened.
 *
 * Errors. Functions return a wheymark_status. What is wrong with a refused configuration is told to
 * `log`, line by line. When the library finds a mistake of its own, or is refused memory, that
 * instance is frozen and `log` was told: every further call returns WHEYMARK_FROZEN and does
 * nothing; the host closes it and opens another from the same store, which knows everything that
 * was accepted. No C++ exception ever leaves the library, and it never ends the process, with one
 * exception: an allocation that fails while memory is being freed, which C++ cannot report. What
 * was accepted is safe then, too.
 *
 * Refused messages. `message` returns WHEYMARK_OK for whatever comes from outside: nonsense on a
 * topic is no mistake of the host's. It is told to `log`, and a person's fact gets an answer.
 * WHEYMARK_REFUSED means that the call itself was wrong (a NULL, a record shorter than version
 * 1's).
 *
 * Lost and doubled messages. A message with a `delivery` other than 0 is kept in the store until
 * the host has called `delivered` with that number; after a restart or `connected` it is published
 * again, the same to the byte. Whoever receives it may see it twice and can tell by its id. All
 * other messages are states that are published anew at `connected`. The host should keep a message
 * of QoS 1 or 2 that it has acknowledged to the broker until `message` has returned.
 *
 * Limits. Handed in: a configuration has at most 16 MiB; a payload 16 KiB (a longer one is told
 * and not used); a topic what MQTT allows, but no topic of ours is longer than 512 bytes.
 * Handed out: at most 100 messages with a `delivery` wait for `delivered` at a time, so that a host
 * needs room for no more; a single call may publish many states (some 50 a jar). A line for `log`
 * is one line, at most a few KiB, without secrets, but may quote any bytes that came in.
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
  WHEYMARK_REFUSED = 1, /* the call or the configuration was wrong; see Errors */
  WHEYMARK_FROZEN = 2   /* a mistake of the library's own, or no memory; close, then open again */
} wheymark_status;

typedef enum wheymark_level {
  WHEYMARK_ERROR = 0,   /* something was lost or cannot work */
  WHEYMARK_WARNING = 1, /* the world was wrong, and we go on */
  WHEYMARK_NOTICE = 2,  /* worth a line in a quiet log */
  WHEYMARK_DEBUG = 3
} wheymark_level;

typedef struct wheymark_text {
  const char* bytes; /* may be NULL when length is 0 */
  size_t length;
} wheymark_text;

typedef struct wheymark_message {
  uint32_t struct_size;
  uint8_t qos;       /* 0, 1 or 2 */
  uint8_t retain;    /* 0 or 1 */
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
  /* Subscribes; the host calls `subscribed` once all that `connected` asked for is acknowledged. */
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

/* How the host should reach its broker, from the configuration. Files are named, never read here.
 * The caller sets `struct_size`; afterwards it tells how far the record was filled. */
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

/* A document to show, as of now. */
typedef struct wheymark_document {
  uint32_t struct_size;
  uint32_t reserved; /* 0 */
  wheymark_text content_type;
  wheymark_text etag; /* with its quotes, as HTTP has it; changes with the body */
  wheymark_text body;
  /* end of version 1.1 */
} wheymark_document;

typedef struct wheymark_plugin {
  uint32_t struct_size;
  const char* version; /* "major.minor.patch", terminated */

  /* [any] Tells `host->log` what is wrong with the configuration, each place a line
   * (WHEYMARK_ERROR), or what was understood (WHEYMARK_NOTICE). Opens no store. */
  wheymark_status (*check)(const wheymark_host* host, const wheymark_settings* settings);

  /* [any] Makes an instance, restoring it from its store. `host` is copied. On any other status
   * than WHEYMARK_OK, *made is NULL and `log` was told why. */
  wheymark_status (*open)(const wheymark_host* host, const wheymark_settings* settings,
                          wheymark_instance** made);

  /* [one] Valid as long as the instance. */
  wheymark_status (*connection)(wheymark_instance* instance, wheymark_connection* filled);

  /* [one] The host is connected, now or again: subscribe to everything and publish everything. */
  wheymark_status (*connected)(wheymark_instance* instance, int64_t now_ms);
  /* [one] The broker has acknowledged all subscriptions that `connected` asked for. */
  wheymark_status (*subscribed)(wheymark_instance* instance, int64_t now_ms);
  /* [one] The connection is gone: publish nothing until `connected`. */
  wheymark_status (*disconnected)(wheymark_instance* instance, int64_t now_ms);

  /* [one] A message has come on one of the subscriptions. `content_type` and `delivery` do not
   * matter here. */
  wheymark_status (*message)(wheymark_instance* instance, const wheymark_message* message,
                             int64_t now_ms);
  /* [one] Time has passed. */
  wheymark_status (*tick)(wheymark_instance* instance, int64_t now_ms);
  /* [one] The instant at which the instance next wants a `tick`, or INT64_MAX. May change at every
   * call on the instance; an earlier tick does no harm. */
  int64_t (*next_tick_ms)(const wheymark_instance* instance);
  /* [one] The broker has taken over the message that was published with this number. */
  wheymark_status (*delivered)(wheymark_instance* instance, uint64_t delivery, int64_t now_ms);

  /* [one] Publishes the goodbye and makes everything durable. Afterwards only `delivered` and
   * `close`. */
  wheymark_status (*stop)(wheymark_instance* instance, int64_t now_ms);
  /* [one] Frees the instance, frozen or not; NULL is allowed. */
  void (*close)(wheymark_instance* instance);
  /* end of version 1 */

  /* [one] The document at a path: "/" is the page, "/tile/jar-ID.svg" a jar's tile; "/paths" lists
   * all others, a line each. WHEYMARK_REFUSED when there is none, and `log` is told nothing.
   * Changes nothing; the library serves nothing by itself. */
  wheymark_status (*render)(wheymark_instance* instance, wheymark_text path, int64_t now_ms,
                            wheymark_document* filled);
  /* [one] Hands a document about the household's past to `write`, in one or more pieces. `name`:
   * "batches.csv", "all.json", "inventory.txt", "month.svg", ...; another name is refused, and
   * `log` is told which there are. `now_ms` as for `tick`; the journal's last instant if that is
   * later. */
  wheymark_status (*export_text)(wheymark_instance* instance, wheymark_text name, int64_t now_ms,
                                 void* context, void (*write)(void* context, wheymark_text piece));
  /* end of version 1.1 */

  /* [one] Answers a question and changes nothing. `question` is JSON: what a person may ask on the
   * wire, {"fact":"plan","jar":"blue","ready_by":"2027-03-02T07:00:00Z"} or
   * {"fact":"explain","jar":"blue"}. `write` is handed the answer in one or more pieces: JSON, in
   * which `why` is the answer as sentences. A question that cannot be answered is refused, and
   * `log` is told why. `now_ms` as for `tick`; the journal's last instant if that is later. */
  wheymark_status (*ask)(wheymark_instance* instance, wheymark_text question, int64_t now_ms,
                         void* context, void (*write)(void* context, wheymark_text piece));
  /* end of version 1.2 */

  /* [one] Takes batches of before into the household's history, and learns from them. `table` is
   * CSV (RFC 4180) with the columns of the document "batches.csv"; `started` is required, and
   * `strained` or `hours`. All rows count or none: what is wrong is told to `log`, a line for each
   * place, and the table is refused. Rows that are known already change nothing. `write` is handed
   * a sentence that says what was done. `now_ms` as for `tick`; the journal's last instant if that
   * is later. */
  wheymark_status (*remember)(wheymark_instance* instance, wheymark_text table, int64_t now_ms,
                              void* context, void (*write)(void* context, wheymark_text piece));
  /* end of version 1.3 */
} wheymark_plugin;

/* [any] The one symbol of the library. The table is constant and lives as long as the library. */
WHEYMARK_EXPORT const wheymark_plugin* wheymark_plugin_v1(void);

#ifdef __cplusplus
}
#endif

#endif
