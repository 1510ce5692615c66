// A program that a test runs: started, watched, and killed at the end, whatever happened.
//
// What it writes goes to files, so that no pipe fills up. It dies with the test program.
#pragma once

#include <chrono>
#include <fcntl.h>
#include <functional>
#include <optional>
#include <signal.h>
#include <stdexcept>
#include <string>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>
#include <utility>
#include <vector>

#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::test {

using namespace std::chrono_literals;

// How long to wait for what comes at once on an idle machine. The wait ends as soon as it comes.
constexpr std::chrono::milliseconds patience = 30s;

// Whether `claim` becomes true within `wait_max`.
inline bool comes_true(const std::function<bool()>& claim,
                       std::chrono::milliseconds wait_max = patience) {
  const auto until = std::chrono::steady_clock::now() + wait_max;
  while (!claim()) {
    if (std::chrono::steady_clock::now() > until) return false;
    std::this_thread::sleep_for(10ms);
  }
  return true;
}

class Process {
 public:
  // `environment` is added to the test's own; `input` is what it reads.
  explicit Process(std::vector<std::string> command,
                   const std::vector<std::pair<std::string, std::string>>& environment = {},
                   const std::string& input = "") {
    const std::string in = folder_.file("in", input);
    std::vector<char*> arguments;
    for (std::string& word : command) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    id_ = fork();
    if (id_ < 0) throw std::runtime_error("cannot fork");
    if (id_ == 0) {
      prctl(PR_SET_PDEATHSIG, SIGKILL);
      redirect(in, O_RDONLY, STDIN_FILENO);
      redirect(out_file(), O_WRONLY | O_CREAT | O_TRUNC, STDOUT_FILENO);
      redirect(err_file(), O_WRONLY | O_CREAT | O_TRUNC, STDERR_FILENO);
      for (const auto& [name, value] : environment) setenv(name.c_str(), value.c_str(), 1);
      execvp(arguments[0], arguments.data());
      _exit(127);
    }
  }
  ~Process() { kill_and_wait(); }
  Process(const Process&) = delete;
  Process& operator=(const Process&) = delete;

  [[nodiscard]] std::string out() const { return text_of_file(out_file()); }
  [[nodiscard]] std::string err() const { return text_of_file(err_file()); }
  [[nodiscard]] bool says(const std::string& text,
                          std::chrono::milliseconds wait_max = patience) const {
    return comes_true([&] { return err().find(text) != std::string::npos; }, wait_max);
  }

  void signal(int number) const { kill(id_, number); }

  // The exit status, or nothing if it has not ended within `wait_max` or was ended by a signal.
  std::optional<int> exit_status(std::chrono::milliseconds wait_max = patience) {
    comes_true([&] { return has_ended(); }, wait_max);
    if (!has_ended() || !WIFEXITED(status_)) return std::nullopt;
    return WEXITSTATUS(status_);
  }

  void kill_and_wait() {
    if (has_ended()) return;
    kill(id_, SIGKILL);
    waitpid(id_, &status_, 0);
    ended_ = true;
  }

 private:
  static void redirect(const std::string& file, int flags, int descriptor) {
    const int opened = open(file.c_str(), flags, 0600);
    if (opened < 0 || dup2(opened, descriptor) < 0) _exit(126);
    close(opened);
  }
  bool has_ended() {
    if (!ended_) ended_ = waitpid(id_, &status_, WNOHANG) == id_;
    return ended_;
  }
  [[nodiscard]] std::string out_file() const { return folder_.path_of("out"); }
  [[nodiscard]] std::string err_file() const { return folder_.path_of("err"); }

  TemporaryFolder folder_;
  pid_t id_ = -1;
  int status_ = 0;
  bool ended_ = false;
};

}  // namespace wheymark::test
