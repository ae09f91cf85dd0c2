// The wall of an urn, mesh and volume, against OCCT's profile offset route; squared, twisted urns with their walls
// against OCCT's loft and mesh of the outside alone; meshes of 100 000 triangles against a copy of the same bytes;
// growth.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <numbers>

#include "modeler/urn/measure.hpp"
#include "modeler/urn/wall_round.hpp"
#include "modeler/urn/ware_mesh.hpp"
#include "urn_case.hpp"

namespace {

using namespace kerfkiln;
using namespace kerfkiln::urn;

// The B-spline as cubics by span: blossoms give the Bezier points, these the powers.
Form spline_urn() {
  const int spans = static_cast<int>(bench::kControl.size()) - 3;
  const auto knot = [&](int i) { return i < 4 ? 0.0 : i > spans + 3 ? 1.0 : static_cast<double>(i - 3) / spans; };
  std::vector<ProfileSpan> out;
  for (int k = 0; k < spans; ++k) {
    const auto blossom = [&](double a, double b, double c) {
      double r[4], z[4];
      for (int i = 0; i < 4; ++i)
        r[i] = bench::kControl[static_cast<std::size_t>(k + i)].first,
        z[i] = bench::kControl[static_cast<std::size_t>(k + i)].second;
      const double at[3] = {a, b, c};
      for (int level = 1; level <= 3; ++level)
        for (int i = 3; i >= level; --i) {
          const double lo = knot(k + i), hi = knot(k + i + 4 - level), f = (at[level - 1] - lo) / (hi - lo);
          r[i] += (1 - f) * (r[i - 1] - r[i]), z[i] += (1 - f) * (z[i - 1] - z[i]);
        }
      return std::pair{r[3], z[3]};
    };
    const double t0 = static_cast<double>(k) / spans, t1 = static_cast<double>(k + 1) / spans, h = t1 - t0;
    const auto p0 = blossom(t0, t0, t0), p1 = blossom(t0, t0, t1), p2 = blossom(t0, t1, t1), p3 = blossom(t1, t1, t1);
    const auto powers = [h](double a, double b, double c, double d) {
      return Cubic{a, 3 * (b - a) / h, 3 * (a - 2 * b + c) / (h * h), (d - 3 * c + 3 * b - a) / (h * h * h)};
    };
    ProfileSpan s;
    s.begin = t0, s.length = h;
    s.half_width = s.half_depth = powers(p0.first, p1.first, p2.first, p3.first);
    s.height = powers(p0.second, p1.second, p2.second, p3.second);
    s.shape = {2, 0, 0, 0};
    out.push_back(s);
  }
  return Form(*find_section("superellipse"), *Profile::of_spans(std::move(out)));
}

Spec squared_spec() {
  Spec s;
  for (auto [h, a, b, n] : {std::array{0.0, 62.0, 62.0, 2.0},
                            {90.0, 104.0, 90.0, 3.5},
                            {180.0, 122.0, 100.0, 5.0},
                            {250.0, 85.0, 72.0, 4.0},
                            {300.0, 62.0, 56.0, 3.0}}) {
    ProfilePoint p;
    p.height = h, p.half_width = a, p.half_depth = b, p.squareness = n;
    s.profile.push_back(p);
  }
  return s;
}
// Rounded rectangles with arrises sharper than the wall below the lip.
Spec box_spec() {
  Spec s;
  s.section = "rounded rectangle";
  for (auto [h, a, b, r] : {std::array{0.0, 62.0, 62.0, 55.0},
                            {90.0, 104.0, 90.0, 20.0},
                            {180.0, 122.0, 100.0, 5.0},
                            {250.0, 85.0, 72.0, 10.0},
                            {300.0, 62.0, 56.0, 20.0}}) {
    ProfilePoint p;
    p.height = h, p.half_width = a, p.half_depth = b, p.corner_radius = r;
    s.profile.push_back(p);
  }
  return s;
}
Form squared_urn() { return *Form::make(squared_spec()); }

Wall wall_of(const Form& f) { return *Wall::make(f, {bench::kWall, bench::kWall, 0, 0, BaseMade::solid}); }

// A deviation that gives about this many triangles: their count goes with its inverse.
double deviation_for(const Wall& w, double triangles) {
  solid::Mesh m;
  double d = 0.05;
  for (int i = 0; i < 6; ++i) {
    mesh_ware(w, d, m);
    d *= static_cast<double>(m.triangles.size()) / triangles;
  }
  return d;
}

void regenerate(benchmark::State& state, const Form& f) {
  const double d = deviation_for(wall_of(f), static_cast<double>(state.range(0)));
  const Wall w = wall_of(f);
  solid::Mesh m;
  for (auto _ : state) {
    mesh_ware(w, d, m);
    benchmark::DoNotOptimize(m.points.data());
  }
  state.counters["triangles"] = static_cast<double>(m.triangles.size());
  state.SetComplexityN(state.range(0));
}
void round_mesh(benchmark::State& state) { regenerate(state, spline_urn()); }
void squared_mesh(benchmark::State& state) { regenerate(state, squared_urn()); }
BENCHMARK(round_mesh)->Arg(25000)->Arg(100000)->Arg(400000)->Unit(benchmark::kMillisecond)->Complexity(benchmark::oN);
BENCHMARK(squared_mesh)->Arg(25000)->Arg(100000)->Arg(400000)->Unit(benchmark::kMillisecond)->Complexity(benchmark::oN);

void squared_measures(benchmark::State& state) {
  const Form f = squared_urn();
  for (auto _ : state) benchmark::DoNotOptimize(measure_ware(wall_of(f), 12).clay_volume);
}
BENCHMARK(squared_measures)->Unit(benchmark::kMillisecond);

double cpu_ms() {
  timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}
template <class F>
double median_ms(int runs, F&& f) {
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    const double start = cpu_ms();
    f();
    times.push_back(cpu_ms() - start);
  }
  std::sort(times.begin(), times.end());
  return times[times.size() / 2];
}

// Largest distance of edge and triangle middles from the exact surfaces, by the closest of outside, offset and flats.
double measured_deviation(const Form& f, const solid::Mesh& m) {
  const Profile& p = f.profile();
  const auto from = [&](double r, double z, double wall) {
    double best = INFINITY;
    for (int k = 0; k < static_cast<int>(p.spans().size()); ++k) {
      const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
      if (s.height[0] > z + 12 || value(s.height, s.length) < z - 12) continue;
      double t = s.begin + 0.5 * s.length;
      for (int i = 0; i < 12; ++i) {
        const OffsetPoint o = offset_point(p, k, t, wall);
        const double along = (r - o.at.x) * -o.normal.y + (z - o.at.y) * o.normal.x;
        t = std::clamp(t + along / (o.speed * o.stretch), s.begin, s.begin + s.length);
      }
      const OffsetPoint o = offset_point(p, k, t, wall);
      best = std::min(best, std::hypot(r - o.at.x, z - o.at.y));
    }
    return best;
  };
  double worst = 0;
  for (const auto& [a, b, c] : m.triangles) {
    const Vec3 p0 = m.points[a], p1 = m.points[b], p2 = m.points[c];
    for (const Vec3 x : {0.5 * (p0 + p1), 0.5 * (p1 + p2), 0.5 * (p2 + p0), (p0 + p1 + p2) / 3.0}) {
      const double r = std::hypot(x.x, x.y);
      const double flat = std::min({std::abs(x.z), std::abs(x.z - bench::kWall), std::abs(x.z - bench::kHeight)});
      worst = std::max(worst, std::min({flat, from(r, x.z, 0), from(r, x.z, bench::kWall)}));
    }
  }
  return worst;
}

void compare_with_occt() {
  const Form f = spline_urn();
  const Wall w = wall_of(f);
  const bench::PeerResult peer = bench::occt_urn(0.05, w.pieces().front().t0, w.pieces().back().t1, 3);
  solid::Mesh m;
  double clay = 0;
  const double ours = median_ms(201, [&] {
    const Wall fresh = wall_of(f);
    mesh_ware(fresh, 0.05, m);
    clay = measure_outside(f).volume - measure_inside(fresh, bench::kHeight).volume;
  });
  std::printf("\nurn wall, mesh at 0.05 mm + volume: ours %.4f ms, OCCT %.1f ms: %.0f x (wanted 1000)\n", ours,
              peer.milliseconds, peer.milliseconds / ours);
  std::printf("  triangles %zu, OCCT %zu (%.2f of them, wanted 0.5); deviation measured %.4f mm\n", m.triangles.size(),
              peer.triangles, static_cast<double>(m.triangles.size()) / static_cast<double>(peer.triangles),
              measured_deviation(f, m));
  std::printf("  volume error ours %.1e, OCCT %.1e (reference %.6f mm3; wanted 1e-9)\n", clay / bench::kClayVolume - 1,
              peer.volume / bench::kClayVolume - 1, bench::kClayVolume);
}

Spec with_twist(Spec s, double degrees) {
  s.profile.front().twist = 0.0;
  s.profile.back().twist = degrees * std::numbers::pi / 180;
  return s;
}

// `stations` level rings of the outside, `places` points each, dealt out evenly over pieces and stretches of profile.
bench::Rings rings_of(const Form& f, int stations, int places) {
  bench::Rings out;
  const Profile& p = f.profile();
  const int pieces = f.section().pieces, each = std::max(1, places / (4 * pieces));
  for (int i = 0; i < stations; ++i) {
    const double t = p.begin() + (p.end() - p.begin()) * i / (stations - 1);
    std::vector<Vec3> ring;
    for (int q = 0; q < 4 * pieces; ++q)
      for (int j = 0; j < each; ++j) {
        // A form without twist knows one quadrant; the others are its images.
        const int quadrant = q / pieces;
        const double v = static_cast<double>(j) / each;
        if (f.twisted()) {
          ring.push_back(f.point(t, q, v));
          continue;
        }
        const bool back = quadrant % 2 == 1;
        Vec3 x = f.point(t, back ? pieces - 1 - q % pieces : q % pieces, back ? 1 - v : v);
        if (quadrant == 1 || quadrant == 2) x.x = -x.x;
        if (quadrant >= 2) x.y = -x.y;
        ring.push_back(x);
      }
    out.push_back(std::move(ring));
  }
  return out;
}

// Enough sections and points that OCCT's loft is about as near to the form as its mesh is to the loft; more cost it
// more time.
void compare_with_loft(const char* name, const Spec& spec, int stations, int places, double wanted) {
  const Form f = *Form::make(spec);
  solid::Mesh m;
  bool trimmed = false;
  const double ours = median_ms(21, [&] {
    const Form fresh = *Form::make(spec);
    const Wall w = wall_of(fresh);
    mesh_ware(w, 0.05, m);
    trimmed = w.trimmed();
  });
  std::vector<Vec3> side;
  const bench::PeerResult peer = bench::occt_loft(rings_of(f, stations, places), 0.05, 1, &side);
  double off = 0;
  for (const Vec3 p : side) {
    const double r = std::hypot(p.x, p.y);
    off = std::max(off, std::abs(r - f.outer_reach({p.x / r, p.y / r}, p.z)));
  }
  std::printf(
      "%s, mesh at 0.05 mm: ours with its wall, %s, %.2f ms; OCCT's loft of %d sections of %d points + mesh, "
      "outside alone, %.0f ms: %.0f x (wanted %.0f)\n",
      name, trimmed ? "trimmed" : "untrimmed", ours, stations, places, peer.milliseconds, peer.milliseconds / ours,
      wanted);
  std::printf("  triangles %zu, OCCT %zu; its loft up to %.4f mm from the form, volume off by %.1e\n",
              m.triangles.size(), peer.triangles, off, peer.volume / measure_outside(f).volume - 1);
}

void compare_with_copy(const char* name, const Form& f, double wanted) {
  const Wall w = wall_of(f);
  const double d = deviation_for(w, 100000);
  solid::Mesh m;
  const double ours = median_ms(101, [&] { mesh_ware(w, d, m); });
  const std::size_t bytes = m.points.size() * sizeof(Vec3) + m.triangles.size() * sizeof(solid::Triangle);
  std::vector<char> from(bytes, 1), to(bytes, 2);
  const double copy = median_ms(301, [&] {
    std::memcpy(to.data(), from.data(), bytes);
    benchmark::DoNotOptimize(to.data());
  });
  std::printf("%s urn, %zu triangles regenerated: %.3f ms, copy of its %.2f MB %.3f ms: %.1f x (wanted at most %.0f)\n",
              name, m.triangles.size(), ours, static_cast<double>(bytes) * 1e-6, copy, ours / copy, wanted);
}

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  benchmark::RunSpecifiedBenchmarks();
  compare_with_occt();
  compare_with_loft("squared, twisted urn", with_twist(squared_spec(), 40), 33, 48, 100);
  compare_with_loft("boxed, twisted urn", with_twist(box_spec(), 60), 33, 96, 10);
  compare_with_copy("round", spline_urn(), 4);
  compare_with_copy("squared", squared_urn(), 40);
}
