// Cutting layouts: the reference's check value N04, invariants on random sets, and bounds that any layout obeys.
#include "modeler/quantity/sheet_plan.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/random_design.hpp"

namespace kerfkiln::stock {
namespace {

// N04: 2000 x 1200, parts 520 x 470, kerf 3: 6 or 8 parts, waste 18.53 % (reference part 11, derived there by
// division).
TEST(SheetPlan, GridBothTurnsN04) {
  const GridCount g = grid_count({1200, 2000}, 520, 470, 3);
  EXPECT_EQ(g.as_given, 6);
  EXPECT_EQ(g.turned, 8);
  const Part eight[] = {{520, 470, 8}};
  const SheetPlan plan = plan_sheets(eight, {1200, 2000}, 3);
  EXPECT_EQ(plan.count(), 1);
  EXPECT_NEAR(100 * (1 - plan.utilisation({1200, 2000})), 18.53, 0.005);
  const Part nine[] = {{520, 470, 9}};
  EXPECT_EQ(plan_sheets(nine, {1200, 2000}, 3).count(), 2);
}

TEST(SheetPlan, PartsThatFitExactly) {
  const Part four[] = {{999.75, 599.75, 4}};
  EXPECT_EQ(plan_sheets(four, {1200, 2000}, 0.5).count(), 1);
  const Part larger[] = {{2001, 100, 1}, {100, 100, 1}};
  const SheetPlan plan = plan_sheets(larger, {1200, 2000}, 0.5);
  ASSERT_EQ(plan.too_large.size(), 1U);
  EXPECT_EQ(plan.too_large[0], 0U);
  EXPECT_EQ(plan.count(), 1);
}

TEST(SheetPlan, VeryManyAreLaidOutKindByKind) {
  const Part many[] = {{520, 470, 100000}, {300, 200, 7}};
  const SheetPlan plan = plan_sheets(many, {1200, 2000}, 3);
  EXPECT_EQ(plan.count(), 100000 / 8 + 1);
  EXPECT_LE(plan.sheets.size(), 3U);
}

bool apart(const Placed& a, const Placed& b, double kerf) {
  const double gap = kerf - 1e-6;
  return a.x + a.wide + gap <= b.x || b.x + b.wide + gap <= a.x || a.y + a.high + gap <= b.y ||
         b.y + b.high + gap <= a.y;
}

// Whether parts can be cut out by straight cuts right through, one after the other.
bool guillotine(std::vector<Placed> parts) {
  if (parts.size() < 2) return true;
  for (const bool upright : {true, false}) {
    const auto low = [&](const Placed& p) { return upright ? p.x : p.y; };
    const auto high = [&](const Placed& p) { return upright ? p.x + p.wide : p.y + p.high; };
    for (const Placed& c : parts) {
      std::vector<Placed> before, after;
      bool clean = true;
      for (const Placed& p : parts) {
        if (high(p) <= high(c) + 1e-6)
          before.push_back(p);
        else if (low(p) >= high(c) - 1e-6)
          after.push_back(p);
        else
          clean = false;
      }
      if (clean && !after.empty()) return guillotine(before) && guillotine(after);
    }
  }
  return false;
}

TEST(SheetPlan, RandomSetsAreCutWholeAndApart) {
  double used = 0, sheets_area = 0;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    test::Random r(seed);
    const Sheet sheet{r.between(900, 1500), r.between(1800, 2200)};
    const double kerf = r.chance(0.3) ? 0 : r.between(0.2, 4);
    std::vector<Part> parts;
    for (int n = 1 + r.below(6); n > 0; --n) parts.push_back({r.between(60, 800), r.between(60, 800), 1 + r.below(6)});
    const SheetPlan plan = plan_sheets(parts, sheet, kerf);
    EXPECT_TRUE(plan.too_large.empty());
    std::vector<int> placed(parts.size());
    double area = 0, alone = 0;
    for (const CutSheet& s : plan.sheets) {
      EXPECT_TRUE(guillotine(s.parts));
      for (std::size_t i = 0; i < s.parts.size(); ++i) {
        const Placed& p = s.parts[i];
        placed[p.part] += s.times;
        area += p.wide * p.high * s.times;
        EXPECT_GE(p.x, 0);
        EXPECT_LE(p.x + p.wide, sheet.length + 1e-6);
        EXPECT_LE(p.y + p.high, sheet.width + 1e-6);
        const Part& part = parts[p.part];
        EXPECT_TRUE((p.wide == part.width && p.high == part.depth) || (p.wide == part.depth && p.high == part.width));
        for (std::size_t k = 0; k < i; ++k) EXPECT_TRUE(apart(p, s.parts[k], kerf));
      }
      for (const Offcut& o : s.offcuts)
        for (const Placed& p : s.parts) EXPECT_TRUE(apart({0, o.x, o.y, o.wide, o.high}, p, 0));
    }
    for (std::size_t i = 0; i < parts.size(); ++i) {
      EXPECT_EQ(placed[i], parts[i].count);
      alone += std::ceil(static_cast<double>(parts[i].count) /
                         grid_count(sheet, parts[i].width, parts[i].depth, kerf).best());
    }
    EXPECT_NEAR(area, plan.used_mm2, 1e-6 * area);
    EXPECT_GE(plan.count(), std::ceil(area / (sheet.width * sheet.length) - 1e-9));  // no layout does better
    EXPECT_LE(plan.count(), alone);
    used += area;
    sheets_area += plan.count() * sheet.width * sheet.length;
  }
  std::printf("sheets of random sets are used to %.1f %%\n", 100 * used / sheets_area);
}

}  // namespace
}  // namespace kerfkiln::stock
