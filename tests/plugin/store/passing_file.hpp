// A file of SQLite's that hands everything down to the file below it: tests change what they need.
#pragma once

#include <sqlite3.h>

namespace wheymark {

// `File` begins with a sqlite3_file and has below(), the file that the layer below opened. What
// changes the file (xWrite, xTruncate, xSync) is left out.
template <class File>
sqlite3_io_methods handed_down() {
  sqlite3_io_methods m{};
  m.iVersion = 1;
  m.xClose = [](sqlite3_file* f) {
    sqlite3_file* below = reinterpret_cast<File*>(f)->below();
    return below->pMethods->xClose(below);
  };
  m.xRead = [](sqlite3_file* f, void* bytes, int count, sqlite3_int64 at) {
    sqlite3_file* below = reinterpret_cast<File*>(f)->below();
    return below->pMethods->xRead(below, bytes, count, at);
  };
  m.xFileSize = [](sqlite3_file* f, sqlite3_int64* size) {
    sqlite3_file* below = reinterpret_cast<File*>(f)->below();
    return below->pMethods->xFileSize(below, size);
  };
  m.xLock = [](sqlite3_file* f, int level) {
    sqlite3_file* below = reinterpret_cast<File*>(f)->below();
    return below->pMethods->xLock(below, level);
  };
  m.xUnlock = [](sqlite3_file* f, int level) {
    sqlite3_file* below = reinterpret_cast<File*>(f)->below();
    return below->pMethods->xUnlock(below, level);
  };
  m.xCheckReservedLock = [](sqlite3_file* f, int* reserved) {
    sqlite3_file* below = reinterpret_cast<File*>(f)->below();
    return below->pMethods->xCheckReservedLock(below, reserved);
  };
  m.xFileControl = [](sqlite3_file* f, int what, void* with) {
    sqlite3_file* below = reinterpret_cast<File*>(f)->below();
    return below->pMethods->xFileControl(below, what, with);
  };
  m.xSectorSize = [](sqlite3_file* f) {
    sqlite3_file* below = reinterpret_cast<File*>(f)->below();
    return below->pMethods->xSectorSize(below);
  };
  return m;
}

}  // namespace wheymark
