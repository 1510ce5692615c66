// The simulated world's disk: real files below SQLite, a counter of changes, and power that goes.
//
// A layer below SQLite that becomes the default one while it lives. It remembers how to undo every
// change since a file was last synced; when the power goes, unsynced writes are undone from the
// last one backwards, down to a random one that is left half done. A process that is killed loses
// nothing that it has written, but changes nothing more.
#pragma once

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <map>
#include <sqlite3.h>
#include <string>
#include <vector>

#include "tests/plugin/store/passing_file.hpp"
#include "tests/vocabulary/dice.hpp"

namespace wheymark::faults {

using test::Dice;

class Disk {
 public:
  Disk() : below_(sqlite3_vfs_find(nullptr)) {
    layer_ = *below_;
    layer_.iVersion = 1;
    layer_.szOsFile = static_cast<int>(sizeof(File)) + below_->szOsFile;
    layer_.zName = "simulated-disk";
    layer_.pAppData = this;
    layer_.xOpen = open;
    layer_.xDelete = remove;
    sqlite3_vfs_register(&layer_, 1);
  }
  ~Disk() {
    sqlite3_vfs_unregister(&layer_);
    sqlite3_vfs_register(below_, 1);
  }
  Disk(const Disk&) = delete;
  Disk& operator=(const Disk&) = delete;

  // A disk that never loses neighbouring bytes, as SQLite assumes of any that it meets; else one
  // that promises nothing, for which SQLite writes twice as much.
  void is_ordinary(bool yes) { ordinary_ = yes; }

  // The n-th change from now fails, half done, and all others go well.
  void fails_at_change(int n) { fails_after_ = n; }
  [[nodiscard]] bool has_failed() const { return has_failed_; }

  void is_full(bool yes) { full_ = yes; }
  void is_read_only(bool yes) { read_only_ = yes; }
  [[nodiscard]] bool ails() const { return full_ || read_only_ || has_failed_; }

  // The process ends in the middle of the n-th change from now (0: at once), and changes nothing
  // more until `comes_back`.
  void dies_at_change(int n) {
    dies_after_ = n;
    if (n == 0) dead_ = true;
  }
  [[nodiscard]] bool dead() const { return dead_; }
  void comes_back() {
    dead_ = false;
    dies_after_ = -1;
    undo_.clear();
  }

  // After the dead process's files are closed.
  void loses_what_was_not_synced(Dice& dice) {
    for (auto& [name, changes] : undo_) {
      // The disk may have written some of it: the first changes, and half of the next one.
      const auto kept =
          static_cast<std::size_t>(dice.whole(0, static_cast<std::int64_t>(changes.size())));
      while (changes.size() > kept) {
        undo(name, changes.back(), changes.size() == kept + 1 && dice.happens(0.3));
        changes.pop_back();
      }
    }
    undo_.clear();
  }

  [[nodiscard]] std::uint64_t bytes_written() const { return bytes_written_; }
  [[nodiscard]] std::uint64_t changes() const { return changes_; }

 private:
  struct File {
    sqlite3_file base;
    Disk* disk;
    const char* name;  // SQLite keeps it as long as the file is open
    sqlite3_file* below() { return reinterpret_cast<sqlite3_file*>(this + 1); }
  };
  struct Change {
    std::int64_t size_before;
    std::int64_t at;
    std::string was;  // the bytes that it replaced
  };
  static File& of(sqlite3_file* file) { return *reinterpret_cast<File*>(file); }
  static Disk& of(sqlite3_vfs* layer) { return *static_cast<Disk*>(layer->pAppData); }

  // Whether a change may be made now; the change at which the process dies is half made.
  enum class Goes { well, half, not_at_all };
  Goes goes() {
    if (dead_) return Goes::not_at_all;
    if (full_ || read_only_) return Goes::not_at_all;
    ++changes_;
    if (fails_after_ > 0 && --fails_after_ == 0) {
      has_failed_ = true;
      return Goes::half;
    }
    if (dies_after_ > 0 && --dies_after_ == 0) {
      dead_ = true;
      return Goes::half;
    }
    return Goes::well;
  }
  [[nodiscard]] int code_or(int otherwise) const { return full_ ? SQLITE_FULL : otherwise; }

  void remembers(File& file, sqlite3_int64 at, sqlite3_int64 count) {
    if (file.name == nullptr) return;
    sqlite3_file* below = file.below();
    sqlite3_int64 size = 0;
    below->pMethods->xFileSize(below, &size);
    Change change{size, at, {}};
    const sqlite3_int64 there = std::clamp<sqlite3_int64>(size - at, 0, count);
    change.was.resize(static_cast<std::size_t>(there));
    if (there > 0) below->pMethods->xRead(below, change.was.data(), static_cast<int>(there), at);
    undo_[file.name].push_back(std::move(change));
  }

  static void undo(const std::string& name, const Change& change, bool half) {
    if (!std::filesystem::exists(name)) return;
    if (std::FILE* file = std::fopen(name.c_str(), "r+b")) {
      std::fseek(file, static_cast<long>(change.at), SEEK_SET);
      std::fwrite(change.was.data(), 1, half ? change.was.size() / 2 : change.was.size(), file);
      std::fclose(file);
    }
    if (!half) std::filesystem::resize_file(name, static_cast<std::uintmax_t>(change.size_before));
  }

  static int open(sqlite3_vfs* layer, const char* name, sqlite3_file* file, int flags, int* got) {
    Disk& disk = of(layer);
    File& opened = of(file);
    opened.base.pMethods = nullptr;
    opened.disk = &disk;
    opened.name = name;
    const bool creates =
        (flags & SQLITE_OPEN_CREATE) != 0 && name != nullptr && !std::filesystem::exists(name);
    if (creates && disk.goes() == Goes::not_at_all) return SQLITE_CANTOPEN;
    const int code = disk.below_->xOpen(disk.below_, name, opened.below(), flags, got);
    if (opened.below()->pMethods != nullptr) opened.base.pMethods = &methods();
    return code;
  }

  static int remove(sqlite3_vfs* layer, const char* name, int /*sync_folder*/) {
    Disk& disk = of(layer);
    if (disk.goes() != Goes::well) return SQLITE_IOERR_DELETE;
    disk.undo_.erase(name);
    return disk.below_->xDelete(disk.below_, name, 0);
  }

  static int write(sqlite3_file* file, const void* bytes, int count, sqlite3_int64 at) {
    sqlite3_file* below = of(file).below();
    Disk& disk = *of(file).disk;
    const Goes goes = disk.goes();
    if (goes == Goes::not_at_all) return disk.code_or(SQLITE_IOERR_WRITE);
    disk.remembers(of(file), at, count);
    if (goes == Goes::half) {
      below->pMethods->xWrite(below, bytes, count / 2, at);
      return SQLITE_IOERR_WRITE;
    }
    disk.bytes_written_ += static_cast<std::uint64_t>(count);
    return below->pMethods->xWrite(below, bytes, count, at);
  }

  static int sync(sqlite3_file* file, int /*flags*/) {
    Disk& disk = *of(file).disk;
    if (disk.goes() != Goes::well) return SQLITE_IOERR_FSYNC;
    if (of(file).name != nullptr) disk.undo_.erase(of(file).name);
    return SQLITE_OK;  // the real disk need not hurry: no real power is cut
  }

  static int truncate(sqlite3_file* file, sqlite3_int64 size) {
    Disk& disk = *of(file).disk;
    if (disk.goes() != Goes::well) return disk.code_or(SQLITE_IOERR_TRUNCATE);
    sqlite3_file* below = of(file).below();
    sqlite3_int64 before = 0;
    below->pMethods->xFileSize(below, &before);
    if (size < before) disk.remembers(of(file), size, before - size);
    return below->pMethods->xTruncate(below, size);
  }

  // Everything else is passed on to the layer below.
  static const sqlite3_io_methods& methods() {
    static const sqlite3_io_methods all = [] {
      sqlite3_io_methods m = handed_down<File>();
      m.xWrite = write;
      m.xTruncate = truncate;
      m.xSync = sync;
      m.xDeviceCharacteristics = [](sqlite3_file* f) {
        return of(f).disk->ordinary_ ? SQLITE_IOCAP_POWERSAFE_OVERWRITE : 0;
      };
      return m;
    }();
    return all;
  }

  sqlite3_vfs* below_;
  sqlite3_vfs layer_{};
  std::map<std::string, std::vector<Change>> undo_;  // since the last sync, by file
  bool ordinary_ = false;
  bool full_ = false;
  bool read_only_ = false;
  bool dead_ = false;
  int dies_after_ = -1;
  int fails_after_ = -1;
  bool has_failed_ = false;
  std::uint64_t changes_ = 0;
  std::uint64_t bytes_written_ = 0;
};

}  // namespace wheymark::faults
