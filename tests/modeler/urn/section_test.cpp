// Sections: closed forms (reference GE-01 ... GE-05) and, for every entry of the table, derivatives against finite
// differences and the promises of its header.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "modeler/urn/section/section_type.hpp"
#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

using test::kPi;
const SectionType& superellipse() { return *find_section("superellipse"); }
const SectionType& rounded() { return *find_section("rounded rectangle"); }

// GE-01: A/4ab = Gamma(1+1/n)^2/Gamma(1+2/n), table of reference section 2.3.
TEST(Section, SuperellipseAreaByGamma) {
  for (auto [n, ratio] : {std::pair{1.0, 0.5},
                          {2.0, 0.785398},
                          {2.5, 0.845234},
                          {3.0, 0.883319},
                          {4.0, 0.927037},
                          {5.0, 0.950150},
                          {6.0, 0.963811},
                          {8.0, 0.978461},
                          {10.0, 0.985732}})
    EXPECT_NEAR(superellipse().area({80, 60, n}) / (4 * 80 * 60), ratio, 5e-7) << n;
  const double g = std::tgamma(1 + 1 / 2.5);
  EXPECT_NEAR(superellipse().area({80, 60, 2.5}), 4 * 80 * 60 * g * g / std::tgamma(1 + 2 / 2.5), 1e-9);
}

// GE-02 and the other perimeters of reference section 2.3; the ellipse by std::comp_ellint_2; n = 1 a rhombus.
TEST(Section, SuperellipsePerimeter) {
  EXPECT_NEAR(superellipse().perimeter({80, 60, 4}), 492.334, 1e-3);
  EXPECT_NEAR(superellipse().perimeter({80, 60, 2.5}), 460.047, 1e-3);
  EXPECT_NEAR(superellipse().perimeter({80, 80, 2.5}), 523.736, 1e-3);
  EXPECT_NEAR(superellipse().perimeter({80, 80, 4}), 561.416, 1e-3);
  const double e = std::sqrt(1 - 60.0 * 60 / (80 * 80));
  EXPECT_NEAR(superellipse().perimeter({80, 60, 2}) / (4 * 80 * std::comp_ellint_2(e)), 1, 1e-12);
  EXPECT_NEAR(superellipse().perimeter({80, 60, 1}) / (4 * 100), 1, 1e-12);
}

// GE-03, GE-04, GE-05.
TEST(Section, RoundedRectangle) {
  EXPECT_NEAR(rounded().area({80, 60, 20}), 18856.637, 1e-3);
  EXPECT_NEAR(rounded().perimeter({80, 60, 20}), 525.6637, 1e-4);
  EXPECT_NEAR(rounded().area({60, 60, 60}) / (kPi * 3600), 1, 1e-15);
  EXPECT_NEAR(rounded().perimeter({60, 60, 60}) / (120 * kPi), 1, 1e-15);
  const auto squared = [](double k, double r) {  // constant perimeter of a round of radius 95
    const double b = (2 * kPi * 95 + (8 - 2 * kPi) * r) / (4 * (1 + k));
    EXPECT_NEAR(rounded().perimeter({k * b, b, r}), 2 * kPi * 95, 1e-10);
    return rounded().area({k * b, b, r}) / (kPi * 95 * 95);
  };
  EXPECT_NEAR(squared(1, 0), 0.785398, 1e-6);
  EXPECT_NEAR(squared(1, 20), 0.866245, 1e-6);
  EXPECT_NEAR(squared(1.5, 25), 0.847389, 1e-6);
}

struct Case {
  SectionSize size, rate, rate2;
};
std::vector<Case> cases(const SectionType& type) {
  std::vector<Case> all;
  if (type.shape_is_length)
    all = {{{80, 60, 20}, {0.3, -0.2, 0.1}, {0.01, 0.02, -0.01}}, {{50, 50, 12}, {-0.4, 0.1, 0.2}, {0, 0.01, 0.03}}};
  else
    all = {{{80, 60, 2}, {0.3, -0.2, 0.03}, {0.01, 0.02, -0.01}},
           {{80, 60, 4.3}, {0.3, -0.2, 0.03}, {0.01, 0.02, -0.01}},
           {{50, 70, 1.6}, {-0.2, 0.1, 0.02}, {0, 0.01, 0.002}},
           {{60, 60, 14}, {0.2, 0.1, -0.1}, {0, 0, 0.01}}};
  const std::size_t plain = all.size();
  for (std::size_t i = 0; i < plain; ++i) {
    Case bowed = all[i];
    bowed.size.bow = 1.6, bowed.rate.bow = 0.02, bowed.rate2.bow = -0.003;
    if (bowed.size.shape == 2) bowed.size.shape = 2.3;  // the fade begins at the ellipse: one-sided there
    all.push_back(bowed);
  }
  if (type.depth_factor != 0)
    for (Case& c : all)
      for (SectionSize* z : {&c.size, &c.rate, &c.rate2})
        z->half_depth = z->shape + type.depth_factor * (z->half_width - z->shape);
  return all;
}
SectionSize moved(const Case& c, double t) {
  const auto at = [&](double v, double r, double q) { return v + t * r + 0.5 * t * t * q; };
  return {at(c.size.half_width, c.rate.half_width, c.rate2.half_width),
          at(c.size.half_depth, c.rate.half_depth, c.rate2.half_depth), at(c.size.shape, c.rate.shape, c.rate2.shape),
          at(c.size.bow, c.rate.bow, c.rate2.bow)};
}

TEST(SectionTable, JetsAreTheDerivativesOfThePoint) {
  for (const SectionType* type : section_types())
    for (const Case& c : cases(*type))
      for (int piece = 0; piece < type->pieces; ++piece)
        for (double v : {0.1, 0.37, 0.62, 0.9}) {
          const auto at = [&](double t, double w) { return type->point(moved(c, t), piece, v + w); };
          const SectionJet j = type->jet(c.size, c.rate, c.rate2, piece, v);
          const double h = 1e-4, k = 1e-4;
          const auto near = [&](Vec2 a, Vec2 b, double scale) {
            EXPECT_LT(norm(a - b), scale) << type->id << " " << v;
          };
          near(j.p, at(0, 0), 1e-12);
          const SectionPlace place = type->place(piece, v);
          const SectionJet slopes = type->slopes_at(c.size, c.rate, place);
          near(type->point_at(c.size, place), j.p, 1e-12);
          near(slopes.p, j.p, 1e-12);
          near(slopes.p_t, j.p_t, 1e-12);
          near(slopes.p_v, j.p_v, 1e-11);
          near(j.p_t, (at(h, 0) - at(-h, 0)) / (2 * h), 1e-6);
          near(j.p_v, (at(0, k) - at(0, -k)) / (2 * k), 1e-4 * (1 + norm(j.p_v)));
          near(j.p_tt, (at(h, 0) - 2 * at(0, 0) + at(-h, 0)) / (h * h), 1e-5);
          near(j.p_vv, (at(0, k) - 2 * at(0, 0) + at(0, -k)) / (k * k), 1e-3 * (1 + norm(j.p_vv)));
          near(j.p_tv, (at(h, k) - at(h, -k) - at(-h, k) + at(-h, -k)) / (4 * h * k), 1e-4 * (1 + norm(j.p_tv)));
        }
}

TEST(SectionTable, QuadrantRunsFromAxisToAxisAndEnclosesTheArea) {
  for (const SectionType* type : section_types())
    for (const Case& c : cases(*type)) {
      double twice = 0, length = 0;
      Vec2 last = type->point(c.size, 0, 0);
      EXPECT_EQ(last.y, 0);
      if (c.size.bow == 0) {
        EXPECT_LT(norm(last - Vec2{c.size.half_width, 0}), 1e-12) << type->id;
      }
      for (int piece = 0; piece < type->pieces; ++piece) {
        EXPECT_LT(norm(type->point(c.size, piece, 0) - last), 1e-12) << type->id;
        last = type->point(c.size, piece, 1);
        for (const GaussNode& g : type->rule(piece, 30)) {
          const SectionJet j = type->jet(c.size, {}, {}, piece, g.at);
          twice += g.weight * cross(j.p, j.p_v);
          length += g.weight * norm(j.p_v);
        }
      }
      EXPECT_LT(std::abs(last.x), 1e-12) << type->id;
      if (c.size.bow == 0) {
        EXPECT_LT(norm(last - Vec2{0, c.size.half_depth}), 1e-12) << type->id;
      }
      EXPECT_NEAR(2 * twice / type->area(c.size), 1, 1e-9) << type->id << " " << c.size.shape;
      EXPECT_NEAR(4 * length / type->perimeter(c.size), 1, 1e-9) << type->id << " " << c.size.shape;
    }
}

// Regular polygons: area N/2 tan... of textbooks for sharp arrises, and with a disc rolled around (Steiner 1840):
// area A0 + P0 r + pi r^2, perimeter P0 + 2 pi r with the inner polygon's A0 and P0.
TEST(Section, PolygonsAreRegularWithRoundArrises) {
  for (auto [id, n] :
       {std::pair{"hexagon", 6}, {"octagon", 8}, {"decagon", 10}, {"dodecagon", 12}, {"sixteen-sided", 16}}) {
    const SectionType& s = *find_section(id);
    const double t = std::tan(kPi / n);
    const auto size = [&](double a, double r) { return SectionSize{a, r + s.depth_factor * (a - r), r}; };
    EXPECT_NEAR(s.area(size(80, 0)) / (n * t * 6400), 1, 1e-14) << id;
    EXPECT_NEAR(s.perimeter(size(80, 0)) / (2 * n * t * 80), 1, 1e-14) << id;
    const double a0 = n * t * 70 * 70, p0 = 2 * n * t * 70;
    EXPECT_NEAR(s.area(size(80, 10)) / (a0 + p0 * 10 + kPi * 100), 1, 1e-14) << id;
    EXPECT_NEAR(s.perimeter(size(80, 10)) / (p0 + 2 * kPi * 10), 1, 1e-14) << id;
    EXPECT_NEAR(s.area(size(60, 60)) / (kPi * 3600), 1, 1e-14) << id;
    EXPECT_TRUE(s.is_round(size(60, 60)));
    // Every flat lies at the apothem: the support of the section in the direction of each normal, from all points.
    for (int k = 0; 4 * k <= n; ++k) {
      const Vec2 normal{std::cos(2 * kPi * k / n), std::sin(2 * kPi * k / n)};
      double most = 0;
      for (int piece = 0; piece < s.pieces; ++piece)
        for (double v : {0.0, 0.25, 0.5, 0.75, 1.0})
          most = std::max(most, dot(normal, s.point(size(80, 10), piece, v)));
      EXPECT_NEAR(most, 80, 1e-12) << id << " flat " << k;
    }
  }
}

// The crown: so much in the middle of a flat, nothing at its ends and no kink there; round sections have none.
TEST(SectionTable, BowCrownsTheFlatsAlone) {
  for (const SectionType* type : section_types())
    for (const Case& c : cases(*type)) {
      SectionSize plain = c.size;
      plain.bow = 0;
      if (c.size.bow == 0) continue;
      const double most = type->point(c.size, 0, 0).x - type->point(plain, 0, 0).x;
      EXPECT_LE(most, c.size.bow * type->flatness(c.size) + 1e-12) << type->id;
      EXPECT_GE(most, 0) << type->id;
      EXPECT_LT(norm(type->point(c.size, 0, 1) - type->point(plain, 0, 1)), 1e-12) << type->id;
      const Vec2 a = type->jet(c.size, {}, {}, 0, 1).p_v, b = type->jet(plain, {}, {}, 0, 1).p_v;
      EXPECT_LT(norm(a - b), 1e-12) << type->id;
      // Roark, both ends fixed, even load: a quarter of the span in, 9/16 of the sag.
      const double quarter = norm(type->point(c.size, 0, 0.5) - type->point(plain, 0, 0.5));
      EXPECT_NEAR(quarter, 0.5625 * most, 1e-12) << type->id;
    }
  const SectionType& s = superellipse();
  EXPECT_EQ(s.point({80, 60, 2, 3}, 0, 0).x, 80);
  EXPECT_EQ(rounded().flatness({60, 60, 60}), 0);
}

TEST(SectionTable, PlacesKeepTheChordsNear) {
  for (const SectionType* type : section_types())
    for (const Case& c : cases(*type))
      for (int piece = 0; piece < type->pieces; ++piece) {
        const std::vector<double> v = type->places(*type, {&c.size, 1}, piece, 0.05);
        EXPECT_EQ(v.front(), 0);
        EXPECT_EQ(v.back(), 1);
        for (std::size_t i = 1; i < v.size(); ++i) {
          const Vec2 a = type->point(c.size, piece, v[i - 1]), b = type->point(c.size, piece, v[i]);
          for (double f = 0.05; f < 1; f += 0.05) {
            const Vec2 p = type->point(c.size, piece, v[i - 1] + f * (v[i] - v[i - 1]));
            EXPECT_LT(std::abs(cross(b - a, p - a)) / norm(b - a), 0.0505) << type->id;
          }
        }
      }
}

}  // namespace
}  // namespace kerfkiln::urn
