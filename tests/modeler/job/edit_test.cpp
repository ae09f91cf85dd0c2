#include <gtest/gtest.h>

#include <cmath>

#include "modeler/job/design.hpp"
#include "modeler/job/json_tree.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::job {
namespace {

constexpr const char* kText = R"({
  "kerfkiln": 1, // one
  "pieces": [
    // The urn.
    { "name": "u", "kind": "urn",
      "wall": "6 mm", // thin
      "profile": [ { "height": 0, "half_width": 50 }, { "height": 90, "half_width": 60 } ]
    }
  ]
}
)";

std::string edit(const std::string& text, const std::string& path, const std::string& value) {
  const Result<Document> d = edited(parse(text), path, value);
  return d ? d->text : d.findings().front().code;
}
std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

TEST(Edit, AValueIsReplacedWhereItStands) {
  EXPECT_EQ(edit(kText, "pieces/0/wall", R"("7 mm")"), replaced(kText, "\"6 mm\"", "\"7 mm\""));
  EXPECT_EQ(edit(kText, "pieces/0/profile/1/height", "95.5"), replaced(kText, "90", "95.5"));
  EXPECT_EQ(edit(kText, "pieces/0/wall", "7 // gone\n"), replaced(kText, "\"6 mm\"", "7"));
}

TEST(Edit, AMissingMemberIsAddedAndCommentsKeepTheirLines) {
  EXPECT_EQ(edit(kText, "title", "\"T\""), replaced(kText, "  ]\n}", "  ],\n  \"title\": \"T\"\n}"));
  EXPECT_EQ(edit(kText, "pieces/0/base/foot/width", "9"),
            replaced(kText, "60 } ]\n", "60 } ],\n      \"base\": { \"foot\": { \"width\": 9 } }\n"));
  EXPECT_EQ(edit(kText, "pieces/0/profile/0/corner", "true"), replaced(kText, "50 }", "50, \"corner\": true }"));
  EXPECT_EQ(edit(kText, "pieces/0/profile/2", "{}"), replaced(kText, "60 } ]", "60 }, {} ]"));
  EXPECT_EQ(edit("{\n  \"a\": 1 // note\n}", "b", "2"), "{\n  \"a\": 1, // note\n  \"b\": 2\n}");
  EXPECT_EQ(edit("{}", "b", "2"), "{ \"b\": 2 }");
  EXPECT_EQ(edit("{ // empty\n}", "b", "2"), "{ \"b\": 2  // empty\n}");
}

TEST(Edit, AnEmptyValueRemoves) {
  EXPECT_EQ(edit(kText, "pieces/0/profile/0", ""), replaced(kText, "{ \"height\": 0, \"half_width\": 50 }, ", ""));
  EXPECT_EQ(edit(kText, "pieces/0/profile/1", ""), replaced(kText, ", { \"height\": 90, \"half_width\": 60 }", ""));
  EXPECT_EQ(edit("{\n  \"a\": 1, // note\n  \"b\": 2\n}", "b", ""), "{\n  \"a\": 1 // note\n}");
  EXPECT_EQ(edit("{ \"a\": 1, // note\n  \"b\": 2 }", "b", ""), "{ \"a\": 1 // note\n }");
  EXPECT_EQ(edit("{ \"a\": 1, // , here\n  \"b\": 2 }", "a", ""), "{  // , here\n  \"b\": 2 }");
}

TEST(Edit, NamesMayHoldSlashes) {
  const std::string text =
      R"({ "materials": { "foams": { "soft/firm": { "density": "30 kg/m3" }, "soft": { "density": "20 kg/m3" } } } })";
  EXPECT_EQ(edit(text, "materials/foams/soft/firm/density", "\"31 kg/m3\""), replaced(text, "30", "31"));
  EXPECT_EQ(edit(text, "materials/foams/soft/density", "\"21 kg/m3\""), replaced(text, "20", "21"));
}

TEST(Edit, WhatCannotBeIsAFinding) {
  EXPECT_EQ(edit(kText, "pieces/0/wall", "7 mm"), "edit.value");
  EXPECT_EQ(edit(kText, "pieces/0/wall", "1, \"x\": 2"), "edit.value");
  EXPECT_EQ(edit(kText, "pieces/7", "{}"), "edit.path");
  EXPECT_EQ(edit(kText, "pieces/0/wall/x", "1"), "edit.path");
  EXPECT_EQ(edit(kText, "absent", ""), "edit.path");
  EXPECT_EQ(edit("{ broken", "a", "1"), "json.syntax");
  // A wrong value is the maker's to see, not a failure of the edit.
  const Result<Document> d = edited(parse(kText), "pieces/0/wall", "\"9 kg\"");
  ASSERT_TRUE(d);
  EXPECT_EQ(d->findings.at(0).code, "quantity.dimension");
}

// Any member of any design can be removed and put back: the text stays JSON and the content returns.
TEST(Edit, RemovingAndPuttingBackRestoresTheContent) {
  for (std::uint64_t seed = 0; seed < 600 && !HasFailure(); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const std::string text =
        seed % 3 == 0 ? starter(seed % 2 == 0 ? "urn" : "cushion") : write(test::random_design(seed));
    const Document before = parse(text);
    const Result<JsonTree> tree = read_json(before.text);
    ASSERT_TRUE(tree);
    test::Random random(seed);
    const int node = 1 + random.below(static_cast<int>(tree->nodes.size()) - 1);
    const std::string path = tree->path(node);
    const JsonNode& parent = (*tree)[(*tree)[node].parent];
    if (tree->key(node).find('/') != std::string::npos) continue;  // found by its name, but not made by it
    const Result<Document> without = edited(before, path, "");
    ASSERT_TRUE(without) << path;
    const Result<JsonTree> still = read_json(without->text);
    ASSERT_TRUE(still) << path << "\n" << without->text;
    if (parent.last != node) continue;  // would come back at another place, which lists and kept values notice
    const Result<Document> again = edited(*without, path, std::string(tree->raw(node)));
    ASSERT_TRUE(again) << path << "\n" << again.findings().front().message;
    EXPECT_EQ(write(again->design), write(before.design)) << path << "\n" << again->text;
  }
}

double value_of(const Document& d, const char* key) {
  const std::vector<product::Product> made = evaluate(d.design);
  const product::Figure* f = made.at(0).figure(key);
  return f ? f->value : std::nan("");
}

// The demo urn is scaled to 3.25 L. Its sizes taken over, it holds that without being scaled, and all else is as it
// was.
TEST(Take, SolvedSizesHoldTheTargetByThemselves) {
  for (const bool inch : {false, true}) {
    Result<Document> read_in = read(std::string(KERFKILN_SOURCE_DIR) + "/demo/bittern_urn.json");
    ASSERT_TRUE(read_in);
    Document before = std::move(read_in).value();
    if (inch) {  // bare lengths become 25.4 times as long; a target that large is met by scaling down
      Result<Document> e = edited(before, "units", "\"in\"");
      for (std::size_t i = 0; i < 6; ++i)
        for (const char* field : {"height", "half_width", "half_depth"}) {
          const std::string path = "pieces/0/profile/" + std::to_string(i) + "/" + field;
          const Result<JsonTree> tree = read_json(e->text);
          const std::string mm = std::string(tree->raw(tree->find(path)));
          e = edited(*e, path, "\"" + mm + " mm\"");
          ASSERT_TRUE(e);
        }
      before = std::move(e).value();
    }
    ASSERT_TRUE(before.findings.empty()) << before.findings[0].message;
    const std::vector<product::Product> made = evaluate(before.design);
    ASSERT_EQ(made.at(0).offers.size(), 1u);
    const Result<Document> after = taken(before, 0, made[0].offers[0]);
    ASSERT_TRUE(after) << after.findings()[0].message;
    EXPECT_TRUE(after->findings.empty());
    const product::Product now = evaluate(after->design).at(0);
    EXPECT_TRUE(now.offers.empty());
    for (const Finding& f : now.findings) EXPECT_NE(f.code, "capacity.scaled");
    EXPECT_NEAR(value_of(*after, "fired.capacity"), 3.25, 0.3e-3);
    for (const char* key : {"fired.height", "fired.max_width", "cavity.height", "lid.width", "lid.height"})
      EXPECT_NEAR(value_of(*after, key), value_of(before, key), 0.003) << key;
    EXPECT_EQ(read_json(after->text)->find("pieces/0/capacity/target"), -1);
    EXPECT_NE(read_json(after->text)->find("pieces/0/capacity/person"), -1);
    for (const char* comment : {"// Half sizes of the outside", "// A cap over the collar"})
      EXPECT_NE(after->text.find(comment), std::string::npos) << comment;
  }
}

TEST(Take, WhatHasNoPlaceIsAFinding) {
  const product::Offer offer{"x", "x", "", {{"no/such/0/field", std::nan("")}}};
  const Result<Document> d = taken(parse(kText), 0, offer);
  ASSERT_FALSE(d);
  EXPECT_EQ(d.findings()[0].code, "edit.path");
}

}  // namespace
}  // namespace kerfkiln::job
