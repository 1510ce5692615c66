#include "plugin/store/store.hpp"
