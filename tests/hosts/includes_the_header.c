/* The header by itself, twice, as a host's own file includes it: compiled as C and as C++ of every
 * standard that the header promises, with every warning an error. */
#include "plugin/wheymark.h"
/* clang-format would remove one of the two. */
/* clang-format off */
#include "plugin/wheymark.h"
/* clang-format on */

int uses_the_header(void);
int uses_the_header(void) {
  wheymark_host host = {sizeof(wheymark_host), NULL, NULL, NULL, NULL};
  wheymark_instance* instance = NULL;
  return host.struct_size == 0 || instance != NULL || WHEYMARK_OK != 0;
}
