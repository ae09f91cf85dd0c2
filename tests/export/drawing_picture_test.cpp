// Pictures: silhouettes against closed forms of the parallel projection.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <set>

#include "export/drawing/picture.hpp"
#include "tests/export/document_fixture.hpp"

namespace kerfkiln::output {
namespace {

product::Product ball(double radius) {
  product::Product p;
  p.name = "ball";
  product::Shape s;
  s.volume_mm3 = 4.0 / 3 * std::numbers::pi * radius * radius * radius;
  s.mesh = [radius](double) -> Result<solid::Mesh> {
    solid::Mesh m;
    const std::uint32_t rows = 60, around = 120;
    for (std::uint32_t i = 0; i <= rows; ++i)
      for (std::uint32_t j = 0; j < around; ++j) {
        const double a = std::numbers::pi * i / rows, b = 2 * std::numbers::pi * j / around;
        m.points.push_back(
            {radius * std::sin(a) * std::cos(b), radius * std::sin(a) * std::sin(b), radius * std::cos(a)});
      }
    for (std::uint32_t i = 0; i < rows; ++i)
      for (std::uint32_t j = 0; j < around; ++j) {
        const std::uint32_t k = (j + 1) % around, a = i * around + j, b = (i + 1) * around + j,
                            c = (i + 1) * around + k, d = i * around + k;
        m.triangles.push_back({a, b, c});
        m.triangles.push_back({a, c, d});
      }
    return m;
  };
  p.shapes.push_back(s);
  return p;
}

int covered(const Picture& p) {
  int count = 0;
  for (std::size_t i = 0; i < p.rgb.size(); i += 3) count += p.rgb[i] < 250 || p.rgb[i + 1] < 250 || p.rgb[i + 2] < 250;
  return count;
}

// A ball's silhouette is a disc that fills the picture but for 5 % margins: area pi r^2, and the outline of one pixel.
TEST(Picture, ABallIsADisc) {
  PictureOptions o;
  o.wide = o.high = 400;
  o.shadow = false;
  const auto p = picture(ball(50), o);
  ASSERT_TRUE(p.has_value());
  const double r = 0.45 * 400 + 0.7;
  EXPECT_NEAR(covered(*p), std::numbers::pi * r * r, 0.012 * std::numbers::pi * r * r);
}

// Seen from the front, level: a box covers width x height; from above: width x depth.
TEST(Picture, ABoxCoversItsProjection) {
  product::Product p;
  p.shapes.push_back(fixture::box_shape("box", "Box", {0, 0, 0}, {200, 80, 100}, {0.5, 0.5, 0.5}, true, {}));
  PictureOptions o;
  o.wide = o.high = 400;
  o.shadow = false;
  o.azimuth_deg = -90;
  o.elevation_deg = 0;
  const auto front = picture(p, o);
  ASSERT_TRUE(front.has_value());
  EXPECT_NEAR(covered(*front), 361.5 * 181.5, 1200);
  o.elevation_deg = 90;
  const auto top = picture(p, o);
  ASSERT_TRUE(top.has_value());
  EXPECT_NEAR(covered(*top), 361.5 * 145.5, 1200);
}

// From the front, 45 degrees up, a point stands (y + z) / sqrt(2) high: the edge between front and top at 100 of the
// 180 that are seen, the one behind them, hidden, at 80.
TEST(Picture, CreasesAreInkedWhereTheyAreSeen) {
  product::Product p;
  p.shapes.push_back(fixture::box_shape("box", "Box", {0, 0, 0}, {200, 80, 100}, {0.8, 0.8, 0.8}, true, {}));
  PictureOptions o;
  o.wide = o.high = 400;
  o.shadow = false;
  o.azimuth_deg = -90;
  o.elevation_deg = 45;
  const auto made = picture(p, o);
  ASSERT_TRUE(made.has_value());
  const auto row_of = [](double height) { return 200 - 1.8 * (height - 90) / std::numbers::sqrt2; };
  const auto tone = [&](int row) {
    return static_cast<int>(made->rgb[3 * (static_cast<std::size_t>(row) * 400 + 200)]);
  };
  int darkest = 150;
  for (int row = 150; row < 260; ++row)
    if (tone(row) < tone(darkest)) darkest = row;
  EXPECT_NEAR(darkest + 0.5, row_of(100), 1.5);
  const int hidden = static_cast<int>(row_of(80));
  for (int row = hidden - 4; row <= hidden + 4; ++row) EXPECT_NEAR(tone(row), tone(hidden - 5), 8);
  EXPECT_LT(tone(darkest), tone(hidden) - 30);
}

TEST(Picture, ExplodedShowsEachComponentsColour) {
  PictureOptions o;
  o.mode = PictureMode::exploded;
  o.wide = 300;
  o.high = 240;
  const auto p = picture(fixture::cushion(), o);
  ASSERT_TRUE(p.has_value());
  bool red = false, blue = false, yellow = false;
  for (std::size_t i = 0; i < p->rgb.size(); i += 3) {
    const int r = p->rgb[i], g = p->rgb[i + 1], b = p->rgb[i + 2];
    red = red || (r > 1.3 * g && r > 1.5 * b);
    blue = blue || (b > 1.15 * r && b > 80);
    yellow = yellow || (r > 1.6 * b && g > 1.5 * b);
  }
  EXPECT_TRUE(red && blue && yellow);
}

// Every component has its number, and the number stands on it.
TEST(Picture, TagsStandOnWhatTheyName) {
  PictureOptions o;
  o.mode = PictureMode::exploded;
  const auto p = picture(fixture::cushion(), o);
  ASSERT_TRUE(p.has_value());
  ASSERT_EQ(p->tags.size(), 3u);
  for (std::size_t i = 0; i < 3; ++i) {
    const auto at = 3 * (static_cast<std::size_t>(p->tags[i].y) * 900 + static_cast<std::size_t>(p->tags[i].x));
    const int r = p->rgb[at], g = p->rgb[at + 1], b = p->rgb[at + 2];
    if (i == 0) {
      EXPECT_TRUE(r > 1.6 * b && g > 1.5 * b) << r << " " << g << " " << b;
    }
    if (i == 1) {
      EXPECT_TRUE(b > 1.15 * r) << r << " " << g << " " << b;
    }
    if (i == 2) {
      EXPECT_TRUE(r > 1.3 * g && r > 1.5 * b) << r << " " << g << " " << b;
    }
    if (i > 0) {
      EXPECT_LT(p->tags[i].y, p->tags[i - 1].y);
    }
  }
}

TEST(Picture, SameProductSameBytes) {
  PictureOptions o;
  o.wide = 200;
  o.high = 160;
  EXPECT_EQ(*png_bytes(*picture(fixture::cushion(), o)), *png_bytes(*picture(fixture::cushion(), o)));
}

TEST(Picture, WhatCannotBeShownIsAFinding) {
  EXPECT_EQ(picture({}, {}).findings().at(0).code, "picture.empty");
  EXPECT_FALSE(has_picture(fixture::urn(), PictureMode::exploded));
  PictureOptions o;
  o.wide = 0;
  EXPECT_EQ(picture(fixture::urn(), o).findings().at(0).code, "picture.size");
  product::Product p = fixture::urn();
  p.shapes[0].mesh = [](double) -> Result<solid::Mesh> { return Finding{Severity::error, "mesh.broken", "", "", ""}; };
  EXPECT_EQ(picture(p, {}).findings().at(0).code, "mesh.broken");
}

}  // namespace
}  // namespace kerfkiln::output
