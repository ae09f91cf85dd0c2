// Whole processes on the demo designs: `kerfkiln figures` (expected under 50 ms) and `kerfkiln packet` (under 1 s,
// every file synced). The floor is a process that does nothing but print its version.
#include <benchmark/benchmark.h>
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;
const std::string kProgram = std::string(KERFKILN_BIN_DIR) + "/kerfkiln";

double run_ms(const std::vector<std::string>& arguments) {
  std::vector<char*> argv = {const_cast<char*>(kProgram.c_str())};
  for (const std::string& a : arguments) argv.push_back(const_cast<char*>(a.c_str()));
  argv.push_back(nullptr);
  const auto start = std::chrono::steady_clock::now();
  const pid_t child = ::vfork();
  if (child == 0) {
    const int null = ::open("/dev/null", O_WRONLY);
    ::dup2(null, 1), ::dup2(null, 2);
    ::execv(argv[0], argv.data());
    ::_exit(127);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  const double ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    std::fprintf(stderr, "kerfkiln %s ended with status %d\n", arguments[0].c_str(), status);
    std::exit(1);
  }
  return ms;
}

std::map<std::string, std::vector<double>>& samples() {
  static std::map<std::string, std::vector<double>> all;
  return all;
}

void add(const std::string& name, std::vector<std::string> arguments) {
  benchmark::RegisterBenchmark(name.c_str(),
                               [name, arguments](benchmark::State& state) {
                                 for (auto _ : state) {
                                   const double ms = run_ms(arguments);
                                   state.SetIterationTime(ms / 1e3);
                                   samples()[name].push_back(ms);
                                 }
                               })
      ->UseManualTime()
      ->Unit(benchmark::kMillisecond);
}

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  std::string pattern = (fs::temp_directory_path() / "kerfkiln-bench-XXXXXX").string();
  const fs::path folder = ::mkdtemp(pattern.data());
  add("version", {"--version"});
  std::vector<fs::path> designs;
  for (const auto& e : fs::directory_iterator(fs::path(KERFKILN_SOURCE_DIR) / "demo"))
    if (e.path().extension() == ".json") designs.push_back(e.path());
  std::sort(designs.begin(), designs.end());
  for (const fs::path& d : designs) {
    const std::string stem = d.stem().string();
    add("check/" + stem, {"check", d.string()});
    add("figures/" + stem, {"figures", d.string()});
    add("packet/" + stem, {"packet", d.string(), "--out", (folder / stem).string()});
  }
  benchmark::RunSpecifiedBenchmarks();
  fs::remove_all(folder);
  std::printf("whole processes, ms, least (median):\n");
  for (auto& [name, ms] : samples()) {
    std::sort(ms.begin(), ms.end());
    const char* wanted = name.starts_with("figures")  ? ", expected under 50"
                         : name.starts_with("packet") ? ", under 1000"
                                                      : "";
    std::printf("  %-32s %7.1f (%.1f)%s\n", name.c_str(), ms.front(), ms[ms.size() / 2], wanted);
  }
  return 0;
}
