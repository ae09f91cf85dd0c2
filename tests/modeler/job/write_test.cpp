#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "modeler/base/number_text.hpp"
#include "modeler/job/complete.hpp"
#include "modeler/job/design.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::job {
namespace {

std::string text_of(const Findings& findings) {
  std::string out;
  for (const Finding& f : findings) out += f.code + " " + f.path + ": " + f.message + "\n";
  return out;
}

void expect_fixed_point(const Design& d) {
  const std::string first = write(d);
  const Document back = parse(first);
  EXPECT_FALSE(has_errors(back.findings)) << text_of(back.findings) << first;
  const std::string second = write(back.design);
  EXPECT_EQ(first, second);
  EXPECT_EQ(hash(d), hash(back.design));
  for (const Piece& piece : back.design.pieces) EXPECT_EQ(text_of(incomplete(piece)), "");
}

TEST(Write, RandomCushionsReadBackTheSame) {
  for (std::uint64_t seed = 0; seed < 2000 && !HasFailure(); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    Design d;
    d.pieces.emplace_back(test::random_cushion(seed));
    expect_fixed_point(d);
  }
}

TEST(Write, RandomUrnsReadBackTheSame) {
  for (std::uint64_t seed = 0; seed < 2000 && !HasFailure(); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    Design d;
    d.pieces.emplace_back(test::random_urn(seed));
    expect_fixed_point(d);
  }
}

TEST(Write, RandomDesignsInManySpellingsReadBackTheSame) {
  for (std::uint64_t seed = 0; seed < 1000 && !HasFailure(); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    expect_fixed_point(test::random_design(seed));
  }
}

TEST(Write, ValuesReadBackBitForBit) {
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    Design d;
    d.units = seed % 2 == 0 ? Units::mm : Units::inch;
    const urn::Spec urn = test::random_urn(seed);
    d.pieces.emplace_back(urn);
    const Document back = parse(write(d));
    const auto& read = std::get<urn::Spec>(back.design.pieces.at(0));
    ASSERT_EQ(read.profile.size(), urn.profile.size());
    for (std::size_t i = 0; i < urn.profile.size(); ++i)
      EXPECT_EQ(read.profile[i].half_width.value, urn.profile[i].half_width.value);
    EXPECT_EQ(read.wall.value, urn.wall.value);
  }
}

TEST(Write, QuantitiesStayAsTheMakerWroteThem) {
  const std::string text = R"({ "kerfkiln": 1, "units": "in", "pieces": [ { "name": "a", "kind": "cushion",
    "outline": { "rectangle": { "width": "18 1/2 in", "depth": 18.50, "corner_radius": "4e1mm" } },
    "layers": [ { "foam": "soft", "thickness": "  2   in" } ] } ] })";
  const std::string out = write(parse(text).design);
  for (const char* kept : {R"("width": "18 1/2 in")", R"("depth": 18.50)", R"("corner_radius": "4e1mm")",
                           R"("thickness": "  2   in")", R"("units": "in")"})
    EXPECT_NE(out.find(kept), std::string::npos) << kept << out;
}

TEST(Write, WrongValuesKeepTheirTextToo) {
  const Document d = parse(R"({ "kerfkiln": 1, "pieces": [ { "name": "a", "kind": "urn", "wall": "0 mm",
    "profile": [ { "height": 0, "half_width": "5 parsnips" }, { "height": 9, "half_width": 50 } ] } ] })");
  const std::string out = write(d.design);
  EXPECT_NE(out.find(R"("wall": "0 mm")"), std::string::npos) << out;
  EXPECT_NE(out.find("5 parsnips"), std::string::npos);
}

TEST(Write, HashIsOfTheContentAlone) {
  const std::string plain = R"({"kerfkiln":1,"title":"a","pieces":[]})";
  const std::string h = hash(parse(plain).design);
  EXPECT_EQ(h.size(), 16u);
  EXPECT_EQ(h.find_first_not_of("0123456789abcdef"), std::string::npos);
  EXPECT_EQ(
      h, hash(parse("// x\n{ \"title\": \"a\", /* y */ \"pieces\": [ ],\n \"kerfkiln\": 1, \"$schema\": \"s.json\" }")
                  .design));
  EXPECT_NE(h, hash(parse(R"({"kerfkiln":1,"title":"b","pieces":[]})").design));
}

TEST(Write, StartersAreDesignsWithoutFindings) {
  for (const char* kind : {"cushion", "urn"}) {
    const std::string text = starter(kind);
    EXPECT_NE(text.find("//"), std::string::npos);
    const Document d = parse(text);
    EXPECT_EQ(text_of(d.findings), "") << text;
    ASSERT_EQ(d.design.pieces.size(), 1u);
    EXPECT_EQ(text_of(incomplete(d.design.pieces[0])), "");
    expect_fixed_point(d.design);
  }
  EXPECT_EQ(starter("sofa"), "");
}

TEST(Write, DemosAreFixedPoints) {
  for (const char* name : {"observatory_chair.json", "bittern_urn.json"}) {
    const Result<Document> d = read(std::string(KERFKILN_SOURCE_DIR "/demo/") + name);
    ASSERT_TRUE(d) << name;
    EXPECT_FALSE(has_errors(d->findings)) << text_of(d->findings);
    expect_fixed_point(d->design);
  }
}

}  // namespace
}  // namespace kerfkiln::job
