// Designs that cannot be read or made: each gives the finding that its manifest row names, and never a crash. The
// fault is the only one of its file, so the first error is the named one.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "modeler/job/design.hpp"

namespace kerfkiln::job {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

const fs::path kFolder = KERFKILN_SOURCE_DIR "/tests/corpus/broken";

std::string text_of(const fs::path& p) {
  std::ifstream in(p, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

Findings errors_of(const Findings& all) {
  Findings errors;
  for (const Finding& f : all)
    if (f.severity == Severity::error) errors.push_back(f);
  return errors;
}

std::string list_of(const Findings& findings) {
  std::string out;
  for (const Finding& f : findings) out += "  " + f.code + " [" + f.path + "] " + f.message + "\n";
  return out;
}

class Broken : public testing::TestWithParam<Json> {};

TEST_P(Broken, GivesItsFinding) {
  const std::string file = GetParam().at("file"), code = GetParam().at("code"), path = GetParam().at("path");
  const Result<Document> document = read(kFolder / file);
  ASSERT_TRUE(document);
  Findings errors = errors_of(document->findings);
  if (GetParam().at("stage") == "build") {
    ASSERT_EQ(list_of(errors), "") << "the file itself must be readable";
    for (const product::Product& p : evaluate(document->design)) {
      for (const Finding& f : errors_of(p.findings)) errors.push_back(f);
      EXPECT_TRUE(p.shapes.empty());
      EXPECT_TRUE(p.parts.empty());
    }
  }
  ASSERT_FALSE(errors.empty());
  EXPECT_EQ(errors.front().code, code) << list_of(errors);
  // A geometric fault may name a field below the one that the manifest expects.
  EXPECT_TRUE(errors.front().path == path || errors.front().path.starts_with(path + "/")) << list_of(errors);
  for (const Finding& f : errors) {
    EXPECT_FALSE(f.message.empty()) << f.code;
    EXPECT_FALSE(f.remedy.empty()) << f.code;
  }
}

std::vector<Json> rows() { return Json::parse(text_of(kFolder / "manifest.json")).get<std::vector<Json>>(); }

INSTANTIATE_TEST_SUITE_P(Corpus, Broken, testing::ValuesIn(rows()), [](const auto& row) {
  return fs::path(row.param.at("file").template get<std::string>()).stem().string();
});

TEST(BrokenManifest, ListsEveryFileOnce) {
  std::set<std::string> listed, there;
  for (const Json& row : rows()) EXPECT_TRUE(listed.insert(row.at("file")).second) << row;
  for (const auto& entry : fs::directory_iterator(kFolder))
    if (entry.is_regular_file() && entry.path().filename() != "manifest.json")
      there.insert(entry.path().filename().string());
  EXPECT_EQ(listed, there);
  EXPECT_GE(listed.size(), 60u);
}

// What is left of a broken design can be evaluated and saved: nothing throws, nothing is built from unknown values.
TEST(BrokenManifest, NothingOfThemCrashesLaterStages) {
  for (const Json& row : rows()) {
    const Document d = parse(text_of(kFolder / row.at("file").get<std::string>()));
    const std::string out = write(d.design);
    EXPECT_EQ(write(parse(out).design), out) << row;
    EXPECT_EQ(evaluate(d.design).size(), d.design.pieces.size());
  }
}

}  // namespace
}  // namespace kerfkiln::job
