// Designs that can be made, but not without a word: each gives the warning or note that its manifest row names, and
// every finding about cushions, urns, drawings and jobs has a design that shows it.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>

#include "modeler/job/design.hpp"
#include "modeler/job/set.hpp"

namespace kerfkiln::job {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

const fs::path kTold = KERFKILN_SOURCE_DIR "/tests/corpus/told", kBroken = KERFKILN_SOURCE_DIR "/tests/corpus/broken",
               kModeler = KERFKILN_SOURCE_DIR "/modeler";

std::string text_of(const fs::path& p) {
  std::ifstream in(p, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}
std::vector<Json> rows(const fs::path& folder) {
  return Json::parse(text_of(folder / "manifest.json")).get<std::vector<Json>>();
}
std::string list_of(const Findings& findings) {
  std::string out;
  for (const Finding& f : findings) out += "  " + f.code + " [" + f.path + "] " + f.message + "\n";
  return out;
}

class Told : public testing::TestWithParam<Json> {};

TEST_P(Told, GivesItsFindingAndIsMade) {
  const std::string code = GetParam().at("code"), path = GetParam().at("path");
  const Severity severity = GetParam().at("severity") == "note" ? Severity::note : Severity::warning;
  const Result<Document> document = read(kTold / GetParam().at("file").get<std::string>());
  ASSERT_TRUE(document);
  Findings all = document->findings;
  const std::vector<product::Product> products = evaluate(document->design);
  for (const product::Product& p : products) {
    append(all, p.findings);
    EXPECT_FALSE(p.parts.empty());
  }
  append(all, set_of(document->design, products).findings);
  EXPECT_FALSE(has_errors(all)) << list_of(all);
  const auto found = std::find_if(all.begin(), all.end(), [&](const Finding& f) {
    return f.code == code && f.severity == severity && (f.path == path || f.path.starts_with(path + "/"));
  });
  ASSERT_NE(found, all.end()) << list_of(all);
  EXPECT_FALSE(found->message.empty());
  EXPECT_FALSE(found->remedy.empty());
}

INSTANTIATE_TEST_SUITE_P(Corpus, Told, testing::ValuesIn(rows(kTold)), [](const auto& row) {
  return fs::path(row.param.at("file").template get<std::string>()).stem().string();
});

TEST(ToldManifest, ListsEveryFileOnce) {
  std::set<std::string> listed, there;
  for (const Json& row : rows(kTold)) EXPECT_TRUE(listed.insert(row.at("file")).second) << row;
  for (const auto& entry : fs::directory_iterator(kTold))
    if (entry.is_regular_file() && entry.path().filename() != "manifest.json")
      there.insert(entry.path().filename().string());
  EXPECT_EQ(listed, there);
}

// Findings that no design file shows, and why. Those of the modeller's own interface are refused earlier when they come
// from a file: the parameter table names the range.
const std::map<std::string, std::string> kNotInAFile{
    {"contour.range", "the table refuses the value first"},
    {"crown.range", "the table refuses the value first"},
    {"dxf.gap", "the table refuses the value first"},
    {"frame.size", "the table refuses the value first"},
    {"layers.none", "the table refuses the empty list first"},
    {"outline.number", "the table refuses the value first"},
    {"outline.vertices", "the table refuses the list first"},
    {"pocket.depth", "the table refuses the value first"},
    {"pocket.outline", "the table asks for the outline first"},
    {"skins.given_at", "the table refuses the word first"},
    {"skins.thickness", "the table refuses the value first"},
    {"zones.width", "the table refuses the value first"},
    {"trim.range", "the table refuses the value first"},
    {"length.range", "the table refuses the value first"},
    {"edge.type", "the table refuses the word first"},
    {"edge.lengths", "the table refuses the form first"},
    {"outline.short", "corners that close are refused as repeated"},
    {"material.unknown", "the reader knows the names of materials: name.unknown"},
    {"material.density", "the table asks for the density of a foam, or refuses that of a clay body, first"},
    {"section.unknown", "the table refuses the word first"},
    {"profile.points", "the table refuses the list first"},
    {"profile.height", "the table refuses the value first"},
    {"profile.half_width", "the table refuses the value first"},
    {"profile.squareness", "the table refuses the value first"},
    {"skins.unknown", "the table asks for the thickness first"},
    {"topper.flat",
     "needs a line that goes on past where it parts two pieces: one of the cushions of random_wrap_test"},
    {"material.coverage", "a built-in adhesive fills the gap"},
    {"dxf.file", "a file without a folder: attachments_test"},
    {"piece.incomplete", "always after the finding that names the value: evaluate_test"},
    {"value.not_computed", "every form is computed at present"},
    {"findings.more", "needs hundreds of faults in one file: read_test"},
    {"file.size", "needs a file of 16 MiB: read_test"},
    {"edit.path", "of an edit, not of a file: edit_test"},
    {"edit.value", "of an edit, not of a file: edit_test"},
    {"drawing.vertices", "needs a drawing of 10 000 segments: drawing_in_test"},
    {"drawing.reader", "guards the reading library behind the pass of our own, which refuses first"},
    {"relief.deviation", "a deviation is asked for by the caller"},
    {"offset.failed", "guards the numerics: no outline is known that comes here"},
    {"crease.region", "guards the numerics: no cut is known that comes here"},
    {"level.failed", "guards the numerics: no form is known that comes here"},
    {"layers.outline", "guards the numerics: no form is known that comes here"},
    {"edges.scribe", "guards the numerics: no form is known that comes here"},
    {"wrap.pieces", "guards the numerics: lines that no widening divides; none of the random cushions has them"},
};

// Every code that the sources give to a finding is in one of both corpora, or above.
TEST(ToldManifest, EveryFindingHasADesign) {
  std::set<std::string> shown;
  for (const fs::path& folder : {kTold, kBroken})
    for (const Json& row : rows(folder)) shown.insert(row.at("code"));
  std::set<std::string> codes;
  for (const char* folder : {"cushion", "job", "material", "plane", "product", "urn"})
    for (const auto& entry : fs::recursive_directory_iterator(kModeler / folder)) {
      if (entry.path().extension() != ".cpp") continue;
      const std::string text = text_of(entry.path());
      // After the severity, or what stands for it; one of two after a question.
      const std::regex call(
          R"re((?:\b(?:error|warning|note|complain|finding|report|unfit)\(|Severity::\w+,|\{severity,)\s*(?:Severity::\w+,\s*)?)re"
          R"re((?:[\w.() ]+\?\s*)?"([a-z]+(?:\.[a-z_0-9]+)+)"(?:\s*:\s*"([a-z]+(?:\.[a-z_0-9]+)+)")?)re");
      for (std::sregex_iterator i(text.begin(), text.end(), call), end; i != end; ++i)
        for (const auto& code : {(*i)[1], (*i)[2]})
          if (code.matched) codes.insert(code);
    }
  // Names that are put together.
  codes.insert({"topper.flat", "topper.strips", "batting.strips", "profile.half_width", "profile.half_depth",
                "profile.squareness", "profile.corner_radius"});
  EXPECT_GE(codes.size(), 220u);
  for (const std::string& code : codes)
    EXPECT_TRUE(shown.contains(code) || kNotInAFile.contains(code)) << code << " has no design";
  for (const auto& [code, why] : kNotInAFile) {
    EXPECT_TRUE(codes.contains(code)) << code << " is no code any more";
    EXPECT_FALSE(shown.contains(code)) << code << " has a design";
  }
}

}  // namespace
}  // namespace kerfkiln::job
