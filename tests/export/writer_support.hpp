// What the tests of writers, packet and command share: a folder of their own, files as text, other programs.
#pragma once
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <vector>

namespace kerfkiln::test {
namespace fs = std::filesystem;

class TempFolder {
 public:
  TempFolder() {
    std::string pattern = (fs::temp_directory_path() / "kerfkiln-test-XXXXXX").string();
    path = ::mkdtemp(pattern.data());
  }
  ~TempFolder() { fs::remove_all(path); }
  TempFolder(const TempFolder&) = delete;
  fs::path path;
};

inline std::string read_file(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}
inline void write_file(const fs::path& path, const std::string& text) {
  fs::create_directories(path.parent_path());
  std::ofstream(path, std::ios::binary) << text;
}

// Every file below a folder with its bytes, folders with "/": equal maps mean nothing was touched.
inline std::map<std::string, std::string> snapshot(const fs::path& folder) {
  std::map<std::string, std::string> all;
  for (const auto& e : fs::recursive_directory_iterator(folder))
    all[e.path().lexically_relative(folder).generic_string()] = e.is_directory() ? "/" : read_file(e.path());
  return all;
}

struct Ran {
  int code = -1;  // exit code; 128 + signal where a signal ended it
  std::string out, err;
};

// Runs a program by its argument list (no shell). `out_path` takes its standard output where given.
inline Ran run(const std::vector<std::string>& arguments, const std::string& out_path = "") {
  TempFolder folder;
  const std::string out = out_path.empty() ? (folder.path / "out").string() : out_path;
  const std::string err = (folder.path / "err").string();
  const pid_t child = ::fork();
  if (child == 0) {
    const int o = ::open(out.c_str(), O_WRONLY | O_CREAT, 0644), e = ::open(err.c_str(), O_WRONLY | O_CREAT, 0644);
    const int i = ::open("/dev/null", O_RDONLY);
    ::dup2(i, 0), ::dup2(o, 1), ::dup2(e, 2);
    std::vector<char*> argv;
    for (const std::string& a : arguments) argv.push_back(const_cast<char*>(a.c_str()));
    argv.push_back(nullptr);
    ::execvp(argv[0], argv.data());
    ::_exit(127);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  Ran r;
  r.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  if (out_path.empty()) r.out = read_file(out);
  r.err = read_file(err);
  return r;
}

// Debian's python carries the independent readers; another one earlier on the path may not.
inline Ran python(const std::string& script, std::vector<std::string> arguments) {
  std::vector<std::string> all = {"/usr/bin/python3", std::string(KERFKILN_SOURCE_DIR) + "/tests/export/" + script};
  all.insert(all.end(), arguments.begin(), arguments.end());
  return run(all);
}

}  // namespace kerfkiln::test
