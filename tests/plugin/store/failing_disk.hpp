// A disk that does what tests say: its n-th change fails, it is full for a while, or the power
// goes.
//
// A layer below SQLite that becomes the default one while it lives. It counts every change (write,
// sync, cut, delete, creation of a file) and remembers what each file held when it was last synced,
// so that after a power cut everything unsynced can be taken away: the worst that a disk may do.
// Only for stores that need no shared memory, as ours.
#pragma once

#include <map>
#include <sqlite3.h>
#include <string>

#include "tests/plugin/store/on_disk.hpp"
#include "tests/plugin/store/passing_file.hpp"

namespace wheymark {

class FailingDisk {
 public:
  FailingDisk() : below_(sqlite3_vfs_find(nullptr)) {
    layer_ = *below_;
    layer_.iVersion = 1;
    layer_.szOsFile = static_cast<int>(sizeof(File)) + below_->szOsFile;
    layer_.zName = "failing-disk";
    layer_.pAppData = this;
    layer_.xOpen = open;
    layer_.xDelete = remove;
    sqlite3_vfs_register(&layer_, 1);
  }
  ~FailingDisk() {
    sqlite3_vfs_unregister(&layer_);
    sqlite3_vfs_register(below_, 1);
  }
  FailingDisk(const FailingDisk&) = delete;
  FailingDisk& operator=(const FailingDisk&) = delete;

  // The n-th change from now fails with SQLite's `code`, half done if it is a write.
  void fails_once_at(int n, int code) { setup(n, 1, code); }
  // The n-th change from now and all later ones fail, until `is_well`.
  void fails_from(int n, int code) { setup(n, never, code); }
  void is_well() { setup(never, 0, SQLITE_OK); }
  // How many changes there were since the last call of one of these.
  [[nodiscard]] int changes() const { return changes_; }
  // Whether a failure that was asked for has happened.
  [[nodiscard]] bool has_failed() const { return failures_ > 0; }

  // Files open for reading only from now on.
  void is_write_protected(bool yes) { write_protected_ = yes; }
  // Every reading behind the first page fails.
  void cannot_be_read(bool yes) { unreadable_ = yes; }

  // After the store that used it is gone: leaves of each file what was synced.
  void forgets_what_was_not_synced() {
    for (const auto& [name, bytes] : synced_) {
      if (std::filesystem::exists(name)) write_bytes(name, bytes);
    }
  }

 private:
  static constexpr int never = 1 << 30;

  struct File {
    sqlite3_file base;
    FailingDisk* disk;
    const char* name;  // SQLite keeps it as long as the file is open
    sqlite3_file* below() { return reinterpret_cast<sqlite3_file*>(this + 1); }
  };
  static File& of(sqlite3_file* file) { return *reinterpret_cast<File*>(file); }
  static FailingDisk& of(sqlite3_vfs* layer) { return *static_cast<FailingDisk*>(layer->pAppData); }

  void setup(int n, int count, int code) {
    changes_ = 0;
    failures_ = 0;
    first_failing_ = n;
    failing_ = count;
    code_ = code;
  }
  bool fails_now() {
    ++changes_;
    const bool fails = changes_ >= first_failing_ && changes_ - first_failing_ < failing_;
    if (fails) ++failures_;
    return fails;
  }

  static int open(sqlite3_vfs* layer, const char* name, sqlite3_file* file, int flags, int* got) {
    FailingDisk& disk = of(layer);
    File& opened = of(file);
    opened.base.pMethods = nullptr;
    opened.disk = &disk;
    opened.name = name;
    const bool creates =
        (flags & SQLITE_OPEN_CREATE) != 0 && name != nullptr && !std::filesystem::exists(name);
    if (creates && disk.fails_now()) return SQLITE_CANTOPEN;
    if (disk.write_protected_) {
      flags = (flags & ~(SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE)) | SQLITE_OPEN_READONLY;
    }
    const int code = disk.below_->xOpen(disk.below_, name, opened.below(), flags, got);
    if (opened.below()->pMethods == nullptr) return code;
    opened.base.pMethods = &methods();
    if (creates) disk.synced_[name] = "";
    if (name != nullptr && !disk.synced_.contains(name)) disk.synced_[name] = bytes_before(opened);
    return code;
  }

  // Through the open file: opening it once more and closing it would drop this process's locks.
  static std::string bytes_before(File& file) {
    sqlite3_file* below = file.below();
    sqlite3_int64 size = 0;
    below->pMethods->xFileSize(below, &size);
    std::string bytes(static_cast<std::size_t>(size), '\0');
    if (size > 0) below->pMethods->xRead(below, bytes.data(), static_cast<int>(size), 0);
    return bytes;
  }

  static int remove(sqlite3_vfs* layer, const char* name, int sync_folder) {
    FailingDisk& disk = of(layer);
    if (disk.fails_now()) return SQLITE_IOERR_DELETE;
    disk.synced_.erase(name);
    return disk.below_->xDelete(disk.below_, name, sync_folder);
  }

  static int write(sqlite3_file* file, const void* bytes, int count, sqlite3_int64 at) {
    sqlite3_file* below = of(file).below();
    FailingDisk& disk = *of(file).disk;
    if (disk.fails_now()) {
      below->pMethods->xWrite(below, bytes, count / 2, at);
      return disk.code_ == SQLITE_FULL ? SQLITE_FULL : SQLITE_IOERR_WRITE;
    }
    return below->pMethods->xWrite(below, bytes, count, at);
  }

  static int sync(sqlite3_file* file, int /*flags*/) {
    FailingDisk& disk = *of(file).disk;
    if (disk.fails_now()) return SQLITE_IOERR_FSYNC;
    if (of(file).name != nullptr) disk.synced_[of(file).name] = bytes_before(of(file));
    return SQLITE_OK;  // the real disk need not hurry: no real power is cut
  }

  static int truncate(sqlite3_file* file, sqlite3_int64 size) {
    if (of(file).disk->fails_now()) return SQLITE_IOERR_TRUNCATE;
    return of(file).below()->pMethods->xTruncate(of(file).below(), size);
  }

  // Everything else is passed on to the layer below.
  static const sqlite3_io_methods& methods() {
    static const sqlite3_io_methods all = [] {
      sqlite3_io_methods m = handed_down<File>();
      m.xRead = [](sqlite3_file* f, void* bytes, int count, sqlite3_int64 at) {
        if (of(f).disk->unreadable_ && at + count > 4'096) return SQLITE_IOERR_READ;
        return of(f).below()->pMethods->xRead(of(f).below(), bytes, count, at);
      };
      m.xWrite = write;
      m.xTruncate = truncate;
      m.xSync = sync;
      // No promise of atomic writes or of appending safely: the simplest of disks.
      m.xDeviceCharacteristics = [](sqlite3_file*) { return 0; };
      return m;
    }();
    return all;
  }

  sqlite3_vfs* below_;
  sqlite3_vfs layer_{};
  std::map<std::string, std::string> synced_;
  bool write_protected_ = false;
  bool unreadable_ = false;
  int changes_ = 0;
  int failures_ = 0;
  int first_failing_ = never;
  int failing_ = 0;
  int code_ = SQLITE_OK;
};

}  // namespace wheymark
