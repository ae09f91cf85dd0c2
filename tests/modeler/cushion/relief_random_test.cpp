// Properties over seeded random forms, each of them on every form: solids closed, oriented and free of crossings,
// layers fill the core, the mesh within the deviation asked, its volume tending to the quadratures'.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>

#include "modeler/cushion/relief.hpp"
#include "modeler/cushion/volume.hpp"
#include "modeler/solid/solid.hpp"
#include "tests/modeler/cushion/form_samples.hpp"

namespace kerfkiln::cushion::test {
namespace {

// The forms are shared out over programs, so that they run side by side.
constexpr int kForms = KERFKILN_FORMS, kFirstSeed = KERFKILN_FIRST_SEED;
constexpr double kCoarse = 1.6, kFine = 0.4;

void expect_solid(const solid::Mesh& mesh, int parts, const std::string& what) {
  const Result<solid::Solid> s = solid::Solid::checked(mesh, {parts, true});
  if (s) return;
  for (const Finding& f : s.findings()) ADD_FAILURE() << what << ": " << f.code << ": " << f.message;
}

// Where chords may leave the form: the sheets within the edges' reach and the side faces; flats are exact.
double approximated_area(const Relief& r, const solid::Mesh& whole, double height) {
  double area = solid::area(whole);
  for (const solid::Triangle& t : r.triangles) {
    const double plan = cross(r.plan[t[1]] - r.plan[t[0]], r.plan[t[2]] - r.plan[t[0]]) / 2;
    if (std::min({r.top[t[0]], r.top[t[1]], r.top[t[2]]}) >= height) area -= plan;
    if (std::max({r.bottom[t[0]], r.bottom[t[1]], r.bottom[t[2]]}) <= 0) area -= plan;
  }
  return area;
}

struct Tally {
  double coarse = 0, fine = 0;  // sums of |volume error| / approximated area, mm
  double worst_coarse = 0, worst_fine = 0;
};

void check(const Form& form, const std::vector<double>& levels, const std::string& what, Tally& tally) {
  const Volumes exact = volumes(form, levels);
  double layers = 0;
  for (double v : exact.layers) layers += v;
  EXPECT_NEAR(layers, exact.core, 1e-12 * exact.core) << what;
  for (const double deviation : {kCoarse, kFine}) {
    const Result<Relief> r = relief(form, levels, deviation);
    ASSERT_TRUE(r) << what << ": " << r.findings()[0].message;
    EXPECT_LE(measured_deviation(form, *r), deviation) << what;
    const solid::Mesh whole = core(*r);
    const double volume = solid::volume(whole), area = approximated_area(*r, whole, levels.back());
    const double miss = std::max(0.0, std::abs(volume - exact.core) - exact.error) / area;
    EXPECT_LE(miss, deviation) << what;
    (deviation == kCoarse ? tally.coarse : tally.fine) += miss;
    double& worst = deviation == kCoarse ? tally.worst_coarse : tally.worst_fine;
    worst = std::max(worst, miss);
    if (deviation == kFine) expect_solid(whole, 1, what + " core");
    double sum = 0;
    for (std::size_t i = 0; i + 1 < levels.size(); ++i) {
      const std::size_t parts = components(*r, i);
      if (parts == 0) {
        EXPECT_NEAR(exact.layers[i], 0, area * deviation + exact.error) << what;
        continue;
      }
      const solid::Mesh mesh = layer(*r, i);
      if (deviation == kFine) expect_solid(mesh, static_cast<int>(parts), what + " layer " + std::to_string(i));
      const double part = solid::volume(mesh);
      EXPECT_NEAR(part, exact.layers[i], area * deviation + exact.error) << what << " layer " << i;
      sum += part;
    }
    EXPECT_NEAR(sum, volume, 1e-12 * volume) << what;
  }
}

TEST(ReliefRandom, SolidsAreValidLayersFillTheCoreVolumesConverge) {
  // KERFKILN_SEED starts elsewhere, KERFKILN_COUNT takes another number of forms.
  const char* from = std::getenv("KERFKILN_SEED");
  const char* many = std::getenv("KERFKILN_COUNT");
  std::uint64_t seed = from ? std::strtoull(from, nullptr, 10) : kFirstSeed;
  const int count = many ? std::atoi(many) : kForms;
  Tally tally;
  for (int forms = 0; forms < count && !HasFailure(); ++seed) {
    const RandomForm f = random_form(seed);
    const Result<Form> form = Form::make(f.outline, f.height, f.top, f.bottom);
    if (!form) continue;  // bullnoses and large drops of neighbours do not always fit
    ++forms;
    check(*form, f.levels, "seed " + std::to_string(seed), tally);
  }
  // First order. Of a single form errors of opposite sign may cancel at either deviation; so each is held below a share
  // of the deviation that is the same for both, and the mean over all forms falls with the deviation, but for the
  // little that whole numbers of chords give a coarse mesh for nothing (measured: order 0.89 from 2 to 0.5 mm, 0.94
  // from 0.5 to 0.125 mm).
  EXPECT_GT(tally.coarse, 0);
  EXPECT_LE(tally.fine, 1.2 * kFine / kCoarse * tally.coarse);
  RecordProperty("mean_error_over_area_at_coarse_um", std::to_string(1e3 * tally.coarse / count));
  RecordProperty("mean_error_over_area_at_fine_um", std::to_string(1e3 * tally.fine / count));
}

}  // namespace
}  // namespace kerfkiln::cushion::test
