// Trimmed insides: their volume falls with the wall as fast as their area is large, and is that of the reaches on a
// plain grid. Forms with sharp arrises, ledges and turning corners, where branches of the inside begin, end and cross.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "modeler/urn/inner_integral.hpp"
#include "shapes.hpp"

namespace kerfkiln::urn {
namespace {

using test::kPi, test::squared, test::twisted;

struct Example {
  const char* name;
  Form form;
  double wall;
};
std::vector<Example> examples() {
  using test::form_of, test::polygon;
  // The arrises pass from rounder than the wall to sharper and back; a flare almost level; one under a shoulder almost
  // level; arrises sharpened to nothing on a form that turns and flares.
  const Spec boxed = squared("rounded rectangle", {{0, 54, 50, 20},
                                                   {54, 79, 72, 6},
                                                   {126, 88, 79, 4},
                                                   {178, 74, 67, 6},
                                                   {206, 46, 44.5, 35, true},
                                                   {230, 43, 43, 43, true}});
  const Spec flared = squared("rounded rectangle", {{0, 70, 64, 30},
                                                    {80, 62, 57, 25},
                                                    {150, 63, 58, 13},
                                                    {210, 104, 96, 38, true},
                                                    {212.5, 144, 132, 62, true},
                                                    {270, 190, 175, 78}});
  const Spec shouldered = polygon(
      "octagon",
      {{0, 70, 0, 24}, {67, 108, 0, 50, true}, {116, 91, 0, 11, true}, {116.2, 69, 0, 9, true}, {160, 52, 0, 4.5}});
  const Spec sharp = squared("rounded rectangle", {{0, 42, 50, 19}, {55, 80, 94, 0}, {115, 117, 137, 39}});
  return {{"boxed", form_of(boxed), 6},
          {"flared", form_of(flared), 7},
          {"shouldered", form_of(shouldered), 7.5},
          {"sharp 20", form_of(twisted(sharp, 20)), 13},
          {"boxed 40", form_of(twisted(boxed, 40)), 6}};
}
Wall wall_of(const Example& e, double wall) { return test::made(Wall::make(e.form, {wall, 9, 0, 0, BaseMade::solid})); }

// The coarea formula (Federer): the points at least w away shrink by their surface times dw, as the wall grows by dw.
TEST(Inside, VolumeFallsWithTheWallByTheArea) {
  for (const Example& e : examples()) {
    const auto at = [&](double wall) {
      const Wall w = wall_of(e, wall);
      EXPECT_TRUE(w.trimmed()) << e.name;
      return integrate_inside(w, w.floor(), w.lip());
    };
    const double step = 0.003 * e.wall;
    const InnerSums thin = at(e.wall - step), here = at(e.wall), thick = at(e.wall + step);
    EXPECT_LT(here.error, 1e-6 * here.volume) << e.name;
    const double area = (thin.volume - thick.volume) / (2 * step);
    EXPECT_NEAR(here.area / area, 1, 2e-3) << e.name;
  }
}

// Midpoints of a grid of directions and heights, off by the square of its steps where the inside is kinked; near a
// level ledge rows twenty times as close.
TEST(Inside, VolumesAreThoseOfThePlainSum) {
  for (const Example& e : examples()) {
    const Wall w = wall_of(e, e.wall);
    const bool turned = e.form.twisted();
    const int turns = turned ? 240 : 120;
    const double sector = turned ? kPi : kPi / 2;
    const auto section = [&](double z) {
      double sum = 0;
      for (int i = 0; i < turns; ++i) {
        const double r = w.inner_reach(sector * (i + 0.5) / turns, z);
        sum += 0.5 * r * r;
      }
      return 2 * kPi / turns * sum;  // all sectors alike
    };
    double sum = 0;
    const double low = w.floor(), high = w.lip();
    double from = low;
    const auto rows = [&](double to, int n) {
      for (int i = 0; i < n && to > from; ++i) sum += (to - from) / n * section(from + (to - from) * (i + 0.5) / n);
      from = std::max(from, to);
    };
    for (const ProfileSpan& s : e.form.profile().spans()) {
      const double z = s.height[0], rise = value(s.height, s.length) - z;
      if (!(rise < 4)) continue;
      rows(z - e.wall - 3, 250);
      rows(z + e.wall + 3, 1200);
    }
    rows(high, 400);
    const double exact = integrate_inside(w, low, high).volume;
    EXPECT_NEAR(exact / sum, 1, 2e-5) << e.name;
  }
}

}  // namespace
}  // namespace kerfkiln::urn
