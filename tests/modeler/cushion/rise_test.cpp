// Crowns against Prandtl's membrane in closed form, contours against their definition, volumes of risen forms against
// closed forms and against sums over a fine grid.
#include "modeler/cushion/rise.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "modeler/cushion/level.hpp"
#include "modeler/cushion/membrane.hpp"
#include "modeler/cushion/relief.hpp"
#include "modeler/cushion/volume.hpp"
#include "modeler/plane/fit.hpp"
#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"
#include "tests/modeler/cushion/form_samples.hpp"

namespace kerfkiln::cushion::test {
namespace {

constexpr double kPi = std::numbers::pi;

plane::Loop turned(plane::Loop loop, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  for (plane::Vertex& v : loop) v.at = {c * v.at.x - s * v.at.y, s * v.at.x + c * v.at.y};
  return loop;
}

plane::Loop ellipse(double a, double b) {
  plane::Loop loop = plane::fitted(
      [=](double t) {
        return plane::CurvePoint{{a * std::cos(t), b * std::sin(t)}, {-a * std::sin(t), b * std::cos(t)}};
      },
      0, 2 * kPi, 1e-4);
  loop.pop_back();
  return loop;
}

// J of a rectangle a x b, a >= b, by the series of Timoshenko and Goodier, Theory of Elasticity, chapter on torsion.
double torsion_constant(double a, double b) {
  double sum = 0;
  for (int k = 1; k < 400; k += 2) sum += std::tanh(k * kPi * a / (2 * b)) / std::pow(k, 5);
  return a * b * b * b / 3 * (1 - 192 * b / (std::pow(kPi, 5) * a) * sum);
}

TEST(Membrane, CircleInClosedForm) {
  // u = (R^2 - r^2) / 4: a polynomial that the splines hold exactly.
  const double r = 100;
  const auto m = Membrane::over(circle({0, 0}, r));
  EXPECT_NEAR(m->peak_mm2(), r * r / 4, 1e-6);
  EXPECT_NEAR(m->content_mm4() / (kPi * r * r * r * r / 8), 1, 1e-9);
  for (int i = 0; i < 40; ++i)
    for (int j = 0; j <= 20; ++j) {
      const double d = r * j / 20, angle = 2 * kPi * i / 40;
      EXPECT_NEAR(m->value({d * std::cos(angle), d * std::sin(angle)}), 1 - d * d / (r * r), 1e-7);
    }
}

TEST(Membrane, EllipseInClosedForm) {
  // Phi = (1 - x^2/a^2 - y^2/b^2), J = pi a^3 b^3 / (a^2 + b^2) (Timoshenko and Goodier, torsion of the elliptic bar).
  const double a = 280, b = 170;
  const auto m = Membrane::over(ellipse(a, b));
  EXPECT_NEAR(4 * m->content_mm4() / (kPi * a * a * a * b * b * b / (a * a + b * b)), 1, 1e-5);
  for (int i = 0; i < 40; ++i)
    for (int j = 0; j <= 20; ++j) {
      const double s = j / 20.0, t = 2 * kPi * i / 40;
      EXPECT_NEAR(m->value({s * a * std::cos(t), s * b * std::sin(t)}), 1 - s * s, 2e-5);
    }
}

TEST(Membrane, RectanglesAgreeWithTheTorsionTable) {
  // J = k a b^3, a the longer side: k as tabled by Timoshenko and Goodier (from memory), to their three digits.
  const struct {
    double ratio, k;
  } table[] = {{1, 0.1406}, {1.2, 0.166}, {1.5, 0.196}, {2, 0.229}, {2.5, 0.249},
               {3, 0.263},  {4, 0.281},   {5, 0.291},   {10, 0.312}};
  for (const auto& row : table) {
    const double b = 213, a = row.ratio * b;
    const auto m = Membrane::over(plane::rectangle(a, b, 0).outer);
    EXPECT_NEAR(4 * m->content_mm4() / (a * b * b * b), row.k, row.ratio == 1 ? 6e-5 : 6e-4) << row.ratio;
    EXPECT_NEAR(4 * m->content_mm4() / torsion_constant(a, b), 1, 2e-5) << row.ratio;
  }
}

TEST(Membrane, ErrorFallsWithAtLeastTheThirdPowerOfTheCell) {
  // A tilted rectangle, so that the outline cuts cells. Splines of degree 3 reach order 4; the sharp corners take some.
  const double a = 400, b = 260, exact = torsion_constant(a, b);
  const plane::Loop loop = turned(plane::rectangle(a, b, 0).outer, 0.3);
  const auto error = [&](double cells) { return std::abs(4 * Membrane::over(loop, cells)->content_mm4() / exact - 1); };
  const double coarse = error(5), fine = error(10);
  EXPECT_LT(fine, coarse / 8);
  EXPECT_LT(fine, 2e-5);
}

TEST(Membrane, LongStripIsAParabolaOfTheReferencesLength) {
  // Reference G04: a crown of 15 mm on a chord of 500 mm is 501.199 long as an arc; the parabola differs by 0.003.
  const auto m = Membrane::over(plane::rectangle(500, 4000, 0).outer);
  double length = 0;
  Vec2 last{0, 0};
  for (int i = 0; i <= 2000; ++i) {
    const double x = 500.0 * i / 2000;
    const Vec2 p{x, 15 * m->value({x, 2000})};
    if (i > 0) length += norm(p - last);
    last = p;
  }
  EXPECT_NEAR(length, 501.199, 0.006);
}

TEST(Membrane, SeatOutlineComesWithinTheStatedError) {
  const plane::Outline seat = plane::rectangle(560, 540, 45);
  const auto m = Membrane::over(seat.outer), fine = Membrane::over(seat.outer, 28);
  for (int i = 0; i <= 56; ++i)
    for (int j = 0; j <= 54; ++j) {
      const Vec2 p{10.0 * i, 10.0 * j};
      if (plane::contains(seat, p)) {
        EXPECT_NEAR(m->value(p), fine->value(p), 3e-4);
      }
    }
  for (const Vec2 p : plane::flattened(seat.outer, 0.01)) EXPECT_NEAR(m->value(p), 0, 4e-4);
  EXPECT_NEAR(m->value(m->top()), 1, 1e-12);
  EXPECT_EQ(m, Membrane::over(seat.outer));
}

TEST(HeightCurve, WedgeIsStraightEndsInsideLevelOff) {
  const HeightPoint wedge[] = {{0, 0}, {540, 30}};
  const HeightCurve w(wedge, 0, 540);
  for (double y : {0.0, 100.0, 333.0, 540.0}) EXPECT_NEAR(w.value(y), y / 18, 1e-12);
  const HeightPoint ramp[] = {{100, 0}, {300, 20}};
  const HeightCurve r(ramp, 0, 540);
  EXPECT_EQ(r.at(100).slope, 0);
  EXPECT_EQ(r.at(300).slope, 0);
  EXPECT_NEAR(r.value(200), 10, 1e-12);
  EXPECT_EQ(r.value(50), 0);
  EXPECT_EQ(r.value(500), 20);
  double last = -1;
  for (double y = 90; y <= 310; y += 1) {
    EXPECT_GE(r.value(y), last);
    last = r.value(y);
  }
}

// Many at once are the same as one by one, within cells and over their borders, beyond the grid too.
TEST(Rise, ManyValuesAtOnceAreTheSame) {
  const HeightPoint depth[] = {{0, 0}, {200, 8}, {400, -3}}, width[] = {{0, 20}, {30, 20}, {90, 0}};
  const Rise rise = Rise::crown(Membrane::over(plane::rectangle(560, 540, 45).outer), 12) +
                    Rise::along_depth(HeightCurve(depth, 0, 540)) + Rise::across_width(HeightCurve(width, 0, 560));
  const std::vector<double> x{-5, 3, 3.5, 200, 201, 559.9}, y{0, 90, 91, 300, 545};
  std::vector<double> all(x.size() * y.size());
  rise.values(x, y, all);
  for (std::size_t i = 0; i < x.size(); ++i)
    for (std::size_t j = 0; j < y.size(); ++j) EXPECT_EQ(all[i * y.size() + j], rise.value({x[i], y[j]}));
  Rise().values(x, y, all);
  for (const double v : all) EXPECT_EQ(v, 0);
}

TEST(Rise, DerivativesAndBoundsAgreeWithDifferences) {
  const plane::Outline o = plane::rectangle(560, 540, 45);
  const HeightPoint depth[] = {{0, 0}, {200, 8}, {400, -3}}, width[] = {{0, 20}, {30, 20}, {90, 0}};
  const Rise rise = Rise::crown(Membrane::over(o.outer), 12) + Rise::along_depth(HeightCurve(depth, 0, 540)) +
                    Rise::across_width(HeightCurve(width, 0, 560));
  Dice dice(7);
  const double h = 1e-3;
  for (int i = 0; i < 500; ++i) {
    const Vec2 p{dice.between(10, 550), dice.between(10, 530)};
    const RiseAt a = rise.at(p);
    EXPECT_NEAR(a.value, rise.value(p), 1e-12);
    EXPECT_NEAR(a.slope.x, (rise.value(p + Vec2{h, 0}) - rise.value(p - Vec2{h, 0})) / (2 * h), 1e-5);
    EXPECT_NEAR(a.slope.y, (rise.value(p + Vec2{0, h}) - rise.value(p - Vec2{0, h})) / (2 * h), 1e-5);
    EXPECT_NEAR(a.xy, (rise.at(p + Vec2{0, h}).slope.x - rise.at(p - Vec2{0, h}).slope.x) / (2 * h), 1e-6);
    const double s = dice.between(1, std::min({60.0, 559 - p.x, 539 - p.y}));
    const Rise::Bounds b = rise.bounds({p, p + Vec2{s, s}});
    for (int k = 0; k < 10; ++k) {
      const Vec2 q = p + Vec2{dice.between(0, s), dice.between(0, s)};
      const RiseAt c = rise.at(q);
      EXPECT_LE(c.value, b.high + 1e-9);
      EXPECT_GE(c.value, b.low - 1e-9);
      EXPECT_LE(std::abs(c.xx), b.xx + 1e-12);
      EXPECT_LE(std::abs(c.xy), b.xy + 1e-12);
      EXPECT_LE(std::abs(c.yy), b.yy + 1e-12);
      const double angle = dice.between(0, 7);
      const Vec2 e{std::cos(angle), std::sin(angle)}, f = left(e);
      const auto second = [&](Vec2 u, Vec2 v) {
        return c.xx * u.x * v.x + c.xy * (u.x * v.y + u.y * v.x) + c.yy * u.y * v.y;
      };
      const Rise::Bounds t = b.turned(e);
      EXPECT_LE(std::abs(second(e, e)), t.xx + 1e-12);
      EXPECT_LE(std::abs(second(e, f)), t.xy + 1e-12);
      EXPECT_LE(std::abs(second(f, f)), t.yy + 1e-12);
    }
    // Triangles with their corners on the face stay within what the bounds say.
    const auto within = [&] { return p + Vec2{dice.between(0, s), dice.between(0, s)}; };
    for (int k = 0; k < 10; ++k) {
      const Vec2 v[3] = {within(), within(), within()};
      const double dx = std::max({v[0].x, v[1].x, v[2].x}) - std::min({v[0].x, v[1].x, v[2].x});
      const double dy = std::max({v[0].y, v[1].y, v[2].y}) - std::min({v[0].y, v[1].y, v[2].y});
      const double u = dice.between(0, 1), w = dice.between(0, 1 - u);
      const double flat = u * rise.value(v[0]) + w * rise.value(v[1]) + (1 - u - w) * rise.value(v[2]);
      EXPECT_LE(std::abs(rise.value(u * v[0] + w * v[1] + (1 - u - w) * v[2]) - flat), b.off(dx, dy) + 1e-12);
    }
  }
}

Form seat(Rise on_top, Rise on_bottom = {}) {
  const double h = 120;
  EdgeProfiles top, bottom;
  top.by_side = {edge("ellipse", {60, 40}, h), edge("round", {20}, h), edge("round", {20}, h), edge("round", {20}, h)};
  bottom.by_side = std::vector<EdgeProfile>(4, edge("chamfer", {6, 8}, h));
  Result<Form> f = Form::make(plane::rectangle(560, 540, 45), h, top, bottom, std::move(on_top), std::move(on_bottom));
  EXPECT_TRUE(f) << f.findings().at(0).message;
  return *f;
}

TEST(RisenVolume, WedgeIsAPrism) {
  const HeightPoint wedge[] = {{0, 0}, {540, 30}};
  const Result<Form> f =
      Form::make(plane::rectangle(560, 540, 0), 100, {}, {}, Rise::along_depth(HeightCurve(wedge, 0, 540)));
  ASSERT_TRUE(f);
  const double levels[] = {0, 60, 110, 100};
  const Volumes v = volumes(*f, std::vector<double>{levels[0], levels[1], levels[3]});
  EXPECT_NEAR(v.core / (560.0 * 540 * 115), 1, 1e-14);
  EXPECT_NEAR(v.layers[0] / (560.0 * 540 * 60), 1, 1e-14);
  // Centre of a trapezium: depth (h0 + 2 h1) / 3 (h0 + h1), height (h0^2 + h0 h1 + h1^2) / 3 (h0 + h1).
  EXPECT_NEAR(v.centroid.y, 540 * (100 + 2 * 130.0) / (3 * 230.0), 1e-9);
  EXPECT_NEAR(v.centroid.z, (100 * 100 + 100 * 130 + 130 * 130) / (3 * 230.0), 1e-9);
}

TEST(RisenVolume, CrownAddsTheMembranesContent) {
  // Square edges: the crown's own volume is height x content / peak, the content by the torsion series.
  const double a = 500, b = 450, h = 25;
  const plane::Outline o = plane::rectangle(a, b, 0);
  const auto m = Membrane::over(o.outer);
  const Result<Form> f = Form::make(o, 100, {}, {}, Rise::crown(m, h));
  ASSERT_TRUE(f);
  const Volumes v = volumes(*f, std::vector<double>{0, 100});
  EXPECT_NEAR(v.core, a * b * 100 + h * torsion_constant(a, b) / 4 / m->peak_mm2(), 1e-5 * v.core);
}

TEST(RisenVolume, LayersFillTheCoreAndAgreeWithAGrid) {
  const plane::Outline o = plane::rectangle(560, 540, 45);
  const HeightPoint dip[] = {{0, 0}, {200, 8}, {400, -45}};
  const auto m = Membrane::over(o.outer);
  const Form f = seat(Rise::crown(m, 12) + Rise::along_depth(HeightCurve(dip, 0, 540)), Rise::crown(m, 7));
  const std::vector<double> levels{0, 50, 90, 120};
  const Volumes v = volumes(f, levels, {.relative_error = 1e-6});
  EXPECT_LT(v.error, 1e-6 * v.core);
  EXPECT_NEAR(v.layers[0] + v.layers[1] + v.layers[2], v.core, 1e-12 * v.core);
  const Volumes fine = volumes(f, levels, {.relative_error = 1e-8});
  EXPECT_NEAR(v.core, fine.core, v.error + fine.error);
  for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(v.layers[i], fine.layers[i], v.error + fine.error);
  constexpr int kCells = 700;
  const double dx = 560.0 / kCells, dy = 540.0 / kCells, cell = dx * dy;
  double sum[3] = {};
  for (int i = 0; i < kCells; ++i)
    for (int j = 0; j < kCells; ++j) {
      const Vec2 p{(i + 0.5) * dx, (j + 0.5) * dy};
      if (!plane::contains(o, p)) continue;
      const double low = f.z_bottom(p), high = f.z_top(p), from[] = {-1e9, 50, 90}, to[] = {50, 90, 1e9};
      for (int k = 0; k < 3; ++k) sum[k] += cell * std::max(0.0, std::min(high, to[k]) - std::max(low, from[k]));
    }
  for (std::size_t k = 0; k < 3; ++k) EXPECT_NEAR(sum[k] / v.layers[k], 1, 1e-4) << k;
}

TEST(RisenLevel, OutlineOfAGlueLineLiesOnTheFormAndHasItsArea) {
  const plane::Outline o = plane::rectangle(560, 540, 45);
  const Form f = seat(Rise::crown(Membrane::over(o.outer), 12));
  const double z = 90;
  const Result<std::vector<plane::Outline>> level = risen_outlines(f, z);
  ASSERT_TRUE(level);
  ASSERT_EQ(level->size(), 1u);
  const plane::Loop& loop = level->front().outer;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const plane::Segment s = plane::segment(loop, i);
    for (double t : {0.0, 0.25, 0.5}) {
      const Vec2 p = s.point(t), n = s.inward(t);
      const bool side = plane::nearest(o, p).distance < 0.01;
      if (side) continue;
      // Where the line leaves the outline it turns within one chord of the mesh: half a pen's width there.
      const double off = p.y < 20 && (p.x < 20 || p.x > 540) ? 0.25 : 0.05;
      if (plane::contains(o, p - off * n)) {
        EXPECT_LT(f.z_top(p - off * n), z + 1e-3) << p.x << " " << p.y;
      }
      EXPECT_GT(f.z_top(p + 0.05 * n), z - 1e-3) << p.x << " " << p.y;
    }
  }
  const Area area = section_area(f, z, {.relative_error = 1e-6});
  EXPECT_NEAR(plane::area(level->front()) / area.value, 1, 2e-5);
}

// Where the curve shrinks to nothing a coarse polygon leads nowhere; the outlines stay simple and CGAL takes them.
TEST(RisenLevel, OutlinesJustBelowACrestAreSimple) {
  const plane::Outline given = plane::rectangle(590, 570, 60);
  const plane::Outline plan = plane::offset(given, -15)->at(0);
  const EdgeProfile round = *edge_profile("round", std::vector<double>{20}, 120);
  const auto membrane = Membrane::over(given.outer);
  for (int i = 1; i <= 40; ++i) {
    const double crown = 10 + 0.01 * i;
    SCOPED_TRACE(crown);
    const Form f =
        *Form::make(plan, 120, {std::vector<EdgeProfile>(4, round), round}, {}, Rise::crown(membrane, crown));
    const Result<std::vector<plane::Outline>> level = risen_outlines(f, 130);
    ASSERT_TRUE(level);
    for (const plane::Outline& o : *level)
      for (const Finding& found : plane::check_outline(o)) EXPECT_EQ(found.code, "outline.short") << found.message;
  }
}

TEST(RisenForm, ThicknessEatenByAContourIsAFinding) {
  const HeightPoint dip[] = {{0, 0}, {270, -130}, {540, 0}};
  const Result<Form> f = Form::make(plane::rectangle(560, 540, 45), 120, all(edge("round", {20})), {},
                                    Rise::along_depth(HeightCurve(dip, 0, 540)));
  ASSERT_FALSE(f);
  EXPECT_EQ(f.findings()[0].code, "form.thickness");
  EXPECT_NE(f.findings()[0].message.find("stands 30.00 mm above"), std::string::npos) << f.findings()[0].message;
}

}  // namespace
}  // namespace kerfkiln::cushion::test
