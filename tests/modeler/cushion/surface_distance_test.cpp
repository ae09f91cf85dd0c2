// Distances to risen sheets against the nearest of many points of the sheet itself, closed in on: they may be told
// larger than they are, never smaller than what the sheet's own points say.
#include "modeler/cushion/surface_distance.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/cushion/membrane.hpp"
#include "tests/modeler/cushion/form_samples.hpp"

namespace kerfkiln::cushion::test {
namespace {

struct Place {
  Vec2 p;
  double z;
};

// Of the sheet and its side face, no farther off in plan than `reach`.
double nearest_by_search(const Form& form, Sheet sheet, Place x, double reach) {
  const Boundary& boundary = form.field(sheet).boundary();
  const auto away = [&](Vec2 q) {
    if (!plane::contains(form.outline(), q)) {
      const Boundary::Near side = boundary.nearest(q);
      const Element& e = boundary.elements()[static_cast<std::size_t>(side.element)];
      q = e.point(e.foot(q));
    }
    const double z = sheet == Sheet::top ? form.z_top(q) : form.z_bottom(q);
    double up = x.z - z;
    // The side face runs on from the sheet's own edge into the foam.
    if (boundary.nearest(q).distance < 1e-7 && (sheet == Sheet::top ? up < 0 : up > 0)) up = 0;
    return std::hypot(norm(q - x.p), up);
  };
  Vec2 best = x.p;
  double least = away(best);
  constexpr int kRounds = 24, kRings = 12;
  for (int ring = 1; ring <= kRings; ++ring)
    for (int k = 0; k < kRounds; ++k) {
      const double angle = 2 * std::numbers::pi * k / kRounds;
      const Vec2 q = x.p + reach * ring / kRings * Vec2{std::cos(angle), std::sin(angle)};
      if (const double d = away(q); d < least) least = d, best = q;
    }
  for (double step = reach / kRings; step > 1e-5 * reach;) {
    bool closer = false;
    for (int k = 0; k < 8; ++k) {
      const double angle = std::numbers::pi / 4 * k;
      const Vec2 q = best + step * Vec2{std::cos(angle), std::sin(angle)};
      if (const double d = away(q); d < least) least = d, best = q, closer = true;
    }
    if (!closer) step /= 2;
  }
  return least;
}

TEST(SurfaceDistance, NeverTooSmallOnRisenForms) {
  int looked = 0, closer_than_upright = 0;
  for (std::uint64_t seed = 501; looked < 3000; ++seed) {
    const RandomForm f = random_form(seed);
    Dice dice(seed);
    const plane::Box box = plane::bounds(f.outline);
    const HeightPoint depth[] = {{0.2 * box.depth(), dice.between(-8, 15)}, {0.7 * box.depth(), dice.between(-8, 15)}};
    const HeightPoint width[] = {{0, dice.between(0, 20)}, {0.4 * box.width(), 0}, {box.width(), dice.between(0, 10)}};
    Rise rise = Rise::across_width(HeightCurve(width, 0, box.width()));
    if (dice.below(2) == 0) rise = rise + Rise::along_depth(HeightCurve(depth, 0, box.depth()));
    if (dice.below(2) == 0) rise = rise + Rise::crown(Membrane::over(f.outline.outer), dice.between(2, 15));
    const Result<Form> form = Form::make(f.outline, f.height, f.top, f.bottom, rise);
    if (!form) continue;
    const DropField& field = form->field(Sheet::top);
    const std::span<const Element> elements = field.boundary().elements();
    for (int i = 0; i < 20; ++i) {
      const Element& e = elements[static_cast<std::size_t>(dice.below(static_cast<int>(elements.size())))];
      const double u = dice.between(0, 1);
      const Vec2 p = e.point(u) + dice.between(0.01, 1.1) * (field.inset_max() + 0.1) * e.inward(u);
      if (!plane::contains(form->outline(), p)) continue;
      const DropField::Hit hit = field.strongest(p);
      const double upright = std::exp(dice.between(std::log(0.003), std::log(0.6)));
      const double z = form->z_top(p) + (dice.below(2) == 0 ? upright : -upright);
      const double told = distance_to_sheet(*form, Sheet::top, p, z, 0, hit);
      EXPECT_LE(told, upright * (1 + 1e-12) + 1e-12);
      const double found = nearest_by_search(*form, Sheet::top, {p, z}, told);
      // Along a blend the distance goes by the slope at p; elsewhere by the profile's curve.
      const bool blended = hit.element >= 0 && field.blended(hit.element);
      EXPECT_LE(found, told * (1 + (blended ? 0.04 : 2e-3)) + 1e-7)
          << "seed " << seed << " at " << p.x << " " << p.y << " z " << z << " upright " << upright;
      ++looked;
      closer_than_upright += told < 0.99 * upright;
    }
  }
  EXPECT_GT(closer_than_upright, looked / 10);
}

}  // namespace
}  // namespace kerfkiln::cushion::test
