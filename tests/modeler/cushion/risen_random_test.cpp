// Properties over seeded risen forms, each of them on every form: closed solids, layers that fill the core, the
// deviation kept, the mesh's volume tending to the quadrature's.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>

#include "modeler/cushion/membrane.hpp"
#include "modeler/cushion/relief.hpp"
#include "modeler/cushion/volume.hpp"
#include "modeler/solid/solid.hpp"
#include "tests/modeler/cushion/form_samples.hpp"

namespace kerfkiln::cushion::test {
namespace {

HeightCurve random_curve(Dice& dice, double length, double height) {
  std::vector<HeightPoint> points;
  const int n = 2 + dice.below(3);
  for (int i = 0; i < n; ++i) {
    const double at = length * (i + dice.between(0.1, 0.9)) / n;
    points.push_back({dice.below(4) == 0 && i == 0 ? 0.0 : at, dice.between(-0.15, 0.3) * height});
  }
  return {points, 0, length};
}

struct Rises {
  Rise top, bottom;
};
Rises random_rises(Dice& dice, const RandomForm& f) {
  const plane::Box box = plane::bounds(f.outline);
  Rises r;
  const int kind = dice.below(7) + 1;
  if (kind & 1) r.top = r.top + Rise::crown(Membrane::over(f.outline.outer), dice.between(2, 0.3 * f.height));
  if (kind & 2) r.top = r.top + Rise::along_depth(random_curve(dice, box.depth(), f.height));
  if (kind & 4) r.top = r.top + Rise::across_width(random_curve(dice, box.width(), f.height));
  if (dice.below(3) == 0) r.bottom = Rise::crown(Membrane::over(f.outline.outer), dice.between(2, 0.2 * f.height));
  return r;
}

void expect_solid(const solid::Mesh& mesh, int parts, const std::string& what) {
  const Result<solid::Solid> s = solid::Solid::checked(mesh, {parts, true});
  if (s) return;
  for (const Finding& f : s.findings()) ADD_FAILURE() << what << ": " << f.code << ": " << f.message;
}

TEST(RisenRandom, SolidsAreValidLayersFillTheCoreVolumesConverge) {
  const char* from = std::getenv("KERFKILN_SEED");
  const char* many = std::getenv("KERFKILN_COUNT");
  std::uint64_t seed = from ? std::strtoull(from, nullptr, 10) : KERFKILN_FIRST_SEED;
  const int count = many ? std::atoi(many) : KERFKILN_FORMS;
  int made = 0, refused = 0;
  double coarse = 0, fine = 0;
  for (; made < count; ++seed) {
    RandomForm f = random_form(seed);
    Dice dice(seed * 77 + 5);
    const Rises rises = random_rises(dice, f);
    const Result<Form> form = Form::make(f.outline, f.height, f.top, f.bottom, rises.top, rises.bottom);
    if (!form) {
      ++refused;
      ASSERT_LT(refused, 20 * count);
      continue;
    }
    ++made;
    const std::string what = "seed " + std::to_string(seed);
    const Volumes exact = volumes(*form, f.levels, {.relative_error = 1e-6});
    double layers = 0;
    for (double v : exact.layers) layers += v;
    EXPECT_NEAR(layers, exact.core, 1e-11 * exact.core) << what;
    for (const double deviation : {3.0, 1.0}) {
      const Result<Relief> r = relief(*form, f.levels, deviation);
      ASSERT_TRUE(r) << what << ": " << r.findings()[0].message;
      EXPECT_LE(measured_deviation(*form, *r), deviation) << what;
      const solid::Mesh whole = core(*r);
      const double volume = solid::volume(whole), area = solid::area(whole);
      const double miss = std::max(0.0, std::abs(volume - exact.core) - exact.error) / area;
      EXPECT_LE(miss, deviation) << what;
      (deviation == 3.0 ? coarse : fine) += miss;
      double sum = 0;
      if (deviation < 2) expect_solid(whole, 1, what + " core");
      for (std::size_t i = 0; i + 1 < f.levels.size(); ++i) {
        const std::size_t parts = components(*r, i);
        if (parts == 0) continue;
        const solid::Mesh mesh = layer(*r, i);
        if (deviation < 2) expect_solid(mesh, static_cast<int>(parts), what + " layer " + std::to_string(i));
        const double part = solid::volume(mesh);
        EXPECT_NEAR(part, exact.layers[i], area * deviation + exact.error) << what << " layer " << i;
        sum += part;
      }
      EXPECT_NEAR(sum, volume, 1e-11 * volume) << what;
    }
    if (HasFailure()) std::printf("failed at seed %llu\n", static_cast<unsigned long long>(seed));
  }
  EXPECT_LT(fine, 0.5 * coarse);
  std::printf("%d forms, %d refused; mean volume error over area %.4f mm at 3 mm, %.4f mm at 1 mm\n", made, refused,
              coarse / made, fine / made);
}

}  // namespace
}  // namespace kerfkiln::cushion::test
