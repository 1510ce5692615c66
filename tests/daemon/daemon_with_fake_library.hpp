// wheymarkd as its own tests run it: on the stand-in for the library (fake_library.c).
#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "tests/daemon/private_broker.hpp"
#include "tests/daemon/process.hpp"

namespace wheymark::test {

inline std::unique_ptr<Process> wheymarkd(
    std::vector<std::string> arguments, const std::string& input = "",
    std::vector<std::pair<std::string, std::string>> environment = {}) {
  arguments.insert(arguments.begin(), WHEYMARKD);
  environment.emplace_back("LD_LIBRARY_PATH", FAKE_LIBRARY_FOLDER);
  return std::make_unique<Process>(std::move(arguments), environment, input);
}

inline std::string configuration_for(const PrivateBroker& broker) {
  return "url " + broker.url() + "\nclient_id wheymark-test\n";
}

}  // namespace wheymark::test
