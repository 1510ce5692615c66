/* Linked, not loaded: the other way to use the library. */
#include <stdio.h>
#include <wheymark.h>

int main(void) {
  const wheymark_plugin* library = wheymark_plugin_v1();
  printf("%s %d\n", library->version, library->struct_size >= sizeof(wheymark_plugin));
  return 0;
}
