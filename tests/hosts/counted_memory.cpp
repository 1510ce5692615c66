#include "tests/hosts/counted_memory.hpp"

#include <atomic>
#include <cstdlib>
#include <new>

namespace {

std::atomic<std::int64_t> in_use{0};
thread_local std::int64_t until_failure = 0;

bool fails() {
  return until_failure > 0 && --until_failure == 0;
}

void* taken(std::size_t bytes) {
  if (fails()) throw std::bad_alloc();
  void* const piece = std::malloc(bytes == 0 ? 1 : bytes);
  if (piece == nullptr) throw std::bad_alloc();
  in_use.fetch_add(1, std::memory_order_relaxed);
  return piece;
}

void* taken_aligned(std::size_t bytes, std::size_t alignment) {
  if (fails()) throw std::bad_alloc();
  void* const piece =
      std::aligned_alloc(alignment, (bytes + alignment - 1) / alignment * alignment);
  if (piece == nullptr) throw std::bad_alloc();
  in_use.fetch_add(1, std::memory_order_relaxed);
  return piece;
}

void given_back(void* piece) {
  if (piece == nullptr) return;
  in_use.fetch_sub(1, std::memory_order_relaxed);
  std::free(piece);
}

}  // namespace

namespace wheymark::test {

std::int64_t pieces_in_use() {
  return in_use.load();
}
void fail_to_give(std::int64_t n) {
  until_failure = n;
}

EnoughMemory::EnoughMemory() : until_failure_(until_failure) {
  until_failure = 0;
}
EnoughMemory::~EnoughMemory() {
  until_failure = until_failure_;
}

}  // namespace wheymark::test

// The standard library makes the array forms of these; the sanitizers do not, so all that our
// libraries use are written out.
void* operator new(std::size_t bytes, const std::nothrow_t&) noexcept try {
  return taken(bytes);
} catch (const std::bad_alloc&) {
  return nullptr;
}
void* operator new[](std::size_t bytes) {
  return taken(bytes);
}
void operator delete[](void* piece) noexcept {
  given_back(piece);
}
void operator delete[](void* piece, std::size_t) noexcept {
  given_back(piece);
}
void operator delete(void* piece, const std::nothrow_t&) noexcept {
  given_back(piece);
}
void* operator new(std::size_t bytes) {
  return taken(bytes);
}
void* operator new(std::size_t bytes, std::align_val_t alignment) {
  return taken_aligned(bytes, static_cast<std::size_t>(alignment));
}
void operator delete(void* piece) noexcept {
  given_back(piece);
}
void operator delete(void* piece, std::size_t) noexcept {
  given_back(piece);
}
void operator delete(void* piece, std::align_val_t) noexcept {
  given_back(piece);
}
void operator delete(void* piece, std::size_t, std::align_val_t) noexcept {
  given_back(piece);
}
