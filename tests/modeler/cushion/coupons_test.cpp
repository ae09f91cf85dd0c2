// Coupons for burn tests: one size of every material of the piece, in the cut list and beside the pieces, once a job.
#include <gtest/gtest.h>

#include "tests/modeler/cushion/sample.hpp"

namespace kerfkiln::cushion {
namespace {

using namespace sample;

// 49 CFR 571.302: specimens of 102 x 356 mm, up to 13 mm thick (reference part 8).
CouponSpec coupon() {
  CouponSpec c;
  c.test = "horizontal";
  c.width = 102;
  c.length = 356;
  c.thickness = 13;
  c.count = 5;
  return c;
}

Spec piece() {
  Spec s = block(500, 450, 40, {{"f60", 50}, {"f45", 30}, {"f60", 20}});
  s.count = 4;
  s.given_at = "dressed";
  s.cover = "hide";
  s.batting = "loft20";
  return s;
}

TEST(Coupons, OfEveryMaterialOnceForTheJob) {
  Spec s = piece();
  const product::Product bare = build(s, materials());
  s.coupons = {coupon()};
  const product::Product p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings));
  ASSERT_EQ(p.blanks.size(), bare.blanks.size() + 2);  // two foams, one of them in two layers
  const product::Blank& b = p.blanks[3];
  EXPECT_EQ(b.name, "coupon, horizontal");
  EXPECT_EQ(b.material, "f60");
  EXPECT_EQ(p.blanks[4].material, "f45");
  EXPECT_DOUBLE_EQ(b.width_mm, 102);
  EXPECT_DOUBLE_EQ(b.depth_mm, 356);
  EXPECT_DOUBLE_EQ(b.thickness_mm, 13);
  EXPECT_EQ(b.count, 5);
  EXPECT_TRUE(b.once);
  EXPECT_EQ(b.finished_mm3, 0);
  // The piece itself is no heavier and no dearer.
  for (const char* key : {"core.mass", "total.mass", "glue.area"}) EXPECT_EQ(value(p, key), value(bare, key)) << key;
  const product::Table *cut = table(p, "cut-list"), *all = table(p, "coupons");
  ASSERT_TRUE(cut && all);
  EXPECT_EQ(cut->rows.back()[0], "coupon, horizontal");
  EXPECT_EQ(cut->rows.back()[5], "5");
  ASSERT_EQ(all->rows.size(), 4U);
  EXPECT_EQ(all->rows[2][1], "hide");
  EXPECT_EQ(all->rows[3][1], "loft20");
  EXPECT_EQ(table(bare, "coupons"), nullptr);
}

TEST(Coupons, OfOneFoamAndWhatCannotBeCut) {
  Spec s = piece();
  s.coupons = {coupon()};
  s.coupons[0].foam = "f45";
  EXPECT_EQ(table(build(s, materials()), "coupons")->rows.size(), 1U);
  s.coupons[0].foam = "f25";
  EXPECT_NE(finding(build(s, materials()).findings, "coupon.unused", "coupons/0/foam"), nullptr);
  s.coupons[0].foam = "f26";
  EXPECT_NE(finding(build(s, materials()).findings, "material.unknown", "coupons/0/foam"), nullptr);
  s.coupons[0] = coupon();
  material::Library m = materials();
  for (auto& [name, foam] : m.foams) {
    foam.sheet.width = 300;
    foam.sheet.length = 340;
    foam.sheet.thicknesses = {10};
  }
  const Findings f = build(s, m).findings;
  EXPECT_NE(finding(f, "coupon.stock", "coupons/0/thickness"), nullptr);
  EXPECT_NE(finding(f, "coupon.sheet", "coupons/0"), nullptr);
}

}  // namespace
}  // namespace kerfkiln::cushion
