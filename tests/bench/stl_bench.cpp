// Binary STL against a raw write of the same bytes (the physical limit) and against OpenMesh's writer, one thread, new
// file each time, page cache; the durable replacement of an existing file is reported apart. Prints the ratios.
#include <benchmark/benchmark.h>
#include <fcntl.h>
#include <unistd.h>
#include <OpenMesh/Core/IO/MeshIO.hh>
#include <OpenMesh/Core/Mesh/TriMesh_ArrayKernelT.hh>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>

#include "export/writer/stl.hpp"
#include "tests/export/writer_meshes.hpp"

namespace {

using namespace kerfkiln;
namespace fs = std::filesystem;

fs::path folder() {
  static const fs::path path = [] {
    std::string pattern = (fs::temp_directory_path() / "kerfkiln-bench-XXXXXX").string();
    return fs::path(::mkdtemp(pattern.data()));
  }();
  return path;
}

const solid::Solid& solid_of(std::int64_t triangles) {
  static std::map<std::int64_t, solid::Solid> made;
  const auto found = made.find(triangles);
  if (found != made.end()) return found->second;
  solid::CheckOptions options;
  options.self_intersection = false;  // true by construction; the check is not what is measured
  Result<solid::Solid> s =
      solid::Solid::checked(test::torus(static_cast<std::uint32_t>(triangles / 1000), 500, 150, 40), options);
  if (!s) {
    std::cerr << s.findings()[0].message << "\n";
    std::exit(1);
  }
  return made.emplace(triangles, std::move(s).value()).first->second;
}

void must(bool good, const char* what) {
  if (good) return;
  std::perror(what);
  std::exit(1);
}

void write_raw(const fs::path& path, const std::string& bytes, bool sync) {
  const int fd = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  must(fd >= 0, "open");
  constexpr std::size_t kChunk = 1 << 20;
  for (std::size_t at = 0; at < bytes.size();) {
    const ssize_t n = ::write(fd, bytes.data() + at, std::min(kChunk, bytes.size() - at));
    must(n > 0, "write");
    at += static_cast<std::size_t>(n);
  }
  if (sync) must(::fsync(fd) == 0, "fsync");
  ::close(fd);
}

double processor_seconds() {
  timespec t{};
  ::clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

// Seconds of each run, by benchmark name. The ratios come from the least of each, which other work on the machine
// disturbs least; medians are printed beside them.
std::map<std::string, std::vector<double>>& samples() {
  static std::map<std::string, std::vector<double>> all;
  return all;
}
double median(const std::string& name) {
  std::vector<double> v = samples()[name];
  if (v.empty()) return 0;
  std::sort(v.begin(), v.end());
  return 1e3 * v[v.size() / 2];
}
double least(const std::string& name) {
  const std::vector<double>& v = samples()[name];
  return v.empty() ? 0 : 1e3 * *std::min_element(v.begin(), v.end());
}

template <class Prepare, class Work>
void measure(benchmark::State& state, const std::string& name, std::int64_t triangles, Prepare prepare, Work work) {
  for (auto _ : state) {
    prepare();
    const double processor = processor_seconds();
    const auto start = std::chrono::steady_clock::now();
    work();
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    state.SetIterationTime(seconds);
    samples()[name].push_back(seconds);
    samples()["processor " + name].push_back(processor_seconds() - processor);
  }
  state.SetBytesProcessed(state.iterations() * (84 + 50 * triangles));
}

void add(const std::string& name, std::int64_t triangles, bool fresh, std::function<void(const fs::path&)> work) {
  const std::string full = name + "/" + std::to_string(triangles);
  benchmark::RegisterBenchmark(full.c_str(),
                               [=](benchmark::State& state) {
                                 const fs::path path = folder() / "bench.stl";
                                 measure(
                                     state, full, triangles,
                                     [&] {
                                       if (fresh) ::unlink(path.c_str());
                                     },
                                     [&] { work(path); });
                               })
      ->UseManualTime()
      ->Unit(benchmark::kMillisecond);
}

void commit(const solid::Solid& s, const fs::path& path, output::Sync sync) {
  must(output::write_stl(s, "bench", path, sync).empty(), "write_stl");
}

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  std::cerr.setstate(std::ios::failbit);  // OpenMesh reports each file there
  constexpr std::int64_t kFull = 1000000;
  std::map<std::int64_t, std::string> bytes;
  for (const std::int64_t n : {kFull / 4, kFull / 2, kFull}) {
    const solid::Solid& s = solid_of(n);
    const fs::path path = folder() / "bytes.stl";
    commit(s, path, output::Sync::later);
    std::ifstream in(path, std::ios::binary);
    bytes[n].assign(std::istreambuf_iterator<char>(in), {});
    ::unlink(path.c_str());
  }
  OpenMesh::TriMesh_ArrayKernelT<> mesh;
  {
    const solid::Mesh& m = solid_of(kFull).mesh();
    std::vector<OpenMesh::VertexHandle> v;
    for (const Vec3& p : m.points)
      v.push_back(mesh.add_vertex({static_cast<float>(p.x), static_cast<float>(p.y), static_cast<float>(p.z)}));
    for (const solid::Triangle& t : m.triangles) mesh.add_face(v[t[0]], v[t[1]], v[t[2]]);
  }
  // Twice and in turn, so that a busy moment of the machine strikes both.
  for (int round = 0; round < 2; ++round)
    for (const std::int64_t n : {kFull / 4, kFull / 2, kFull}) {
      add("raw", n, true, [&, n](const fs::path& p) { write_raw(p, bytes[n], false); });
      add("stl", n, true, [n](const fs::path& p) { commit(solid_of(n), p, output::Sync::later); });
    }
  add("openmesh", kFull, true, [&](const fs::path& p) {
    must(OpenMesh::IO::write_mesh(mesh, p.string(), OpenMesh::IO::Options::Binary), "write_mesh");
  });
  add("raw_fsync", kFull, false, [&](const fs::path& p) { write_raw(p, bytes[kFull], true); });
  add("stl_durable_replace", kFull, false,
      [](const fs::path& p) { commit(solid_of(kFull), p, output::Sync::durable); });
  benchmark::RunSpecifiedBenchmarks();
  fs::remove_all(folder());

  const double raw = least("raw/1000000"), ours = least("stl/1000000"), peer = least("openmesh/1000000");
  std::printf("STL, 1 000 000 triangles, ms, least (median) of each:\n");
  for (const char* name : {"raw", "stl", "openmesh", "raw_fsync", "stl_durable_replace"}) {
    const std::string full = std::string(name) + "/1000000";
    std::printf("  %-20s %7.1f (%.1f)\n", name, least(full), median(full));
  }
  std::printf("  ours reaches %.0f %% of the speed of a raw write (wanted: 70 %%) and is %.1f x as fast as OpenMesh\n",
              100 * raw / ours, peer / ours);
  std::printf("  in processor time, which a busy machine distorts least: raw %.1f ms, ours %.1f ms, %.0f %%\n",
              least("processor raw/1000000"), least("processor stl/1000000"),
              100 * least("processor raw/1000000") / least("processor stl/1000000"));
  std::printf("  growth at 250 000 / 500 000 / 1 000 000: %.1f / %.1f / %.1f ms, x %.2f, x %.2f\n", least("stl/250000"),
              least("stl/500000"), ours, least("stl/500000") / least("stl/250000"), ours / least("stl/500000"));
  return 0;
}
