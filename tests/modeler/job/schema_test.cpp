// The published schema, judged by an independent validator: python3-jsonschema (Debian), Draft 2020-12.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include <unistd.h>

#include "modeler/job/design.hpp"
#include "modeler/job/json_tree.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::job {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

// Each line of `instances` is one JSON value; the answer has one letter a line: y valid, n not.
std::string verdicts(const std::vector<std::string>& instances) {
  const fs::path folder =
      fs::temp_directory_path() / ("kerfkiln_schema_" + std::to_string(std::rand()) + std::to_string(::getpid()));
  fs::create_directories(folder);
  std::ofstream(folder / "schema.json") << schema();
  {
    std::ofstream out(folder / "instances.txt");
    for (const std::string& i : instances) out << i << "\n";
  }
  std::ofstream(folder / "judge.py") << R"(import json, sys
from jsonschema import Draft202012Validator as V
schema = json.load(open(sys.argv[1] + "/schema.json", encoding="utf-8"))
V.check_schema(schema)
v = V(schema)
open(sys.argv[1] + "/answer.txt", "w").write("".join(
    "y" if v.is_valid(json.loads(line)) else "n" for line in open(sys.argv[1] + "/instances.txt", encoding="utf-8")))
)";
  const std::string command = "/usr/bin/python3 " + (folder / "judge.py").string() + " " + folder.string();
  EXPECT_EQ(std::system(command.c_str()), 0);
  std::string answer;
  std::ifstream(folder / "answer.txt") >> answer;
  fs::remove_all(folder);
  return answer;
}

// Comments are not JSON: the canonical form of the very text, not of what was read from it.
std::string uncommented(const std::string& text) {
  const Result<JsonTree> tree = read_json(text);
  EXPECT_TRUE(tree);
  return tree ? tree->compact(0) : "";
}

std::string text_of(const fs::path& p) {
  std::ifstream in(p, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

TEST(Schema, AcceptsStartersDemosAndRandomDesigns) {
  std::vector<std::string> good{uncommented(starter("cushion")), uncommented(starter("urn"))};
  for (const auto& entry : fs::directory_iterator(KERFKILN_SOURCE_DIR "/demo"))
    if (entry.path().extension() == ".json") good.push_back(uncommented(text_of(entry.path())));
  ASSERT_GE(good.size(), 4u);
  for (std::uint64_t seed = 0; seed < 100; ++seed) good.push_back(uncommented(write(test::random_design(seed))));
  EXPECT_EQ(verdicts(good), std::string(good.size(), 'y'));
}

// Those of the broken designs whose fault a schema can express.
TEST(Schema, RejectsBrokenDesigns) {
  const Json manifest = Json::parse(text_of(KERFKILN_SOURCE_DIR "/tests/corpus/broken/manifest.json"));
  std::vector<std::string> bad, names;
  for (const Json& row : manifest) {
    if (!row.value("schema", false)) continue;
    names.push_back(row.at("file"));
    bad.push_back(uncommented(text_of(KERFKILN_SOURCE_DIR "/tests/corpus/broken/" + names.back())));
  }
  ASSERT_GE(bad.size(), 20u);
  const std::string answer = verdicts(bad);
  ASSERT_EQ(answer.size(), bad.size());
  for (std::size_t i = 0; i < bad.size(); ++i) EXPECT_EQ(answer[i], 'n') << names[i];
}

// Every key of the design page, used now or later, is in the schema.
TEST(Schema, HoldsTheKeysOfTheDesignPage) {
  const std::string text = schema();
  for (const char* key : {"kerfkiln",
                          "title",
                          "units",
                          "order",
                          "materials",
                          "pieces",
                          "records",
                          "foams",
                          "covers",
                          "battings",
                          "barriers",
                          "boards",
                          "adhesives",
                          "tapes",
                          "threads",
                          "bodies",
                          "models",
                          "plasters",
                          "glazes",
                          "density",
                          "hardness",
                          "sheet",
                          "thicknesses",
                          "evidence",
                          "stretch",
                          "roll_width",
                          "hide",
                          "stages",
                          "height_shrinkage",
                          "bars",
                          "slip",
                          "casting",
                          "loss_on_ignition",
                          "fired_density",
                          "consistency",
                          "specific_gravity",
                          "setting_expansion",
                          "outline",
                          "rectangle",
                          "vertices",
                          "frame",
                          "dxf",
                          "layers",
                          "zones",
                          "edges",
                          "crown",
                          "contour",
                          "creases",
                          "pockets",
                          "board",
                          "topper",
                          "down_to",
                          "batting",
                          "barrier",
                          "cover",
                          "style",
                          "pull",
                          "seams",
                          "closure",
                          "insert",
                          "underside",
                          "load",
                          "mirrored",
                          "given_at",
                          "section",
                          "profile",
                          "half_width",
                          "half_depth",
                          "squareness",
                          "corner",
                          "corner_radius",
                          "wall",
                          "base",
                          "made",
                          "foot",
                          "recess",
                          "bow",
                          "capacity",
                          "target",
                          "fill_below_lip",
                          "by",
                          "lid",
                          "mould",
                          "model",
                          "parting",
                          "keys",
                          "spare",
                          "plaster",
                          "strap_grooves",
                          "moulds",
                          "glaze",
                          "firings",
                          "count",
                          "name",
                          "kind"})
    EXPECT_NE(text.find("\"" + std::string(key) + "\":"), std::string::npos) << key;
  EXPECT_EQ(Json::parse(text).at("$schema"), "https://json-schema.org/draft/2020-12/schema");
}

}  // namespace
}  // namespace kerfkiln::job
