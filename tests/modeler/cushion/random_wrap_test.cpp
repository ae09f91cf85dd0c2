// Flat patterns of random cushions with creases and pockets under topper, batting and barrier: outlines are simple,
// areas positive, edges that are joined equally long, and what cannot be drawn is said.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "modeler/cushion/build.hpp"
#include "modeler/plane/region.hpp"
#include "tests/support/random_cut.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr int kDesigns = 300;

double value(const product::Product& p, const std::string& key) {
  const product::Figure* f = p.figure(key);
  return f ? f->value : std::nan("");
}

// Cut lines of a part that close: its outline and its holes.
plane::Outline outline_of(const product::FlatPart& part) {
  plane::Outline o;
  for (const product::Stroke& s : part.sketch.strokes) {
    if (s.role != product::LineRole::cut || !s.closed) continue;
    (o.outer.empty() ? o.outer : o.holes.emplace_back()) = s.path;
  }
  return o;
}

TEST(RandomWrap, PatternsAreSimpleAndTheirSeamsEqual) {
  int plain = 0, plain_drawn = 0, topped = 0, drawn = 0, refused = 0, pieces = 0, told = 0;
  double worst_level = 0, worst_risen = 0;
  for (std::uint64_t seed = 1; seed <= kDesigns; ++seed) {
    test::Random r(seed * 7919);
    Spec s = seed % 2 == 0 ? test::random_cut_cushion(seed) : test::random_cushion(seed);
    s.topper_foam = "soft";
    s.topper_thickness = 5 + r.below(21);
    s.batting = r.chance(0.5) ? "standard" : "";
    s.barrier = r.chance(0.5) ? "woven" : "";
    if (r.chance(0.3)) s.topper_down_to = {"edge", {}};
    const product::Product p = build(s, material::completed({}));
    if (has_errors(p.findings)) {
      ++refused;
      continue;
    }
    ++topped;
    plain += s.creases.empty() ? 1 : 0;
    const auto has = [&](const std::string& code) {
      return std::any_of(p.findings.begin(), p.findings.end(), [&](const Finding& f) { return f.code == code; });
    };
    const bool risen = value(p, "topper.strain") >= 0;
    if (p.figure("topper.area") == nullptr) {
      ++told;
      EXPECT_TRUE(has("topper.flat") || has("wrap.pieces")) << "seed " << seed;
    } else {
      ++drawn;
      plain_drawn += s.creases.empty() ? 1 : 0;
      EXPECT_GT(value(p, "topper.area"), 0);
      const double mismatch = value(p, "topper.seam_mismatch");
      (risen ? worst_risen : worst_level) = std::max(risen ? worst_risen : worst_level, mismatch);
      if (mismatch > (risen ? 5 : 0.3)) ADD_FAILURE() << "seed " << seed << " mismatch " << mismatch;
    }
    double area = 0;
    for (const product::FlatPart& part : p.parts) {
      if (part.id.rfind("topper", 0) != 0 && part.id.rfind("batting", 0) != 0) continue;
      const plane::Outline o = outline_of(part);
      ++pieces;
      for (const Finding& f : plane::check_outline(o))
        if (f.code != "outline.short") ADD_FAILURE() << "seed " << seed << " " << part.id << ": " << f.message;
      EXPECT_GT(plane::area(o), 0) << "seed " << seed << " " << part.id;
      if (part.id.rfind("topper", 0) == 0) area += plane::area(o) * part.count / s.count;
    }
    if (p.figure("topper.area") != nullptr) {
      EXPECT_NEAR(area * 1e-6, value(p, "topper.area"), 1e-6 + 1e-6 * value(p, "topper.area")) << "seed " << seed;
    }
    for (const product::Figure& f : p.figures) {
      if (f.key.rfind("barrier.seam.", 0) == 0) {
        EXPECT_GT(f.value, 0);
      }
    }
  }
  std::printf("%d of %d designs topped, %d refused; %d with patterns, %d told why not; %d parts\n", topped, kDesigns,
              refused, drawn, told, pieces);
  std::printf("edges that meet differ by at most %.4f mm on level tops, %.4f mm on rising ones\n", worst_level,
              worst_risen);
  EXPECT_GT(topped, kDesigns / 2);
  EXPECT_EQ(plain_drawn, plain) << "without creases";
  // Creases are drawn with abandon, close to edges and to each other.
  EXPECT_GE(drawn, topped * 99 / 100);
}

}  // namespace
}  // namespace kerfkiln::cushion
