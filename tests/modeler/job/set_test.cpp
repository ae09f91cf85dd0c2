// The set of a job: counts, foam by grade, cost, hands and cutting layouts, against sums done by hand.
#include "modeler/job/set.hpp"

#include <gtest/gtest.h>

namespace kerfkiln::job {
namespace {

// A box of 480 x 380 x 50, and two arm rests of 80 x 380 x 25 of the same foam, out of sheets 50 thick.
Document job(const char* right_count) {
  const std::string foam = R"("foams": { "a": { "density": "50 kg/m3", "price": 400,
      "sheet": { "width": 1000, "length": 2000, "thicknesses": [50.5] } } })";
  const auto piece = [](const std::string& name, const std::string& more, double w, double thick) {
    return R"({ "name": ")" + name +
           R"(", "kind": "cushion", "given_at": "core", "outline": { "rectangle": { "width": )" + std::to_string(w) +
           R"(, "depth": 380 } }, "layers": [ { "foam": "a", "thickness": )" + std::to_string(thick) + " } ]" + more +
           "}";
  };
  return parse(
      R"({ "kerfkiln": 1, "materials": { )" + foam + R"( }, "pieces": [ )" +
      piece("seat", R"(, "count": 4)", 480, 50.5) + ", " +
      piece("arm left", R"(, "count": 2, "hand": "left")", 80, 25) + ", " +
      piece("arm right", std::string(R"(, "mirrored": true, "hand": "right", "count": )") + right_count, 80, 25) +
      "] }");
}

double value(const std::vector<product::Figure>& figures, const std::string& key) {
  for (const product::Figure& f : figures)
    if (f.key == key) return f.value;
  return -1;
}

TEST(Set, SumsCountsVolumesAndCost) {
  const Document d = job("2");
  ASSERT_TRUE(d.findings.empty());
  const std::vector<product::Product> products = evaluate(d.design);
  const Set set = set_of(d.design, products);
  const double seat = 0.48 * 0.38 * 0.0505, arm = 0.08 * 0.38 * 0.025;  // m3
  const double seat_blank = 0.5 * 0.4 * 0.0505, arm_blank = 0.1 * 0.4 * 0.025;
  EXPECT_NEAR(value(set.figures, "foam.a.volume"), 1000 * (4 * seat + 4 * arm), 1e-9);
  EXPECT_NEAR(value(set.figures, "foam.a.mass"), 50 * (4 * seat + 4 * arm), 1e-9);
  EXPECT_NEAR(value(set.figures, "foam.a.blanks"), 1000 * (4 * seat_blank + 4 * arm_blank), 1e-9);
  EXPECT_NEAR(value(set.figures, "foam.a.cost"), 400 * (4 * seat_blank + 4 * arm_blank), 1e-9);
  EXPECT_NEAR(value(set.figures, "total.cost"), 400 * (4 * seat_blank + 4 * arm_blank), 1e-9);
  EXPECT_EQ(value(set.figures, "total.glue"), 0);
  // Two arm rests are slit from one blank: 4 x 500 x 400 and 2 x 100 x 400 come out of one sheet of 2000 x 1000.
  EXPECT_EQ(value(set.figures, "foam.a.sheets"), 1);
  EXPECT_NEAR(value(set.figures, "foam.a.cost_of_sheets"), 400 * 2 * 1 * 0.0505, 1e-9);
  ASSERT_EQ(set.views.size(), 1U);
  EXPECT_EQ(set.views[0].sketch.fills.size(), 6U);
  EXPECT_TRUE(set.findings.empty());
  ASSERT_EQ(set.tables.size(), 3U);
  EXPECT_EQ(set.tables[0].rows.back()[2], "8");
  EXPECT_EQ(set.tables[0].rows[1][1], "left");
  for (const product::Table& t : set.tables)
    for (const auto& row : t.rows) EXPECT_EQ(row.size(), t.columns.size()) << t.id;
  for (const product::Figure& f : totals(d.design, products)) EXPECT_FALSE(f.from.empty()) << f.key;
}

TEST(Set, CouponsAreCutOnceHoweverManyPiecesAreMade) {
  const Document d = parse(R"({ "kerfkiln": 1, "materials": { "foams": { "a": { "density": "50 kg/m3", "price": 400,
      "sheet": { "width": 1000, "length": 2000, "thicknesses": [50] } } } }, "pieces": [ { "name": "seat",
      "kind": "cushion", "count": 4, "given_at": "core", "outline": { "rectangle": { "width": 480, "depth": 380 } },
      "layers": [ { "foam": "a", "thickness": 50 } ],
      "coupons": [ { "test": "horizontal", "count": 6 } ] } ] })");
  ASSERT_TRUE(d.findings.empty());
  const Set set = set_of(d.design, evaluate(d.design));
  const double seat = 0.48 * 0.38 * 0.05, blank = 0.5 * 0.4 * 0.05, coupon = 0.102 * 0.356 * 0.013;  // m3
  EXPECT_NEAR(value(set.figures, "foam.a.volume"), 1000 * 4 * seat, 1e-9);
  EXPECT_NEAR(value(set.figures, "foam.a.blanks"), 1000 * (4 * blank + 6 * coupon), 1e-9);
  EXPECT_EQ(value(set.figures, "foam.a.sheets"), 1);
}

TEST(Set, HandsThatMakeNoPairsAreNoted) {
  const Document d = job("3");
  const Set set = set_of(d.design, evaluate(d.design));
  ASSERT_EQ(set.findings.size(), 1U);
  EXPECT_EQ(set.findings[0].code, "set.pair");
  EXPECT_EQ(set.findings[0].severity, Severity::note);
}

TEST(Set, JobsWithoutFoamHaveNone) {
  const Document d = parse(starter("urn"));
  const Set set = set_of(d.design, evaluate(d.design));
  EXPECT_TRUE(set.figures.empty());
  EXPECT_TRUE(set.tables.empty());
}

}  // namespace
}  // namespace kerfkiln::job
