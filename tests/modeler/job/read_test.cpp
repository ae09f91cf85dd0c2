#include <gtest/gtest.h>

#include <chrono>
#include <fstream>
#include <sstream>

#include "modeler/job/design.hpp"
#include "modeler/job/json_tree.hpp"

namespace kerfkiln::job {
namespace {

std::string design(const std::string& piece, const std::string& head = R"("units": "mm")") {
  return R"({ "kerfkiln": 1, )" + head + R"(, "pieces": [ )" + piece + " ] }";
}
std::string seat(const std::string& more = "") {
  return R"({ "name": "seat", "kind": "cushion", "outline": { "rectangle": { "width": 500, "depth": "40 cm" } },
            "layers": [ { "foam": "firm", "thickness": "2 in" } ])" +
         more + " }";
}
std::vector<std::string> codes(const Document& d) {
  std::vector<std::string> out;
  for (const Finding& f : d.findings) out.push_back(f.code + " " + f.path);
  return out;
}
using List = std::vector<std::string>;

TEST(Read, ValuesArriveInCanonicalUnits) {
  const Document d = parse(design(seat(
      R"(, "edges": { "top": { "front": { "ellipse": [60, "4 cm"] }, "other": { "round": 20 } }, "bottom": { "other": "bullnose" } })")));
  EXPECT_EQ(codes(d), List{});
  const auto& s = std::get<cushion::Spec>(d.design.pieces.at(0));
  const auto& r = std::get<cushion::RectangleSpec>(s.outline);
  EXPECT_EQ(r.width.value, 500);
  EXPECT_EQ(r.depth.value, 400);
  EXPECT_EQ(r.depth.written, "40 cm");
  EXPECT_EQ(r.corner_radius.value, 0);  // a default: no words of the maker's
  EXPECT_EQ(r.corner_radius.written, "");
  EXPECT_DOUBLE_EQ(s.layers.at(0).thickness.value, 50.8);
  EXPECT_EQ(s.top.sides.at("front").type, "ellipse");
  EXPECT_EQ(s.top.sides.at("front").lengths.at(1).value, 40);
  EXPECT_EQ(s.top.sides.at("other").lengths.at(0).value, 20);
  EXPECT_EQ(s.bottom.sides.at("other").type, "bullnose");
  EXPECT_EQ(s.given_at, "dressed");
  EXPECT_EQ(s.trim.value, 10);
  EXPECT_EQ(s.kerf.value, 0.5);
  EXPECT_FALSE(s.topper_thickness.known());  // no topper, no thickness of it
}

TEST(Read, BareLengthsAreInchesWhereTheFileSaysSo) {
  std::string narrow = seat();
  narrow.replace(narrow.find("500"), 3, "18.5");
  const Document d = parse(design(narrow, R"("units": "in")"));
  EXPECT_DOUBLE_EQ(std::get<cushion::RectangleSpec>(std::get<cushion::Spec>(d.design.pieces.at(0)).outline).width.value,
                   469.9);
  ASSERT_EQ(codes(d), List{});
  const Document wide = parse(
      R"({ "pieces": [{ "name": "a", "kind": "urn", "wall": 9, "profile": [] }], "units": "in", "kerfkiln": 1 })");
  EXPECT_EQ(wide.findings.at(1).message, "Wall is 9 (9 in); permitted: 0.0197 in to 7.874 in");
}

TEST(Read, AllFindingsAtOnceInTheOrderOfTheTables) {
  const Document d = parse(R"({ "kerfkiln": 1, "titel": "x", "pieces": [
    { "name": "a", "kind": "cushion", "outline": { "rectangle": { "width": "0.05 mm", "depth": "5 kg" } },
      "layers": [ { "foam": "firmm", "thicknes": 3 } ], "kerf": null },
    { "name": "a", "kind": "urm" } ] })");
  EXPECT_EQ(codes(d),
            (List{"value.range pieces/0/outline/rectangle/width", "quantity.dimension pieces/0/outline/rectangle/depth",
                  "name.unknown pieces/0/layers/0/foam", "value.missing pieces/0/layers/0/thickness",
                  "key.unknown pieces/0/layers/0/thicknes", "value.type pieces/0/kerf", "value.choice pieces/1/kind",
                  "key.unknown titel"}));
  EXPECT_EQ(d.findings[2].remedy, "Did you mean \"firm\"?");
  EXPECT_EQ(d.findings[4].remedy, "Did you mean \"thickness\"?");
  EXPECT_EQ(d.findings[6].remedy, "Did you mean \"urn\"?");
  for (const Finding& f : d.findings) {
    EXPECT_FALSE(f.message.empty());
    EXPECT_FALSE(f.remedy.empty());
  }
}

TEST(Read, SyntaxErrorsNameLineAndColumn) {
  const Document d = parse("{\n  \"kerfkiln\": 1,\n  \"title\": 400mm\n}");
  ASSERT_EQ(codes(d), List{"json.syntax "});
  EXPECT_TRUE(d.findings[0].message.starts_with("line 3, column ")) << d.findings[0].message;
  EXPECT_NE(d.findings[0].message.find("400m"), std::string::npos) << d.findings[0].message;
}

TEST(Read, LimitsAreRefusedClearly) {
  EXPECT_EQ(codes(parse(std::string(kLargestFile + 1, ' '))), List{"file.size "});
  const std::string deep = std::string(200000, '[');
  EXPECT_EQ(codes(parse(deep)), List{"json.nesting "});
  std::string nest;
  for (int i = 0; i < 63; ++i) nest += "[";
  EXPECT_EQ(codes(parse(R"({ "kerfkiln": 1, "records": )" + nest + std::string(63, ']') + "}")),
            (List{"value.missing pieces", "key.not_computed records"}));
  std::string many;
  for (int i = 0; i < 257; ++i) many += (i > 0 ? "," : "") + seat();
  const Document d = parse(design(many));
  EXPECT_EQ(codes(d).at(0), "list.count pieces");
  std::string vertices;
  for (int i = 0; i < 10001; ++i) vertices += std::string(i > 0 ? "," : "") + R"({"at":[0,0]})";
  EXPECT_EQ(codes(parse(design(R"({"name":"a","kind":"cushion","outline":{"vertices":[)" + vertices +
                               R"(]},"layers":[{"foam":"soft","thickness":20}]})"))),
            List{"list.count pieces/0/outline/vertices"});
  std::string keys;
  for (int i = 0; i < 5000; ++i) keys += ",\"k" + std::to_string(i) + "\":0";
  const Document flood = parse(R"({"kerfkiln":1)" + keys + "}");
  EXPECT_EQ(flood.findings.size(), 201u);
  EXPECT_EQ(flood.findings.back().code, "findings.more");
}

TEST(Read, CommentsByteOrderMarkAndEscapesAreRead) {
  const Document d = parse("\xEF\xBB\xBF// head\n" + design(R"(/* a */ { "n\u0061me": "s\u00e9at", // "kind": "urn"
    "kind": "urn", "wall": "6 mm", "profile": [ {"height":0,"half_width":50}, {"height":90,"half_width":50} ] })"));
  EXPECT_EQ(codes(d), List{});
  EXPECT_EQ(std::get<urn::Spec>(d.design.pieces.at(0)).name,
            "s\xC3\xA9"
            "at");
}

TEST(Read, KnownKeysOfLaterVersionsAreKeptAndNotedOnce) {
  const auto piece = [](const std::string& name) {
    return R"({ "name": ")" + name +
           R"(", "kind": "cushion", "outline": { "rectangle": { "width": 500, "depth": 400 } },
    "layers": [ { "foam": "soft", "thickness": 20 } ],
    "cover": { "material": "hide", "seams": { "other": { "allowance": "10 mm" } } } })";
  };
  const Document d = parse(design(piece("a") + ", " + piece("b")));
  EXPECT_EQ(codes(d), (List{"key.not_computed pieces/0/cover/seams"}));
  for (const Finding& f : d.findings) EXPECT_EQ(f.severity, Severity::note);
  const auto& s = std::get<cushion::Spec>(d.design.pieces.at(1));
  EXPECT_EQ(s.kept.at("cover/seams"), R"({"other":{"allowance":"10 mm"}})");
  EXPECT_EQ(s.cover, "hide");
}

TEST(Read, ADrawingIsNotLookedForWithoutAFolder) {
  const Document d = parse(design(R"({ "name": "a", "kind": "cushion", "outline": { "dxf": { "file": "seat.dxf" } },
    "layers": [ { "foam": "soft", "thickness": 20 } ] })"));
  EXPECT_FALSE(has_errors(d.findings));
  EXPECT_EQ(evaluate(d.design).at(0).findings.at(0).code, "dxf.file");
  EXPECT_NE(write(d.design).find(R"("outline": { "dxf": { "file": "seat.dxf" } })"), std::string::npos);
}

TEST(Read, MaterialsResolveAgainstTheDesignFirst) {
  const Document d =
      parse(design(seat(R"(, "adhesive": "ours")"), R"("materials": { "foams": { "firm": { "density": "3 lb/ft3" } },
    "adhesives": { "ours": { "coverage": "60 g/m2" } } })"));
  EXPECT_EQ(codes(d), List{});
  EXPECT_NEAR(material::find(d.design.materials.foams, "firm")->density.value, 48.055,
              1e-3);  // 1 lb/ft3 = 16.01846 kg/m3
  EXPECT_EQ(material::find(d.design.materials.foams, "soft")->density.value, 35);
  EXPECT_EQ(d.design.own.foams.size(), 1u);
  EXPECT_EQ(material::find(d.design.materials.adhesives, "ours")->faces, 2);
  EXPECT_DOUBLE_EQ(material::find(d.design.materials.adhesives, "ours")->loss.value, 0.1);
}

// Each default stands once in a table and once in the struct that a builder may be given without a file.
TEST(Read, DefaultsOfTheBuiltInMaterialsAreThoseOfTheTables) {
  const Document d = parse(
      design(seat(), R"("materials": { "bodies": { "b": { "stages": [ { "name": "drying", "shrinkage": "3 %" } ] } },
    "plasters": { "p": {} }, "adhesives": { "a": {} }, "battings": { "w": { "mass_per_area": "200 g/m2", "loft": 20 } } })"));
  ASSERT_EQ(codes(d), List{});
  const auto& own = d.design.own;
  const auto& usual = material::built_in();
  EXPECT_EQ(own.bodies[0].second.fired_density.value,
            material::find(usual.bodies, material::kDefaultBody)->fired_density.value);
  EXPECT_EQ(own.bodies[0].second.loss_on_ignition.value,
            material::find(usual.bodies, material::kDefaultBody)->loss_on_ignition.value);
  EXPECT_EQ(own.plasters[0].second.consistency.value,
            material::find(usual.plasters, material::kDefaultPlaster)->consistency.value);
  EXPECT_EQ(own.plasters[0].second.specific_gravity.value,
            material::find(usual.plasters, material::kDefaultPlaster)->specific_gravity.value);
  EXPECT_EQ(own.plasters[0].second.setting_expansion.value,
            material::find(usual.plasters, material::kDefaultPlaster)->setting_expansion.value);
  EXPECT_EQ(own.adhesives[0].second.coverage.value,
            material::find(usual.adhesives, material::kDefaultAdhesive)->coverage.value);
  EXPECT_EQ(own.battings[0].second.compressed_to.value,
            material::find(usual.battings, "standard")->compressed_to.value);
  EXPECT_NE(material::find(usual.models, material::kDefaultModel), nullptr);
}

TEST(Read, FilesThatCannotBeReadAreFindings) {
  const auto code = [](const std::filesystem::path& p) {
    const Result<Document> d = read(p);
    return d ? std::string("read") : d.findings().front().code;
  };
  EXPECT_EQ(code("no/such/file.json"), "file.unreadable");
  EXPECT_EQ(code("/"), "file.unreadable");
  EXPECT_EQ(code("/dev/null"), "read");  // empty text is a syntax error of the document
  const Result<Document> endless = read("/dev/zero");
  ASSERT_TRUE(endless);
  EXPECT_EQ(codes(*endless), List{"file.size "});
}

TEST(Read, ADemoSizedFileTakesWellUnderAMillisecond) {
  std::ifstream in(KERFKILN_SOURCE_DIR "/demo/observatory_chair.json");
  std::stringstream text;
  text << in.rdbuf();
  ASSERT_GT(text.str().size(), 1000u);
  double best = 1e9;
  for (int i = 0; i < 50; ++i) {
    const auto start = std::chrono::steady_clock::now();
    const Document d = parse(text.str());
    best = std::min(best, std::chrono::duration<double, std::micro>(std::chrono::steady_clock::now() - start).count());
    ASSERT_FALSE(has_errors(d.findings));
  }
  RecordProperty("microseconds", std::to_string(best));
#ifdef NDEBUG
  EXPECT_LT(best, 1000);
#endif
}

}  // namespace
}  // namespace kerfkiln::job
