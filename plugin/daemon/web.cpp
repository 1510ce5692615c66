#include "plugin/daemon/web.hpp"

#include <dlfcn.h>
#include <filesystem>
#include <fmt/format.h>

#include "plugin/daemon/world_is_wrong.hpp"
#include "plugin/wheymark.h"

namespace wheymark {
namespace {

// In a folder beside the library, wherever that is.
std::filesystem::path module_file() {
  Dl_info library{};
  dladdr(wheymark_plugin_v1(), &library);
  return std::filesystem::path(library.dli_fname).parent_path() / "wheymark/wheymarkd-web.so";
}

}  // namespace

std::unique_ptr<Web> web_at(const std::string& listen, Snapshot& snapshot) {
  void* module = dlopen(module_file().c_str(), RTLD_NOW | RTLD_LOCAL);  // it stays
  void* opens = module == nullptr ? nullptr : dlsym(module, "wheymark_web");
  if (opens == nullptr) {
    throw WorldIsWrong(fmt::format(
        "tile.listen {}: what serves the page cannot be loaded; it is installed with the daemon "
        "({})",
        listen, dlerror()));
  }
  return std::unique_ptr<Web>(reinterpret_cast<decltype(&wheymark_web)>(opens)(listen, snapshot));
}

}  // namespace wheymark
