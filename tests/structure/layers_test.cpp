// Reads every #include of the tree and fails on an edge that the architecture forbids (DEVELOPERS.md, "Layers").
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>
#include <vector>

namespace fs = std::filesystem;

namespace {

struct Include {
  std::string file, folder, target;
  bool angled = false;
};

// "modeler/cushion/edge/round.cpp" -> "modeler/cushion"; "export/writer/stl.cpp" -> "export/writer".
std::string layer_of(const std::string& path) {
  const auto first = path.find('/');
  const auto second = path.find('/', first + 1);
  return second == std::string::npos ? path.substr(0, first) : path.substr(0, second);
}

std::vector<Include> read_includes() {
  static const std::regex line_form(R"(^\s*#\s*include\s*([<"])([^>"]+)[>"])");
  std::vector<Include> found;
  const fs::path root = KERFKILN_SOURCE_DIR;
  for (const char* top : {"modeler", "export", "viewer"}) {
    for (const auto& entry : fs::recursive_directory_iterator(root / top)) {
      const auto extension = entry.path().extension();
      if (extension != ".hpp" && extension != ".cpp" && extension != ".ipp") continue;
      const std::string file = fs::relative(entry.path(), root).generic_string();
      std::ifstream in(entry.path());
      for (std::string line; std::getline(in, line);) {
        std::smatch m;
        if (std::regex_search(line, m, line_form)) found.push_back({file, layer_of(file), m[2], m[1] == "<"});
      }
    }
  }
  return found;
}

// Each layer with the layers it may include; transitive use is spelled out, so that the picture stays readable.
const std::map<std::string, std::set<std::string>>& permitted() {
  static const std::map<std::string, std::set<std::string>> table = [] {
    const std::vector<std::string> ladder = {"modeler/base",     "modeler/numeric", "modeler/plane",
                                             "modeler/surface",  "modeler/solid",   "modeler/flatten",
                                             "modeler/material", "modeler/product", "modeler/quantity"};
    std::map<std::string, std::set<std::string>> t;
    std::set<std::string> below;
    for (const auto& layer : ladder) {
      below.insert(layer);
      t[layer] = below;
    }
    for (const char* family : {"modeler/cushion", "modeler/urn"}) {
      t[family] = below;
      t[family].insert(family);
    }
    std::set<std::string> modeler = below;
    modeler.insert({"modeler/cushion", "modeler/urn", "modeler/job"});
    t["modeler/job"] = modeler;
    std::set<std::string> output = modeler;
    for (const char* layer : {"export/drawing", "export/document", "export/writer", "export/command"}) {
      output.insert(layer);
      t[layer] = output;
    }
    // Documents and drawings see the waist, never a family.
    for (const char* layer : {"export/drawing", "export/document", "export/writer"})
      for (const char* family : {"modeler/cushion", "modeler/urn"}) t[layer].erase(family);
    std::set<std::string> window = output;
    window.erase("export/command");
    for (const char* layer : {"viewer/state", "viewer/render", "viewer/panel", "viewer/app"}) {
      window.insert(layer);
      t[layer] = window;
    }
    return t;
  }();
  return table;
}

const std::vector<Include>& all_includes() {
  static const std::vector<Include> found = read_includes();
  return found;
}

bool third_party(const Include& i) {
  static const std::regex names(
      R"(^(CGAL|OpenMesh|boost|Eigen|nlohmann|CLI|imgui|backends|GLFW|epoxy|GL|EGL|cairo|pango|udunits2|stb|gtest|benchmark|dl)(/|\.|-|_|$).*)");
  return i.angled && std::regex_match(i.target, names);
}

TEST(Layers, EveryIncludeKeepsTheDirection) {
  const auto& includes = all_includes();
  ASSERT_GT(includes.size(), 100u) << "the scan found almost nothing: is the source folder right?";
  for (const Include& i : includes) {
    if (i.angled) continue;
    const auto own = permitted().find(i.folder);
    ASSERT_NE(own, permitted().end()) << i.file << ": the layer " << i.folder << " is not in the table above";
    EXPECT_TRUE(own->second.contains(layer_of(i.target))) << i.file << " must not include " << i.target;
  }
}

TEST(Layers, IncludesStartAtTheRoot) {
  for (const Include& i : all_includes()) {
    if (i.angled) continue;
    EXPECT_TRUE(fs::exists(fs::path(KERFKILN_SOURCE_DIR) / i.target)) << i.file << " includes " << i.target;
  }
}

TEST(Layers, NoThirdPartyHeaderInAHeaderOfOurs) {
  for (const Include& i : all_includes()) {
    if (!i.file.ends_with(".hpp")) continue;
    EXPECT_FALSE(third_party(i)) << i.file << " includes <" << i.target << ">";
  }
}

TEST(Layers, GeometryLibrariesStayInTheirFolders) {
  static const std::set<std::string> homes = {"modeler/plane", "modeler/solid", "modeler/flatten"};
  for (const Include& i : all_includes()) {
    if (!i.target.starts_with("CGAL/") && !i.target.starts_with("OpenMesh/")) continue;
    EXPECT_TRUE(homes.contains(i.folder)) << i.file << " includes <" << i.target << ">";
  }
}

TEST(Layers, TheDrawingReaderStaysInOneFile) {
  for (const Include& i : all_includes()) {
    if (!i.angled || !i.target.starts_with("dl_")) continue;
    EXPECT_EQ(i.file, "modeler/plane/drawing_read.cpp") << "includes <" << i.target << ">";
  }
}

TEST(Layers, WindowLibrariesStayInTheViewer) {
  static const std::set<std::string> homes = {"viewer/render", "viewer/panel", "viewer/app"};
  static const std::regex window(R"(^(imgui|backends/imgui|GLFW/|epoxy/|GL/|EGL/).*)");
  for (const Include& i : all_includes()) {
    if (!i.angled || !std::regex_match(i.target, window)) continue;
    EXPECT_TRUE(homes.contains(i.folder)) << i.file << " includes <" << i.target << ">";
  }
}

}  // namespace
