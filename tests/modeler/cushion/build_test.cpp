// The product of a cushion against closed forms and the reference's check values (G, L: reference part 11, each with
// its own source there; formulas repeated here so that the expected values are computed independently).
#include "modeler/cushion/build.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <numbers>

#include "modeler/plane/offset.hpp"
#include "tests/modeler/cushion/sample.hpp"

namespace kerfkiln::cushion {
namespace {

using namespace sample;
using std::numbers::pi;

std::string words(const Findings& f) {
  std::string all;
  for (const Finding& x : f) all += x.code + " " + x.path + ": " + x.message + "\n";
  return all;
}

// Without the marks of bare lengths, which are told in the job's unit later.
std::string plain(std::string text) {
  std::erase(text, '\x1f');
  return text;
}

// G06: rounded rectangle 500 x 450 r 40, L = 2(a + b) - (8 - 2 pi) r, A = a b - (4 - pi) r^2.
TEST(Build, OutlineFiguresOfTheRoundedRectangleG06) {
  const product::Product p = build(block(500, 450, 40, {{"f40", 50}}), materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  EXPECT_NEAR(value(p, "outline.perimeter"), 2 * 950 - (8 - 2 * pi) * 40, 1900 * 1e-9);
  EXPECT_NEAR(value(p, "outline.area"), 500 * 450 - (4 - pi) * 1600, 225000 * 1e-9);
  EXPECT_NEAR(value(p, "outline.perimeter"), 1831.327, 0.001);
  EXPECT_NEAR(value(p, "outline.area"), 223626.5, 0.05);
}

// G01 at 60 degrees: each corner of a hexagon rounded by 20 mm saves 2 r tan(30) - r pi / 3 = 2.150 mm of its path.
TEST(Build, RoundedCornersOfAHexagonSaveG01) {
  Spec s = block(500, 450, 0, {{"f40", 50}});
  VerticesSpec sharp, rounded;
  for (int i = 0; i < 6; ++i) {
    VertexSpec v;
    v.x = 250 + 200 * std::cos(i * pi / 3);
    v.y = 250 + 200 * std::sin(i * pi / 3);
    sharp.outer.push_back(v);
    v.radius = 20;
    rounded.outer.push_back(v);
  }
  s.outline = sharp;
  const double whole = value(build(s, materials()), "outline.perimeter");
  s.outline = rounded;
  const double saved = (whole - value(build(s, materials()), "outline.perimeter")) / 6;
  EXPECT_NEAR(saved, 2.150, 0.001);
  EXPECT_NEAR(saved, 2 * 20 * std::tan(pi / 6) - 20 * pi / 3, 1e-5);  // corners are typed to 2^-20 mm
}

// G07: Steiner, A' = A + L t + pi t^2, L' = L + 2 pi t, here for the surfaces of the chain.
TEST(Build, ParallelOutlinesFollowSteinerG07) {
  const plane::Outline given = plane::rectangle(500, 450, 40);
  const double a = 223626.5, l = 1831.327;
  for (const double t : {25.0, -25.0}) {
    const auto moved = plane::offset(given, t);
    ASSERT_TRUE(moved);
    ASSERT_EQ(moved->size(), 1U);
    EXPECT_NEAR(plane::area(moved->front()), a + l * t + pi * t * t, 0.06);
    EXPECT_NEAR(plane::perimeter(moved->front()), l + 2 * pi * t, 0.001);
  }
}

// Box of 600 x 550 x 120, plan corners 60, all edges rounded 25: performance reference, job C, closed form and Steiner.
TEST(Build, VolumeOfTheRoundedBox) {
  Spec s = block(600, 550, 60, {{"f40", 50}, {"f50", 40}, {"f25", 30}});
  s.top.sides["other"] = edge("round", {25});
  s.bottom.sides["other"] = edge("round", {25});
  const product::Product p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  const double r = 25, a0 = 600 * 550 - (4 - pi) * 3600, p0 = 2 * 1150 - (8 - 2 * pi) * 60;
  const double expected = a0 * 120 - 2 * p0 * r * r * (1 - pi / 4) + 2 * pi * r * r * r * (5.0 / 3 - pi / 2);
  EXPECT_NEAR(value(p, "core.volume") * 1e6, expected, expected * 1e-12);
  EXPECT_NEAR(expected, 38649232.163689815, 1e-3);
  double sum = 0;
  for (int i = 1; i <= 3; ++i) sum += value(p, "layer." + std::to_string(i) + ".volume");
  EXPECT_NEAR(sum, value(p, "core.volume"), value(p, "core.volume") * 1e-12);
}

// L01: two joints of 508 x 508, both faces, 80 g/m2, 10 % loss: 90.84 g.
TEST(Build, AdhesiveL01) {
  const product::Product p = build(block(508, 508, 0, {{"f60", 50}, {"f45", 50}, {"f40", 25}}), materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  EXPECT_NEAR(value(p, "glue.area"), 2 * 0.508 * 0.508, 1e-12);
  EXPECT_NEAR(value(p, "glue.mass") * 1000, 2 * 0.508 * 0.508 * 80 * 2 * 1.1, 1e-9);
  EXPECT_NEAR(value(p, "glue.mass") * 1000, 90.84, 0.01);
}

// L04: 508 x 508, 25 mm of 40, 50 of 45 and 50 of 60 kg/m3: 1.613 kg.
TEST(Build, FoamMassL04) {
  const product::Product p = build(block(508, 508, 0, {{"f60", 50}, {"f45", 50}, {"f40", 25}}), materials());
  EXPECT_NEAR(value(p, "core.mass"), 0.508 * 0.508 * (0.025 * 40 + 0.05 * 45 + 0.05 * 60), 1e-12);
  EXPECT_NEAR(value(p, "core.mass"), 1.613, 0.001);
  EXPECT_NEAR(value(p, "total.mass"), value(p, "core.mass") + 2 * 0.508 * 0.508 * 0.08 * 2, 1e-12);
}

// G08: outer r 60 and length 500 over a 25 mm topper and 20 mm batting at 50 %: core r 25, length 430.
TEST(Build, CoreUnderTopperAndBattingG08) {
  Spec s = block(500, 500, 60, {{"f40", 100}});
  s.given_at = "dressed";
  s.topper_foam = "f25";
  s.topper_thickness = 25;
  s.batting = "loft20";
  s.top.sides["other"] = edge("round", {60});
  const product::Product p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  EXPECT_DOUBLE_EQ(value(p, "core.width"), 430);
  EXPECT_DOUBLE_EQ(value(p, "core.depth"), 430);
  EXPECT_DOUBLE_EQ(value(p, "layer.1.blank.width"), 450);
  const product::Table* edges = table(p, "edges");
  ASSERT_NE(edges, nullptr);
  EXPECT_EQ(plain(edges->rows[0][1]), "round 60");
  EXPECT_EQ(plain(edges->rows[0][2]), "round 25");
  const product::Table* chain = table(p, "compensation");
  ASSERT_NE(chain, nullptr);
  ASSERT_EQ(chain->rows.size(), 3U);
  EXPECT_EQ(chain->rows[0][0], "over the batting (as given)");
  EXPECT_EQ(chain->rows[0][4], "500");
  EXPECT_EQ(chain->rows[1][4], "480");
  EXPECT_EQ(chain->rows[2][0], "core");
  EXPECT_EQ(chain->rows[2][4], "430");
  EXPECT_EQ(chain->rows[2][7], "25");  // the plan corner, 60 - 35
}

// The same design said at each of its three surfaces is the same core.
TEST(Build, GivenAtEachSurfaceIsTheSameCore) {
  const auto said = [](const char* at, double out) {
    Spec s = block(430 + 2 * out, 400 + 2 * out, 20 + out, {{"f40", 60}, {"f50", 30}});
    s.given_at = at;
    s.topper_foam = "f25";
    s.topper_thickness = 15;
    s.batting = "loft20";
    s.barrier = "woven";
    s.cover = "hide";
    s.top.sides["other"] = edge("round", {18 + out});
    return build(s, materials());
  };
  const product::Product core = said("core", 0), topped = said("topped", 15),
                         dressed = said("dressed", 15 + 10 + 0.3 + 1.2);
  ASSERT_FALSE(has_errors(core.findings)) << words(core.findings);
  for (const product::Product* p : {&topped, &dressed}) {
    ASSERT_FALSE(has_errors(p->findings)) << words(p->findings);
    EXPECT_NEAR(value(*p, "core.volume"), value(core, "core.volume"), 1e-9);
    EXPECT_NEAR(value(*p, "core.width"), 430, 1e-9);
  }
}

// Tables carry the figures: cut list, layers and glue add up to what the figures say.
TEST(Build, TablesSumToTheFigures) {
  Spec s = block(480, 460, 40, {{"f60", 50}, {"f45", 30}, {"f25", 20}});
  s.count = 4;
  s.top.sides["front"] = edge("ellipse", {60, 40});
  s.top.sides["other"] = edge("round", {20});
  const product::Product p = build(s, materials());
  ASSERT_FALSE(has_errors(p.findings)) << words(p.findings);
  const product::Table *layers = table(p, "layers"), *cut = table(p, "cut-list"), *glue = table(p, "glue");
  ASSERT_TRUE(layers && cut && glue);
  const auto column = [](const product::Table& t, std::size_t c) {
    double sum = 0;
    for (std::size_t i = 0; i + 1 < t.rows.size(); ++i) sum += std::stod(t.rows[i][c]);
    return sum;
  };
  EXPECT_NEAR(column(*layers, 5), value(p, "core.volume"), 0.002);  // three rows printed to 0.001
  EXPECT_NEAR(column(*layers, 6), value(p, "core.mass"), 0.002);
  EXPECT_NEAR(column(*glue, 4), value(p, "glue.area"), 1e-4);
  EXPECT_NEAR(column(*glue, 5), value(p, "glue.mass") * 1000, 0.11);
  ASSERT_EQ(cut->rows.size(), 3U);
  for (const auto& row : cut->rows) {
    EXPECT_EQ(row[2], "500");
    EXPECT_EQ(row[3], "480");
    EXPECT_EQ(row[5], "4");
  }
  for (const product::Table& t : p.tables)
    for (const auto& row : t.rows) EXPECT_EQ(row.size(), t.columns.size()) << t.id;
  for (const product::Table& t : p.tables) EXPECT_EQ(t.numeric.size(), t.columns.size()) << t.id;
}

TEST(Build, EveryFigureSaysWhereItComesFrom) {
  Spec s = block(480, 460, 40, {{"f60", 50}, {"f45", 30}});
  const product::Product p = build(s, materials());
  ASSERT_GT(p.figures.size(), 15U);
  for (const product::Figure& f : p.figures) {
    EXPECT_FALSE(f.from.empty()) << f.key;
    EXPECT_FALSE(f.how.empty()) << f.key;
    EXPECT_FALSE(f.label.empty()) << f.key;
    int same = 0;
    for (const product::Figure& g : p.figures) same += g.key == f.key;
    EXPECT_EQ(same, 1) << f.key;
  }
  EXPECT_FALSE(p.steps.empty());
  EXPECT_FALSE(p.cautions.empty());
}

// The meshes tend to the quadrature volumes; chord deviation times area bounds the difference.
TEST(Build, MeshesPictureTheExactVolumes) {
  Spec s = block(480, 460, 40, {{"f60", 50}, {"f45", 30}, {"f25", 20}});
  s.top.sides["front"] = edge("ellipse", {60, 40});
  s.top.sides["other"] = edge("round", {20});
  const product::Product p = build(s, materials());
  ASSERT_EQ(p.shapes.size(), 4U);
  for (const product::Shape& shape : p.shapes) {
    const Result<solid::Mesh> mesh = shape.mesh(0.05);
    ASSERT_TRUE(mesh) << shape.id << " " << words(mesh.findings());
    EXPECT_NEAR(solid::volume(*mesh), shape.volume_mm3, 0.05 * solid::area(*mesh)) << shape.id;
  }
  EXPECT_GT(p.shapes[3].explode.z, p.shapes[2].explode.z);
}

TEST(Build, MirroredIsTheOtherHand) {
  Spec s = block(480, 460, 40, {{"f60", 50}});
  s.top.sides["left"] = edge("round", {30});
  const product::Product straight = build(s, materials());
  s.mirrored = true;
  const product::Product other = build(s, materials());
  ASSERT_FALSE(has_errors(other.findings));
  EXPECT_NEAR(value(other, "core.volume"), value(straight, "core.volume"), 1e-9);
  EXPECT_EQ(part(straight, "plan")->hand, "");
  EXPECT_NE(part(other, "plan")->hand, "");
  // What was shaped on the left is now on the right, and is called so.
  const product::Table* edges = table(other, "edges");
  for (const auto& row : edges->rows) EXPECT_EQ(plain(row[1]), row[0] == "right" ? "round 30" : "square") << row[0];
}

// A section down the length of a cut would show its floor in place of the top (common practice: a section plane is
// moved aside and says where it stands).
TEST(Build, SectionsStandBesideACreaseThatRunsAlongThem) {
  Spec s = block(480, 460, 40, {{"f60", 100}});
  const auto title = [&](const char* id) {
    const product::Product p = build(s, materials());
    for (const product::View& v : p.views)
      if (v.id == id) return v.caption;
    return std::string();
  };
  EXPECT_EQ(title("section-width"), "Section A-A, across the width, at mid depth");
  CreaseSpec along;
  along.path = {{60, 230, 0}, {420, 230, 0}};
  along.depth = 40;
  along.kerf = 4;
  along.tape = 20;
  s.creases = {along};
  const std::string aside = title("section-width");
  const std::string words = "Section A-A, across the width, ";
  ASSERT_EQ(aside.substr(0, words.size()), words);
  const double y = std::stod(aside.substr(words.size()));
  EXPECT_GT(std::abs(y - 230), 2.0 + 3.0);
  EXPECT_LT(std::abs(y - 230), 20);
  EXPECT_NE(aside.find(" mm from the front"), std::string::npos);
  EXPECT_EQ(title("section-depth"), "Section B-B, front to back, at mid width");  // which it crosses
}

double build_ms(const Spec& s) {
  const material::Library m = materials();
  double best = 1e9;
  for (int i = 0; i < 4; ++i) {
    const auto start = std::chrono::steady_clock::now();
    const product::Product p = build(s, m);
    best = std::min(best, std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
    EXPECT_FALSE(p.parts.empty());
  }
  return best;
}

// One profile all round: some milliseconds at most; the bound is loose because machines are shared. With edges that
// differ by side the time is that of the volume's quadrature, which is measured here and not bounded.
TEST(Build, IsQuick) {
  Spec s = block(570, 536, 48, {{"f60", 56}, {"f45", 36}, {"f25", 22}});
  s.top.sides["other"] = edge("round", {30});
  const double uniform = build_ms(s);
  s.top.sides["front"] = edge("ellipse", {60, 40});
  const double sided = build_ms(s);
  std::printf("build: %.2f ms with one profile, %.2f ms with edges by side\n", uniform, sided);
  EXPECT_LT(uniform, 60);
}

}  // namespace
}  // namespace kerfkiln::cushion
