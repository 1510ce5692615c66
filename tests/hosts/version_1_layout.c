/* Does every table and record still lie in memory as hosts of version 1 were compiled to expect?
 *
 * A change alarm: the numbers were written down once, from the ABI's rules (every member aligned to
 * its own size, none reordered). They never change. A later version may only make `sizeof` larger.
 * Compiling this file is the test. */
#include "plugin/wheymark.h"

#define AT(record, member, offset) \
  _Static_assert(offsetof(record, member) == (offset), #record "." #member " has moved")
#define AT_LEAST(record, size) \
  _Static_assert(sizeof(record) >= (size), #record " has become shorter than in version 1")

/* Enumerations as ints, whatever gets added to them. */
_Static_assert(sizeof(wheymark_status) == sizeof(int), "a status is an int");
_Static_assert(sizeof(wheymark_level) == sizeof(int), "a level is an int");
_Static_assert(WHEYMARK_OK == 0 && WHEYMARK_REFUSED == 1 && WHEYMARK_FROZEN == 2, "statuses");
_Static_assert(WHEYMARK_ERROR == 0 && WHEYMARK_WARNING == 1 && WHEYMARK_NOTICE == 2 &&
                   WHEYMARK_DEBUG == 3,
               "levels");

/* The offsets hold where pointers have eight bytes; elsewhere only the order is checked. */
#if UINTPTR_MAX == UINT64_MAX
_Static_assert(sizeof(wheymark_text) == 16, "a text is passed by value and never grows");
AT(wheymark_text, bytes, 0);
AT(wheymark_text, length, 8);

AT(wheymark_message, struct_size, 0);
AT(wheymark_message, qos, 4);
AT(wheymark_message, retain, 5);
AT(wheymark_message, reserved, 6);
AT(wheymark_message, topic, 8);
AT(wheymark_message, payload, 24);
AT(wheymark_message, content_type, 40);
AT(wheymark_message, delivery, 56);
AT_LEAST(wheymark_message, 64);

AT(wheymark_host, struct_size, 0);
AT(wheymark_host, context, 8);
AT(wheymark_host, publish, 16);
AT(wheymark_host, subscribe, 24);
AT(wheymark_host, log, 32);
AT_LEAST(wheymark_host, 40);

AT(wheymark_settings, struct_size, 0);
AT(wheymark_settings, reserved, 4);
AT(wheymark_settings, configuration, 8);
AT(wheymark_settings, directory, 24);
AT(wheymark_settings, store, 40);
AT_LEAST(wheymark_settings, 56);

AT(wheymark_connection, struct_size, 0);
AT(wheymark_connection, will_qos, 4);
AT(wheymark_connection, will_retain, 5);
AT(wheymark_connection, reserved, 6);
AT(wheymark_connection, url, 8);
AT(wheymark_connection, client_id, 24);
AT(wheymark_connection, user, 40);
AT(wheymark_connection, password_file, 56);
AT(wheymark_connection, ca_file, 72);
AT(wheymark_connection, certificate_file, 88);
AT(wheymark_connection, key_file, 104);
AT(wheymark_connection, will_topic, 120);
AT(wheymark_connection, will_payload, 136);
AT_LEAST(wheymark_connection, 152);
/* version 1.1 */
AT(wheymark_connection, protocol, 152);
AT(wheymark_connection, tile_listen, 168);
AT_LEAST(wheymark_connection, 184);

AT(wheymark_document, struct_size, 0);
AT(wheymark_document, reserved, 4);
AT(wheymark_document, content_type, 8);
AT(wheymark_document, etag, 24);
AT(wheymark_document, body, 40);
AT_LEAST(wheymark_document, 56);

AT(wheymark_plugin, struct_size, 0);
AT(wheymark_plugin, version, 8);
AT(wheymark_plugin, check, 16);
AT(wheymark_plugin, open, 24);
AT(wheymark_plugin, connection, 32);
AT(wheymark_plugin, connected, 40);
AT(wheymark_plugin, subscribed, 48);
AT(wheymark_plugin, disconnected, 56);
AT(wheymark_plugin, message, 64);
AT(wheymark_plugin, tick, 72);
AT(wheymark_plugin, next_tick_ms, 80);
AT(wheymark_plugin, delivered, 88);
AT(wheymark_plugin, stop, 96);
AT(wheymark_plugin, close, 104);
AT_LEAST(wheymark_plugin, 112);
/* version 1.1 */
AT(wheymark_plugin, render, 112);
AT(wheymark_plugin, export_text, 120);
AT_LEAST(wheymark_plugin, 128);
/* version 1.2 */
AT(wheymark_plugin, ask, 128);
AT_LEAST(wheymark_plugin, 136);
/* version 1.3 */
AT(wheymark_plugin, remember, 136);
AT_LEAST(wheymark_plugin, 144);
#else
_Static_assert(offsetof(wheymark_plugin, close) > offsetof(wheymark_plugin, stop), "order");
#endif

/* The types of version 1's functions: another argument would not compile. */
static const wheymark_plugin* (*const entry)(void) = wheymark_plugin_v1;
typedef struct version_1 {
  wheymark_status (*check)(const wheymark_host*, const wheymark_settings*);
  wheymark_status (*open)(const wheymark_host*, const wheymark_settings*, wheymark_instance**);
  wheymark_status (*connection)(wheymark_instance*, wheymark_connection*);
  wheymark_status (*at_an_instant)(wheymark_instance*, int64_t);
  wheymark_status (*message)(wheymark_instance*, const wheymark_message*, int64_t);
  int64_t (*next_tick_ms)(const wheymark_instance*);
  wheymark_status (*delivered)(wheymark_instance*, uint64_t, int64_t);
  void (*close)(wheymark_instance*);
} version_1;

/* Those that came later. */
typedef struct version_1_3 {
  wheymark_status (*render)(wheymark_instance*, wheymark_text, int64_t, wheymark_document*);
  wheymark_status (*export_text)(wheymark_instance*, wheymark_text, int64_t, void*,
                                 void (*)(void*, wheymark_text));
  wheymark_status (*ask)(wheymark_instance*, wheymark_text, int64_t, void*,
                         void (*)(void*, wheymark_text));
  wheymark_status (*remember)(wheymark_instance*, wheymark_text, int64_t, void*,
                              void (*)(void*, wheymark_text));
} version_1_3;

int compiles(void);
int compiles(void) {
  const wheymark_plugin* table = entry();
  const version_1 same_types = {table->check,     table->open,    table->connection,
                                table->tick,      table->message, table->next_tick_ms,
                                table->delivered, table->close};
  const version_1_3 later = {table->render, table->export_text, table->ask, table->remember};
  if (later.render == 0 || later.export_text != table->export_text) return 0;
  return same_types.at_an_instant == table->connected ||
         same_types.at_an_instant == table->subscribed ||
         same_types.at_an_instant == table->disconnected || same_types.at_an_instant == table->stop;
}
