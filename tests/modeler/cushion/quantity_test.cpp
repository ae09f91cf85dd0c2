// Glue, mass and cost of what is laid on and under the core: closed forms by hand.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/cushion/edge/curves.hpp"
#include "modeler/cushion/face_range.hpp"
#include "modeler/plane/outline.hpp"
#include "tests/modeler/cushion/sample.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kWidth = 500, kDepth = 400, kHeight = 100;

material::Library materials() {
  material::Library own;
  material::Foam foam;
  foam.density = 40;
  foam.price = 300;
  own.foams = {{"f40", foam}};
  material::Board board;
  board.density = 640;
  board.price = 25;
  own.boards = {{"birch", board}};
  material::Barrier cloth;
  cloth.thickness = 0.5;
  cloth.mass_per_area = 0.2;
  own.barriers = {{"cloth", cloth}};
  return material::completed(own);
}
Spec block() {
  Spec s = sample::block(kWidth, kDepth, 0, {{"f40", 60}, {"f40", 40}});
  s.given_at = "core";
  return s;
}
product::Product made(const Spec& s) {
  product::Product p = build(s, materials());
  EXPECT_FALSE(has_errors(p.findings));
  return p;
}
bool comes_from(const product::Product& p, const std::string& key, const std::string& source) {
  const product::Figure* f = p.figure(key);
  return f != nullptr && std::find(f->from.begin(), f->from.end(), source) != f->from.end();
}

// Over a square edge the middle of a topper of thickness t turns on a quarter circle of t/2 and runs down the height:
// every flap is pi t/4 + H long. Two flaps meet where each has grown by n = t/2 sin(s / (t/2)): the ends of both add
// 2 x integral of n ds = 2 (t/2)^2 + t H a corner. The notch is sqrt(1 + cos^2) integrated over the turn, sqrt 2 E(1/2)
// with the complete elliptic integral E(1/2) = 1.3506438810 (Abramowitz and Stegun, table 17.1), and H.
TEST(Quantities, GlueOfATopperIsItsFlatAreaAndItsNotches) {
  const double t = 20, r = t / 2;
  Spec s = block();
  s.topper_foam = "f40";
  s.topper_thickness = t;
  const product::Product p = made(s), bare = made(block());
  const double area = kWidth * kDepth + 2 * (kWidth + kDepth) * (kPi * t / 4 + kHeight) + 4 * (2 * r * r + t * kHeight);
  EXPECT_NEAR(sample::value(p, "topper.area") * 1e6, area, 1e-5 * area);
  const double notch = r * std::numbers::sqrt2 * 1.3506438810 + kHeight;
  EXPECT_NEAR(sample::value(p, "glue.area") * 1e6, kWidth * kDepth + area + 4 * notch * t, 1e-5 * area);
  EXPECT_NEAR(sample::value(bare, "glue.area") * 1e6, kWidth * kDepth, 1e-6);
  EXPECT_TRUE(comes_from(p, "glue.area", "topper.area"));
  const double more = sample::value(p, "glue.area") - sample::value(bare, "glue.area");
  EXPECT_NEAR(sample::value(p, "total.mass") - sample::value(bare, "total.mass"),
              sample::value(p, "topper.mass") + more * 0.080 * 2, 1e-12);
}

// Panels: the outline grown by half the cloth and then by the allowance, whose corners stay round (Steiner); the strip
// is as long as the seam and as high as the bag, with an allowance on every side.
TEST(Quantities, ABarrierHasMass) {
  Spec s = block();
  s.barrier = "cloth";
  const product::Product p = made(s), bare = made(block());
  const double out = 0.25, cut = out + 10, perimeter = 2 * (kWidth + kDepth);
  const double panel = kWidth * kDepth + perimeter * cut + kPi * cut * cut;
  const double strip = (perimeter + 2 * kPi * out + 20) * (kHeight + 2 * out + 20);
  EXPECT_NEAR(sample::value(p, "barrier.mass"), (2 * panel + strip) * 1e-6 * 0.2, 1e-9);
  EXPECT_TRUE(comes_from(p, "total.mass", "barrier.mass"));
  EXPECT_NEAR(sample::value(p, "total.mass") - sample::value(bare, "total.mass"), sample::value(p, "barrier.mass"),
              1e-12);
}

TEST(Quantities, ABoardHasMassPriceAndGlue) {
  Spec s = block();
  s.board.material = "birch";
  s.board.thickness = 9;
  s.board.inset = 5;
  s.board.holes = {{100, 100, 20, ""}, {400, 300, 30, "M8 nut"}};
  const product::Product p = made(s), bare = made(block());
  const double rectangle = (kWidth - 10) * (kDepth - 10), area = rectangle - kPi * (10 * 10 + 15 * 15);
  EXPECT_NEAR(sample::value(p, "board.area") * 1e6, area, 1e-6);
  EXPECT_NEAR(sample::value(p, "board.mass"), area * 9e-9 * 640, 1e-12);
  EXPECT_NEAR(sample::value(p, "glue.area") * 1e6, kWidth * kDepth + area, 1e-5);
  EXPECT_NEAR(sample::value(p, "total.mass") - sample::value(bare, "total.mass"),
              area * 9e-9 * 640 + area * 1e-6 * 0.080 * 2, 1e-11);
  EXPECT_NEAR(sample::value(p, "total.cost") - sample::value(bare, "total.cost"), rectangle * 1e-6 * 25, 1e-9);
  for (const char* source : {"board.mass", "glue.area"}) EXPECT_TRUE(comes_from(p, "total.mass", source)) << source;
  EXPECT_TRUE(comes_from(p, "total.cost", "materials/boards/birch/price"));
  // The design's own density counts before that of the material, and a board without a price is named, not guessed.
  s.board.density = 700;
  s.board.material = "ply";
  const product::Product q = made(s);
  EXPECT_NEAR(sample::value(q, "board.mass"), area * 9e-9 * 700, 1e-12);
  EXPECT_NEAR(sample::value(q, "total.cost"), sample::value(bare, "total.cost"), 1e-12);
  EXPECT_NE(q.figure("total.cost")->how.find("boards (one has no price)"), std::string::npos);
  // Over a pocket and a rounded edge nothing is glued.
  s.bottom.sides["other"] = sample::edge("round", {Length(15)});
  s.pockets = {sample::pocket("bottom", 100, 80, 0, {250, 200}, 30)};
  EXPECT_NEAR(sample::value(made(s), "glue.area") * 1e6,
              kWidth * kDepth + (kWidth - 30) * (kDepth - 30) - kPi * (10 * 10 + 15 * 15) - 100 * 80, 1e-4);
}

// A paraboloid-like ridge of a contour: the top over a part is highest where the height curve is, which no fixed grid
// need hit; and over a round edge the lowest place is the part's corner, r - sqrt(r^2 - (r - d)^2) down.
TEST(Quantities, TheRangeOfAFaceIsBounded) {
  EdgeProfiles round;
  round.other = quarter_ellipse(60, 60);
  round.by_side.assign(4, round.other);
  plane::Outline o = plane::rectangle(kWidth, kDepth, 0);
  round.by_side.assign(o.sides.size(), round.other);
  const Result<Form> form = Form::make(o, kHeight, round, {});
  ASSERT_TRUE(form);
  plane::Outline part;
  part.outer = {{{40, 50}, 0, -1}, {{300, 50}, 0, -1}, {{300, 200}, 0, -1}, {{40, 200}, 0, -1}};
  const FaceRange r = top_range(*form, part, 0.001);
  EXPECT_NEAR(r.high, kHeight, 1e-12);
  EXPECT_NEAR(r.low, kHeight - (60 - std::sqrt(60 * 60 - 20 * 20)), 1e-9);
  EXPECT_LE(r.gap_mm, 0.001);

  const std::vector<HeightPoint> points{{0, 0}, {190.37, 7.3}, {380, 0}};
  const Result<Form> risen = Form::make(o, kHeight, {}, {}, Rise::along_depth(HeightCurve(points, 0, kDepth)));
  ASSERT_TRUE(risen);
  const FaceRange top = top_range(*risen, part, 0.001);
  EXPECT_NEAR(top.high, kHeight + 7.3, 0.001);
  EXPECT_LE(top.gap_mm, 0.001);
}

}  // namespace
}  // namespace kerfkiln::cushion
