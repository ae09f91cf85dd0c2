// Programs started by a test, and nothing but those ended by it.
#pragma once
#include <sys/types.h>

#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace kerfkiln::viewer_test {

class Process {
 public:
  // Output goes to `out_file` (both streams). `environment` is added; a value of "-" removes the variable.
  Process(const std::vector<std::string>& command, const std::vector<std::pair<std::string, std::string>>& environment,
          const std::string& out_file, int kept_descriptor = -1);
  ~Process();  // ends it
  Process(const Process&) = delete;
  Process& operator=(const Process&) = delete;
  bool running();
  int wait(double seconds);  // exit code; -1 if it did not end in time

 private:
  pid_t pid_ = -1;
  bool ended_ = false;
  int code_ = -1;
};

int run(const std::vector<std::string>& command, const std::vector<std::pair<std::string, std::string>>& environment,
        std::string& output, double seconds = 30);

// A display of its own; number() is empty where the server could not be started.
class Display {
 public:
  Display(int width, int height);
  const std::string& number() const { return number_; }  // ":7"

 private:
  std::string number_;
  std::unique_ptr<Process> server_;
};

}  // namespace kerfkiln::viewer_test
