// G05: the double crown z = h (1 - (2x/a)^2)(1 - (2y/b)^2) over 500 x 450, h 25, meshed here and measured by our mesh
// measures: volume 4/9 h a b, area + 0.790 % over the rectangle, curvature at the centre 64 h^2 / (a^2 b^2) by the
// angle defect of the mesh (discrete Gauss-Bonnet).
#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <numbers>

#include "modeler/solid/mesh.hpp"

using namespace kerfkiln;

namespace {

constexpr double kA = 500, kB = 450, kH = 25;

double height(double x, double y) {
  const double u = 2 * x / kA, v = 2 * y / kB;
  return kH * (1 - u * u) * (1 - v * v);
}

// n x n squares of two triangles each; closed below by the flat rectangle when `closed`.
solid::Mesh crown(int n, bool closed) {
  solid::Mesh m;
  for (int sheet = 0; sheet < (closed ? 2 : 1); ++sheet)
    for (int j = 0; j <= n; ++j)
      for (int i = 0; i <= n; ++i) {
        const double x = kA * (static_cast<double>(i) / n - 0.5), y = kB * (static_cast<double>(j) / n - 0.5);
        m.points.push_back({x, y, sheet == 0 ? height(x, y) : 0});
      }
  const auto id = [n](int sheet, int i, int j) {
    return static_cast<std::uint32_t>((sheet * (n + 1) + j) * (n + 1) + i);
  };
  for (int sheet = 0; sheet < (closed ? 2 : 1); ++sheet)
    for (int j = 0; j < n; ++j)
      for (int i = 0; i < n; ++i) {
        const std::uint32_t a = id(sheet, i, j), b = id(sheet, i + 1, j), c = id(sheet, i + 1, j + 1),
                            d = id(sheet, i, j + 1);
        if (sheet == 0) {
          m.triangles.push_back({a, b, c});
          m.triangles.push_back({a, c, d});
        } else {
          m.triangles.push_back({a, c, b});
          m.triangles.push_back({a, d, c});
        }
      }
  return m;
}

TEST(DoubleCrown, VolumeG05) {
  // The rim has height zero, so the two sheets enclose the crown without walls.
  const double exact = 4.0 / 9 * kH * kA * kB;
  EXPECT_NEAR(exact * 1e-6, 2.50, 0.005);
  const double coarse = std::abs(solid::volume(crown(100, true)) - exact),
               fine = std::abs(solid::volume(crown(200, true)) - exact);
  EXPECT_LT(fine / exact, 1e-4);
  EXPECT_NEAR(coarse / fine, 4, 0.1);  // second order in the step
}

TEST(DoubleCrown, AreaG05) { EXPECT_NEAR((solid::area(crown(200, false)) / (kA * kB) - 1) * 100, 0.790, 0.001); }

TEST(DoubleCrown, CurvatureAtTheCentreG05) {
  const int n = 200;
  const solid::Mesh m = crown(n, false);
  const std::uint32_t centre = (n / 2) * (n + 1) + n / 2;
  double angle = 0, shared = 0;
  for (const solid::Triangle& t : m.triangles)
    for (std::size_t k = 0; k < 3; ++k) {
      if (t[k] != centre) continue;
      const Vec3 u = m.points[t[(k + 1) % 3]] - m.points[centre], v = m.points[t[(k + 2) % 3]] - m.points[centre];
      angle += std::atan2(norm(cross(u, v)), dot(u, v));
      shared += norm(cross(u, v)) / 6;
    }
  EXPECT_NEAR((2 * std::numbers::pi - angle) / shared, 64 * kH * kH / (kA * kA * kB * kB), 1e-3 * 7.901e-7);
  EXPECT_NEAR(64 * kH * kH / (kA * kA * kB * kB), 7.901e-7, 1e-10);
}

}  // namespace
