#include "process.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <thread>

namespace kerfkiln::viewer_test {
using Clock = std::chrono::steady_clock;

Process::Process(const std::vector<std::string>& command,
                 const std::vector<std::pair<std::string, std::string>>& environment, const std::string& out_file,
                 int kept_descriptor) {
  pid_ = fork();
  if (pid_ != 0) return;
  const int out = open(out_file.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  dup2(out, 1);
  dup2(out, 2);
  for (int fd = 3; fd < 256; ++fd)
    if (fd != kept_descriptor) close(fd);
  for (const auto& [name, value] : environment)
    value == "-" ? unsetenv(name.c_str()) : setenv(name.c_str(), value.c_str(), 1);
  std::vector<char*> arguments;
  for (const std::string& a : command) arguments.push_back(const_cast<char*>(a.c_str()));
  arguments.push_back(nullptr);
  execvp(arguments[0], arguments.data());
  _exit(127);
}

bool Process::running() {
  if (ended_ || pid_ <= 0) return false;
  int status = 0;
  if (waitpid(pid_, &status, WNOHANG) == 0) return true;
  ended_ = true;
  code_ = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return false;
}

int Process::wait(double seconds) {
  const auto end = Clock::now() + std::chrono::duration<double>(seconds);
  while (running() && Clock::now() < end) std::this_thread::sleep_for(std::chrono::milliseconds(10));
  return running() ? -1 : code_;
}

Process::~Process() {
  if (!running()) return;
  kill(pid_, SIGTERM);
  if (wait(3) != -1) return;
  kill(pid_, SIGKILL);
  waitpid(pid_, nullptr, 0);
}

int run(const std::vector<std::string>& command, const std::vector<std::pair<std::string, std::string>>& environment,
        std::string& output, double seconds) {
  std::string name = (std::filesystem::temp_directory_path() / "kerfkiln-out-XXXXXX").string();
  close(mkstemp(name.data()));
  Process p(command, environment, name);
  const int code = p.wait(seconds);
  std::ifstream in(name);
  output.assign(std::istreambuf_iterator<char>(in), {});
  std::filesystem::remove(name);
  return code;
}

Display::Display(int width, int height) {
  int ends[2];
  if (pipe(ends) != 0) return;
  // The server itself chooses a free number and writes it to the descriptor once it takes clients.
  server_ =
      std::make_unique<Process>(std::vector<std::string>{"Xvfb", "-displayfd", std::to_string(ends[1]), "-screen", "0",
                                                         std::to_string(width) + "x" + std::to_string(height) + "x24",
                                                         "+extension", "GLX", "-nolisten", "tcp"},
                                std::vector<std::pair<std::string, std::string>>{}, "/dev/null", ends[1]);
  close(ends[1]);
  std::string text;
  pollfd waiting{ends[0], POLLIN, 0};
  while (poll(&waiting, 1, 20000) > 0) {
    char c = 0;
    if (read(ends[0], &c, 1) != 1 || c == '\n') break;
    text += c;
  }
  close(ends[0]);
  if (!text.empty()) number_ = ":" + text;
}

}  // namespace kerfkiln::viewer_test
