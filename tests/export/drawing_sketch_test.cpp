// Dimensions and scales: placement rules of ISO 129-1 (text along and above the line, read from the bottom or the
// right), standard scales of ISO 5455 with those between that sketch_painter.hpp names.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "export/drawing/dimension.hpp"

namespace kerfkiln::output {
namespace {

using product::DimensionKind;
using product::DimensionLine;

Quad thin(const std::array<Vec2, 2>& l) {
  const Vec2 n = 0.05 * left(unit(l[1] - l[0]));
  return {l[0] + n, l[1] + n, l[1] - n, l[0] - n};
}

DimensionGeometry one(const DimensionLine& d, double scale = 1) { return lay_out({d}, {{0, 0}, scale}, {}, {}).at(0); }

TEST(Dimension, StandsToTheLeftOfItsDirection) {
  // Along +x in the model, left is up: above the part, y negative on paper.
  const DimensionGeometry g = one({DimensionKind::linear, {0, 0}, {100, 0}, 8, "", ""}, 0.5);
  ASSERT_EQ(g.lines.size(), 1u);
  EXPECT_NEAR(g.lines[0][0].x, 0, 1e-12);
  EXPECT_NEAR(g.lines[0][0].y, -8, 1e-12);
  EXPECT_NEAR(g.lines[0][1].x, 50, 1e-12);
  EXPECT_EQ(g.text, "100");
  EXPECT_NEAR(g.measured_mm, 100, 1e-12);
  EXPECT_LT(g.baseline.y, -8);
  EXPECT_NEAR(g.arrows[0][0].x, 0, 1e-12);
  EXPECT_NEAR(g.arrows[1][0].x, 50, 1e-12);
  const DimensionGeometry below = one({DimensionKind::linear, {0, 0}, {100, 0}, -8, "", ""});
  EXPECT_NEAR(below.lines[0][0].y, 8, 1e-12);
}

TEST(Dimension, MeasuresItsComponent) {
  const DimensionGeometry h = one({DimensionKind::horizontal, {0, 0}, {30, 40}, 8, "", ""});
  EXPECT_EQ(h.text, "30");
  EXPECT_NEAR(h.lines[0][0].y, h.lines[0][1].y, 1e-12);
  EXPECT_NEAR(h.lines[0][0].y, -48, 1e-12);  // above the higher of the two
  const DimensionGeometry v = one({DimensionKind::vertical, {0, 0}, {30, 40}, 8, "", ""});
  EXPECT_EQ(v.text, "40");
  EXPECT_NEAR(v.lines[0][0].x, -8, 1e-12);  // up the page, left is left
  EXPECT_EQ(one({DimensionKind::linear, {0, 0}, {30, 40}, 8, "", ""}).text, "50");
  EXPECT_EQ(one({DimensionKind::radius, {0, 0}, {30, 40}, 8, "", ""}).text, "R 50");
  EXPECT_EQ(one({DimensionKind::diameter, {-30, -40}, {30, 40}, 0, "", ""}).text, "Ø 100");
  EXPECT_EQ(one({DimensionKind::leader, {0, 0}, {30, 40}, 0, "note", ""}).text, "note");
  EXPECT_EQ(one({DimensionKind::linear, {0, 0}, {30, 40}, 8, "50 net", ""}).text, "50 net");
}

TEST(Dimension, TextIsReadableAndClearOfItsLines) {
  for (const double length : {0.4, 3.0, 6.0, 9.0, 14.0, 40.0, 400.0}) {
    for (int degrees = 0; degrees < 360; degrees += 5) {
      const double a = degrees * std::numbers::pi / 180;
      const Vec2 end{length * std::cos(a), length * std::sin(a)};
      for (const DimensionKind kind : {DimensionKind::linear, DimensionKind::radius, DimensionKind::leader}) {
        const DimensionGeometry g = one({kind, {0, 0}, end, 8, kind == DimensionKind::leader ? "words" : "", ""});
        for (const auto& l : g.ticks) EXPECT_FALSE(overlap(g.box, thin(l))) << length << " at " << degrees;
        for (const auto& l : g.lines)
          if (norm(l[1] - l[0]) > 0) {
            EXPECT_FALSE(overlap(g.box, thin(l))) << length << " at " << degrees;
          }
        // Read from the bottom or from the right.
        EXPECT_GT(g.style.turn_rad, -std::numbers::pi / 2 + 1e-9);
        EXPECT_LT(g.style.turn_rad, std::numbers::pi / 2 + 1e-9);
      }
    }
  }
}

TEST(Dimension, SharedPlacesAreSpreadOut) {
  std::vector<DimensionLine> d;
  for (int i = 1; i <= 5; ++i) d.push_back({DimensionKind::horizontal, {0, 0}, {40.0 * i, 0}, 8, "", ""});
  const auto g = lay_out(d, {{0, 0}, 0.25}, {}, {});
  for (std::size_t i = 0; i < g.size(); ++i)
    for (std::size_t j = 0; j < g.size(); ++j) {
      if (i != j) {
        EXPECT_FALSE(overlap(g[i].box, g[j].box)) << i << " on " << j;
      }
      for (const auto& l : g[j].lines) EXPECT_FALSE(overlap(g[i].box, thin(l))) << i << " on the line of " << j;
    }
}

// A chain of short dimensions: one line, oblique strokes, no tail over its neighbour.
TEST(Dimension, ShortChainsStayInOneLine) {
  std::vector<DimensionLine> d;
  for (int i = 0; i < 4; ++i) d.push_back({DimensionKind::vertical, {0, 20.0 * (i + 1)}, {0, 20.0 * i}, 8, "", ""});
  for (const DimensionGeometry& g : lay_out(d, {{0, 0}, 0.25}, {}, {})) {
    EXPECT_EQ(g.ticks.size(), 2u);
    EXPECT_TRUE(g.arrows.empty());
    ASSERT_EQ(g.lines.size(), 1u);
    EXPECT_NEAR(g.lines[0][0].x, 8, 1e-12);  // down the page, left is right
    EXPECT_NEAR(norm(g.lines[0][1] - g.lines[0][0]), 5, 1e-12);
  }
}

// Words of a pointer keep clear of the line that carries another dimension to the part.
TEST(Dimension, PointersGiveWay) {
  const std::vector<DimensionLine> d = {{DimensionKind::radius, {430, 30}, {451, 9}, 8, "", ""},
                                        {DimensionKind::vertical, {460, 440}, {460, 0}, 16, "", ""}};
  const auto g = lay_out(d, {{0, 0}, 0.25}, {}, {});
  ASSERT_EQ(g.size(), 2u);
  EXPECT_EQ(g[0].text, "R 29.7");
  EXPECT_EQ(g[1].text, "440");
  for (const auto& l : g[1].witnesses) EXPECT_FALSE(overlap(g[0].box, thin(l)));
  for (const auto& l : g[1].lines) EXPECT_FALSE(overlap(g[0].box, thin(l)));
}

TEST(Sketch, FitTakesTheLargestStandardScale) {
  product::Sketch s;
  s.strokes.push_back({plane::rectangle(500, 400, 30).outer, true, product::LineRole::cut});
  s.dimensions.push_back({DimensionKind::horizontal, {0, 0}, {500, 0}, -9, "", ""});
  const Fit f = fit(s, 180, 118);
  EXPECT_EQ(f.text, "1:4");
  EXPECT_LE(f.box.width(), 180);
  EXPECT_LE(f.box.depth(), 118);
  EXPECT_GT(sketch_bounds(s, 1 / 2.5, {}).width(), 180);
  EXPECT_EQ(fit(s, 90, 118).text, "1:10");
  EXPECT_EQ(fit(s, 600, 600).text, "1:1");
  EXPECT_EQ(fit(s, 210, 300).text, "1:2.5");
}

TEST(Sketch, NothingIsDrawnOutsideTheBounds) {
  product::Sketch s;
  s.strokes.push_back({plane::rectangle(80, 50, 12).outer, true, product::LineRole::section});
  s.labels.push_back({{80, 50}, "a label that hangs over the corner", 4, product::Anchor::left, 0.3});
  s.dimensions = {{DimensionKind::horizontal, {0, 0}, {80, 0}, -9, "", ""},
                  {DimensionKind::vertical, {0, 0}, {0, 50}, 9, "", ""},
                  {DimensionKind::linear, {20, 20}, {21, 21}, 6, "", ""},
                  {DimensionKind::radius, {12, 38}, {3.5147, 46.4853}, 7, "", ""},
                  {DimensionKind::leader, {70, 10}, {95, -20}, 0, "leads here", ""}};
  const plane::Box box = sketch_bounds(s, 1, {});
  const double pad = 5;
  const Page page{{box.width() + 2 * pad, box.depth() + 2 * pad}, [&](Canvas& c) {
                    paint(c, s, {{pad - box.low.x, pad - box.low.y}, 1}, {});
                  }};
  int wide = 0, high = 0;
  const auto pixels = rgba_pixels(page, 10, wide, high);
  ASSERT_TRUE(pixels.has_value());
  int inside = 0, low_x = wide, high_x = 0, low_y = high, high_y = 0;
  for (int y = 0; y < high; ++y)
    for (int x = 0; x < wide; ++x)
      if ((*pixels)[4 * static_cast<std::size_t>(y * wide + x)] < 200) {
        ++inside;
        low_x = std::min(low_x, x), high_x = std::max(high_x, x);
        low_y = std::min(low_y, y), high_y = std::max(high_y, y);
      }
  EXPECT_GT(inside, 1000);
  // 50 px are the pad; descenders may hang 0.4 mm below a text's box.
  EXPECT_GE(low_x, 50 - 4);
  EXPECT_GE(low_y, 50 - 4);
  EXPECT_LE(high_x, wide - 50 + 4);
  EXPECT_LE(high_y, high - 50 + 4);
}

TEST(Sketch, EveryRoleHasItsOwnLineInBlackAndWhite) {
  using product::LineRole;
  const LineRole all[] = {LineRole::cut,          LineRole::scribe, LineRole::fold,    LineRole::sew,
                          LineRole::centre,       LineRole::hidden, LineRole::visible, LineRole::section,
                          LineRole::construction, LineRole::station};
  for (const LineRole a : all)
    for (const LineRole b : all) {
      if (a == b) continue;
      const LineStyle x = line_style(a), y = line_style(b);
      EXPECT_TRUE(x.width_mm != y.width_mm || x.dashes_mm != y.dashes_mm) << role_name(a) << " " << role_name(b);
    }
}

// 25.4 mm an inch (international yard and pound agreement, 1959).
TEST(LengthText, InchesAreFractionsMillimetresDecimals) {
  EXPECT_EQ(inch_text(482.6), "19");
  EXPECT_EQ(inch_text(12.7), "1/2");
  EXPECT_EQ(inch_text(469.9), "18 1/2");
  EXPECT_EQ(inch_text(25.4 * 3 + 25.4 * 5 / 32), "3 5/32");
  EXPECT_EQ(inch_text(0), "0");
  EXPECT_EQ(millimetre_text(482.5), "482.5");
  EXPECT_EQ(millimetre_text(500), "500");
  EXPECT_EQ(millimetre_text(0.04), "0");
}

}  // namespace
}  // namespace kerfkiln::output
