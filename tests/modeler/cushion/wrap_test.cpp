// Flat patterns of topper and batting, and the barrier bag. Oracles: closed forms by hand (cited beside each check),
// the reference's check value C04, Steiner's formula, and the equality of edges that are joined.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "modeler/cushion/crease_allowance.hpp"
#include "modeler/cushion/edge/curves.hpp"
#include "modeler/cushion/wrapping.hpp"
#include "modeler/plane/region.hpp"
#include "modeler/product/lengths.hpp"
#include "tests/modeler/cushion/sample.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kPi = std::numbers::pi;

std::string printed(const Findings& findings) {
  std::string out;
  for (const Finding& f : findings) out += f.code + " [" + f.path + "] " + f.message + "\n";
  return out;
}

bool uncrossed(const plane::Outline& o) {
  for (const Finding& f : plane::check_outline(o))
    if (f.code != "outline.short") return false;
  return true;
}

// A block of the given edges under a topper alone.
struct Case {
  Form form;
  std::shared_ptr<const Rims> rims;
  FlatPattern pattern;
};
Case wrapped_block(plane::Outline o, double height, const EdgeProfile& top, double t, const Cuts& cuts = {}) {
  EdgeProfiles tops, bottoms;
  tops.by_side.assign(o.sides.size(), top);
  tops.other = top;
  bottoms.by_side.assign(o.sides.size(), {});
  Result<Form> form = Form::make(std::move(o), height, tops, bottoms);
  EXPECT_TRUE(form);
  const auto rims = std::make_shared<const Rims>(*form, WrapLayer{t, t / 2, {}, true, kFoldedTopper * t});
  Result<WrapPlan> plan = wrap_pieces(*form, cuts, rims);
  EXPECT_TRUE(plan);
  EXPECT_EQ(plan->pieces.size(), 1u);
  PatternRequest request;
  request.thickness_mm = t;
  FlatPattern pattern = flat_pattern(plan->pieces.at(0), request);
  return {std::move(*form), rims, std::move(pattern)};
}

TEST(Wrap, SectionsAreExactForEveryProfile) {
  // Steiner: the core's length and a quarter turn at half the thickness, G09: 43.197 for r 15, t 25.
  const WrapSection round = edge_section(quarter_ellipse(15, 15), {}, 0, 12.5, 100);
  EXPECT_NEAR(round.fold_end_s, 43.197, 1e-3);
  EXPECT_NEAR(round.fold_end_s, kPi / 2 * 27.5, 1e-12);
  EXPECT_NEAR(round.length(), kPi / 2 * 27.5 + 85, 1e-12);
  EXPECT_NEAR(round.n_end(), 12.5, 1e-9);
  EXPECT_NEAR(round.z_end(), 12.5 + 100, 1e-6);
  // G10: front wrap 400 + topper over r 40 by 25 + 60 down = 542.47.
  const WrapSection front = edge_section(quarter_ellipse(40, 40), {}, 0, 12.5, 100);
  EXPECT_NEAR(400 + front.length(), 542.47, 0.01);
  // A square edge: a quarter circle of half the thickness about the corner, at every place along it.
  const WrapSection square = edge_section({}, {}, 0, 10, 60);
  EXPECT_NEAR(square.length(), 5 * kPi + 60, 1e-12);
  for (const WrapSection::Point& p : square.points)
    if (p.s <= square.fold_end_s) {
      EXPECT_NEAR(p.n, 10 * std::sin(p.s / 10), 1e-9);
      EXPECT_NEAR(p.z, 10 - 10 * std::cos(p.s / 10), 1e-9);
    }
  // Chamfer: its line and two corners of 45 degrees.
  EXPECT_NEAR(edge_section(straight(20, 20), {}, 0, 8, 20).length(), std::sqrt(800.0) + 4 * kPi, 1e-9);
}

TEST(Wrap, C04FoldIntoACrease) {
  // 10 x 25 finished, topper 20 at 0.4: extra 58, half of it on each wall.
  const CoreSlot slot = core_slot(10, 25, 8);
  const WrapSection wall = wall_section(25, 8, 13);
  EXPECT_NEAR(2 * wall.reach(), slot.topper_extra, 1e-12);
  EXPECT_NEAR(2 * wall.reach(), 58, 1e-12);
}

// The cross of a box with square edges and corners, by hand: face a x b; each flap as long as the side and, on both
// ends, wider by n(s) = m sin(s / m) over the bend, whose integral over the quarter circle is m^2, and by m below.
TEST(Wrap, MitredCrossOfABoxWithSquareEdges) {
  const double a = 500, b = 400, h = 60, t = 20, m = t / 2;
  const Case c = wrapped_block(plane::rectangle(a, b, 0), h, {}, t);
  ASSERT_TRUE(uncrossed(c.pattern.outline));
  const double flap = m * kPi / 2 + h;
  const double expected = a * b + 2 * (a + b) * flap + 8 * (m * m + m * h);
  EXPECT_NEAR(c.pattern.area_mm2(), expected, 1e-5 * expected);
  ASSERT_EQ(c.pattern.seams.size(), 4u);
  for (const PatternSeam& s : c.pattern.seams) {
    EXPECT_EQ(s.kind, PatternSeam::Kind::notch);
    EXPECT_NEAR(s.first_mm, s.second_mm, 1e-9);
  }
  const plane::Box box = plane::bounds(c.pattern.outline);
  EXPECT_NEAR(box.width(), a + 2 * flap, 1e-9);
  EXPECT_NEAR(box.depth(), b + 2 * flap, 1e-9);
}

// Round edges, sharp corners, by hand: s = (r + m) phi, n = (r + m) sin phi - r; flaps begin at the inset r and are
// wider by n on both ends.
TEST(Wrap, MitredCrossOfABoxWithRoundEdges) {
  const double a = 500, b = 400, h = 90, r = 30, t = 16, m = t / 2, q = r + m;
  const Case c = wrapped_block(plane::rectangle(a, b, 0), h, quarter_ellipse(r, r), t);
  ASSERT_TRUE(uncrossed(c.pattern.outline));
  const double side = h - r, flap = q * kPi / 2 + side;
  const double ends = q * q - r * q * kPi / 2 + m * side;  // integral of n over the flap
  const double expected = (a - 2 * r) * (b - 2 * r) + 2 * (a + b) * flap + 8 * ends;
  EXPECT_NEAR(c.pattern.area_mm2(), expected, 1e-5 * expected);
}

TEST(Wrap, NotchesFollowTheBisectorOfAnyAngle) {
  // A regular hexagon with square edges: flaps meet at n tan(30 degrees) beyond their sides.
  plane::Outline o;
  for (int i = 0; i < 6; ++i) o.outer.push_back({{200 * std::cos(kPi / 3 * i), 200 * std::sin(kPi / 3 * i)}, 0, 0});
  o.sides = {"all"};
  const double t = 20, m = 10, h = 50;
  const Case c = wrapped_block(o, h, {}, t);
  ASSERT_TRUE(uncrossed(c.pattern.outline));
  const double face = 1.5 * std::sqrt(3.0) * 200 * 200;
  const double expected = face + 6 * 200 * (m * kPi / 2 + h) + 12 * std::tan(kPi / 6) * (m * m + m * h);
  EXPECT_NEAR(c.pattern.area_mm2(), expected, 1e-5 * expected);
}

// A disc: the flat is a disc of the radius R + e, e = (r + m) pi / 2 + side - r, less wedges that take 2 pi (nu - n) of
// arc together at every distance.
TEST(Wrap, RoundCushion) {
  plane::Outline o;
  o.outer = {{{-250, 0}, 1, 0}, {{250, 0}, 1, 0}};
  o.sides = {"all"};
  const double radius = 250, r = 25, t = 16, m = t / 2, q = r + m, h = 80;
  const Case c = wrapped_block(o, h, quarter_ellipse(r, r), t);
  ASSERT_TRUE(uncrossed(c.pattern.outline));
  const double side = h - r, e = q * kPi / 2 + side - r;
  double farthest = 0;
  for (const plane::Vertex& v : c.pattern.outline.outer) farthest = std::max(farthest, norm(v.at));
  EXPECT_NEAR(farthest, radius + e, 1e-9);
  EXPECT_NEAR(c.pattern.excess_mm, 2 * kPi * (e - m), 1e-9);
  // Needed: the mid surface unrolled ring by ring, Pappus: integral of 2 pi (R + n) ds from the inset r.
  const double needed =
      kPi * (radius - r) * (radius - r) + 2 * kPi * ((radius - r) * q * kPi / 2 + q * q + (radius + m) * side);
  EXPECT_NEAR(c.pattern.area_mm2(), needed, 4e-5 * needed);  // wedges begin where they are 0.02 mm wide
  int wedges = 0;
  double mouths = 0;
  for (const PatternSeam& s : c.pattern.seams) {
    EXPECT_EQ(s.kind, PatternSeam::Kind::wedge);
    EXPECT_NEAR(s.first_mm, s.second_mm, 1e-9);
    EXPECT_LE(s.mouth_mm, kWidestWedgeMm + 1e-9);
    mouths += 2 * (radius + e) * std::asin(s.mouth_mm / 2 / (radius + e));
    ++wedges;
  }
  EXPECT_EQ(wedges, 2 * static_cast<int>(std::ceil(kPi * (e - m) / kWidestWedgeMm)));
  EXPECT_NEAR(mouths, 2 * kPi * (e - m), 1e-6);
}

TEST(Wrap, CornersRoundedByMoreThanTheThicknessAreWedgedAllAlike) {
  const double r = 20, t = 15, m = t / 2, q = r + m, h = 100, corner = 35;
  const Case c = wrapped_block(plane::rectangle(510, 490, corner), h, quarter_ellipse(r, r), t);
  ASSERT_TRUE(uncrossed(c.pattern.outline));
  const double side = h - r, e = q * kPi / 2 + side - r;
  EXPECT_NEAR(c.pattern.excess_mm, 2 * kPi * (e - m), 1e-9);
  // Mid surface: face, four straight flaps, and the corners' rings by Pappus.
  const double face = 510 * 490 - (4 - kPi) * corner * corner;
  const double inner = face - r * (2 * (510 + 490) - (8 - 2 * kPi) * corner) + kPi * r * r;  // Steiner, inward
  const double straight_mm = 2 * (510 + 490 - 4 * corner);
  const double needed =
      inner + straight_mm * (e + r) + 2 * kPi * ((corner - r) * q * kPi / 2 + q * q + (corner + m) * side);
  EXPECT_NEAR(c.pattern.area_mm2(), needed, 4e-5 * needed);  // wedges begin where they are 0.02 mm wide
}

TEST(Wrap, InnerCornersAreSlitAndFilled) {
  // An L with sharp corners and square edges. At the inner corner both flaps end at the bisector; the insert brings
  // back what a mitred flap needs: 2 (nu - n) across.
  plane::Outline o;
  for (const Vec2 p : {Vec2{0, 0}, {600, 0}, {600, 250}, {300, 250}, {300, 500}, {0, 500}})
    o.outer.push_back({p, 0, 0});
  o.sides = {"all"};
  const double t = 20, m = 10, h = 50, e = m * kPi / 2 + h;
  const Case c = wrapped_block(o, h, {}, t);
  ASSERT_TRUE(uncrossed(c.pattern.outline));
  ASSERT_EQ(c.pattern.slits.size(), 1u);
  ASSERT_EQ(c.pattern.inserts.size(), 1u);
  const PatternInsert& x = c.pattern.inserts[0];
  EXPECT_NEAR(x.edge_mm, std::sqrt(2.0) * e, 1e-9);
  EXPECT_NEAR(plane::bounds(x.outline).width(), 2 * (e - m), 1e-9);
  EXPECT_NEAR(norm(c.pattern.slits[0].back().at - c.pattern.slits[0].front().at), x.edge_mm, 1e-9);
  // Five outer corners give, the inner one takes; flaps along 2200 mm.
  const double pattern = 300 * 250 + 300 * 500 + 2200 * e + 10 * (m * m + m * h) - e * e;
  EXPECT_NEAR(c.pattern.area_mm2(), pattern, 1e-5 * pattern);
}

Spec seat() {
  Spec s = sample::block(560, 540, 60, {{"f50", 60}, {"f40", 40}});
  s.top.sides["other"] = sample::edge("round", {Length(45)});
  s.given_at = "dressed";
  s.topper_foam = "f25";
  s.topper_thickness = 15;
  s.batting = "loft20";
  s.barrier = "woven";
  return s;
}

TEST(Wrap, ASeatHasTopperBattingAndBarrier) {
  const product::Product p = build(seat(), sample::materials());
  ASSERT_FALSE(has_errors(p.findings)) << printed(p.findings);
  for (const char* id : {"topper", "batting", "barrier-top", "barrier-bottom", "barrier-boxing"})
    EXPECT_NE(sample::part(p, id), nullptr) << id;
  for (const char* id : {"topper", "topper-pieces", "batting-pieces", "barrier"})
    EXPECT_NE(sample::table(p, id), nullptr) << id;
  EXPECT_NEAR(sample::value(p, "topper.mass"), sample::value(p, "topper.area") * 0.015 * 25, 1e-9);
  EXPECT_LT(sample::value(p, "topper.seam_mismatch"), 1e-6);
  // The batting lies farther out.
  EXPECT_GT(sample::value(p, "batting.area"), sample::value(p, "topper.area"));
  // Seam of the bag: the outline grown by half the cloth less cover (none here): Steiner.
  const double d = -0.15;
  EXPECT_NEAR(sample::value(p, "barrier.seam.top.length"), 2 * (560 + 540) - (8 - 2 * kPi) * 60 + 2 * kPi * d, 1e-6);
  EXPECT_NEAR(sample::value(p, "barrier.seam.top.length"), sample::value(p, "barrier.seam.bottom.length"), 1e-9);
  // Mass: the topper is part of it.
  EXPECT_GT(sample::value(p, "total.mass"), sample::value(p, "core.mass") + sample::value(p, "topper.mass"));
}

// A gap of 60 mm between arms, 300 deep: over a round edge of 20 and 60 of side below, two flaps of about 90 do not fit
// in it, two bends of 43.2 - 20 = 23.2 (a quarter turn at 27.5) do. By hand: what is taken off each flap is as
// long as the gap is deep and as high as the side below the edge, and nothing else is taken off.
TEST(Wrap, OnlyFlapsThatOverlapBecomeStrips) {
  Spec s = sample::block(480, 400, 0, {{"f50", 80}});
  VerticesSpec u;
  for (const auto& [x, y] : std::vector<std::pair<double, double>>{
           {0, 0}, {480, 0}, {480, 400}, {270, 400}, {270, 100}, {210, 100}, {210, 400}, {0, 400}})
    u.outer.push_back({x, y, {}, "", {}});
  s.outline = u;
  s.top.sides["other"] = sample::edge("round", {Length(20)});
  s.topper_foam = "f25";
  s.topper_thickness = 15;
  const product::Product p = build(s, sample::materials());
  ASSERT_FALSE(has_errors(p.findings)) << printed(p.findings);
  EXPECT_NE(sample::finding(p.findings, "topper.strips", "topper"), nullptr);
  std::vector<double> strips;
  for (const product::FlatPart& part : p.parts)
    if (part.id.rfind("topper-strip", 0) == 0) {
      const plane::Loop& path = part.sketch.strokes.at(0).path;
      strips.push_back(plane::area(plane::Outline{path, {}, {}}));
    }
  ASSERT_EQ(strips.size(), 2U);
  for (const double area : strips) EXPECT_NEAR(area, 300 * 60, 1e-6);
  ASSERT_NE(p.figure("topper.area"), nullptr);
}

TEST(Wrap, SeamsOfTheBarrierAreEqualOnARisenForm) {
  Spec s = seat();
  s.crown.top = 20;
  s.contour.along_depth = {{Length(0), Length(0)}, {Length(200), Length(15)}, {Length(400), Length(0)}};
  const product::Product p = build(s, sample::materials());
  ASSERT_FALSE(has_errors(p.findings)) << printed(p.findings);
  const product::Table* t = sample::table(p, "barrier");
  ASSERT_NE(t, nullptr);
  for (const auto& row : t->rows) EXPECT_EQ(product::told_in(row.back(), Units::mm), "0") << row.front();
  ASSERT_NE(sample::part(p, "topper"), nullptr) << printed(p.findings);
}

TEST(Wrap, ACylinderUnrollsExactly) {
  // A contour along the depth alone: no strain in the middle surface but what its own turning leaves out of the map.
  Spec s = seat();
  s.contour.along_depth = {{Length(0), Length(0)}, {Length(250), Length(20)}, {Length(500), Length(0)}};
  s.top.sides.clear();
  const product::Product p = build(s, sample::materials());
  ASSERT_FALSE(has_errors(p.findings)) << printed(p.findings);
  EXPECT_LT(sample::value(p, "topper.strain"), 0.05);
  EXPECT_GE(sample::value(p, "topper.strain"), 0);
}

TEST(Wrap, CreasesDivideTheTopper) {
  Spec s = seat();
  CreaseSpec across;
  across.path = {{Length(60), Length(270), {}}, {Length(500), Length(270), {}}};
  across.depth = 35;
  across.kerf = 4;
  across.tape = 20;
  s.creases.push_back(across);
  const product::Product p = build(s, sample::materials());
  ASSERT_FALSE(has_errors(p.findings)) << printed(p.findings);
  EXPECT_EQ(sample::value(p, "topper.pieces"), 2);
  ASSERT_NE(sample::part(p, "topper-1"), nullptr);
  ASSERT_NE(sample::part(p, "topper-2"), nullptr);
  EXPECT_LT(sample::value(p, "topper.seam_mismatch"), 0.05);
  // Both pieces carry the same marks along the crease.
  const auto marks = [&](const char* id) {
    std::vector<std::string> out;
    for (const product::Label& l : sample::part(p, id)->sketch.labels)
      if (l.text.size() == 2 && l.text[0] == '1') out.push_back(l.text);
    std::sort(out.begin(), out.end());
    return out;
  };
  EXPECT_EQ(marks("topper-1"), (std::vector<std::string>{"1a", "1b", "1c"}));
  EXPECT_EQ(marks("topper-2"), marks("topper-1"));
  // The fold: 440 mm of crease, on both pieces depth + half the folded topper (35 + 3) less half the kerf that the
  // strip took, against the piece without a crease.
  const product::Product whole = build(seat(), sample::materials());
  const double more = (sample::value(p, "topper.area") - sample::value(whole, "topper.area")) * 1e6;
  EXPECT_NEAR(more, 440 * 2 * (35 + 3 - 2), 120);
}

TEST(Wrap, DownToIsCheckedAndObeyed) {
  Spec s = seat();
  const double to_bottom = sample::value(build(s, sample::materials()), "topper.area");
  s.topper_down_to = {"edge", {}};
  const double to_edge = sample::value(build(s, sample::materials()), "topper.area");
  EXPECT_LT(to_edge, to_bottom);
  s.topper_down_to = {"depth", Length(60)};
  const double to_depth = sample::value(build(s, sample::materials()), "topper.area");
  EXPECT_LT(to_edge, to_depth);
  EXPECT_LT(to_depth, to_bottom);
  s.topper_down_to = {"depth", Length(101)};
  const product::Product beyond = build(s, sample::materials());
  const Finding* f = sample::finding(beyond.findings, "topper.down_to", "topper/down_to");
  ASSERT_NE(f, nullptr);
  EXPECT_NE(f->message.find("100 mm"), std::string::npos) << f->message;
  EXPECT_TRUE(beyond.parts.empty());
  s.topper_down_to = {"depth", Length(5)};
  EXPECT_NE(sample::finding(build(s, sample::materials()).findings, "topper.down_to", "topper/down_to"), nullptr);
}

TEST(Wrap, TightEdgesGetReliefLinesAndAWarning) {
  Spec s = seat();
  s.given_at = "core";
  s.top.sides = {{"other", sample::edge("square")}};
  const product::Product p = build(s, sample::materials());
  const Finding* f = sample::finding(p.findings, "topper.strain", "topper/thickness");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->severity, Severity::warning);
  int relief = 0;
  for (const product::Stroke& k : sample::part(p, "topper")->sketch.strokes)
    relief += k.role == product::LineRole::hidden ? 1 : 0;
  EXPECT_EQ(relief, 4);
}

TEST(Wrap, PocketsOnTopAreOpenings) {
  Spec s = seat();
  const double whole = sample::value(build(s, sample::materials()), "topper.area");
  PocketSpec pocket;
  pocket.from = "top";
  pocket.outline.shape = RectangleSpec{200, 150, 20};
  pocket.outline.x = 280;
  pocket.outline.y = 270;
  pocket.depth = 50;
  s.pockets.push_back(pocket);
  const product::Product p = build(s, sample::materials());
  ASSERT_FALSE(has_errors(p.findings)) << printed(p.findings);
  EXPECT_NEAR(sample::value(p, "topper.area"), whole - (200 * 150 - (4 - kPi) * 400) * 1e-6, 1e-9);
}

}  // namespace
}  // namespace kerfkiln::cushion
