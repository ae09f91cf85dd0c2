// A small design with comments, and folders that clean up after themselves.
#pragma once
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace kerfkiln::viewer_test {

inline const std::string kDesign = R"({
  // made for the tests
  "kerfkiln": 1,
  "title": "bench",
  "units": "mm",
  "pieces": [
    {
      "name": "seat", "kind": "cushion", /* one of a pair */
      "given_at": "core",
      "outline": { "rectangle": { "width": 400, "depth": "30 cm", "corner_radius": "1 1/2 in" } },
      "layers": [
        { "foam": "firm", "thickness": "50 mm" }, // under
        { "foam": "soft", "thickness": "30 mm" }  // over
      ],
      "edges": { "top": { "other": { "round": 20 } } }
    }
  ]
}
)";

struct TemporaryFolder {
  std::filesystem::path path;
  TemporaryFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "kerfkiln-viewer-XXXXXX").string();
    path = mkdtemp(name.data());
  }
  ~TemporaryFolder() { std::filesystem::remove_all(path); }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
};

inline void put(const std::filesystem::path& p, const std::string& text) { std::ofstream(p, std::ios::binary) << text; }
inline std::string get(const std::filesystem::path& p) {
  std::ifstream in(p, std::ios::binary);
  return std::string(std::istreambuf_iterator<char>(in), {});
}

}  // namespace kerfkiln::viewer_test
