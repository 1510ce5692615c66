#include "plugin/wheymark.h"
