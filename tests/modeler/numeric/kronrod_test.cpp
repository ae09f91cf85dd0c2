// Against the integrals of powers, which a rule of 7 (15) points has exactly up to degree 11 (23), and the error of its
// Gauss rule, exact up to degree 5 (13).
#include "modeler/numeric/kronrod.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace kerfkiln;

struct Sums {
  double kronrod = 0, gauss = 0;
};
template <class F>
Sums sums(int points, F&& f) {
  Sums s;
  for (const KronrodNode& n : kronrod_rule(points)) s.kronrod += n.weight * f(n.at), s.gauss += n.gauss * f(n.at);
  return s;
}

TEST(Kronrod, IsExactForPowers) {
  for (const int points : {7, 15}) {
    const int exact = points == 7 ? 11 : 23, gauss = points == 7 ? 5 : 13;
    for (int degree = 0; degree <= exact + 1; ++degree) {
      const Sums s = sums(points, [&](double x) { return std::pow(x, degree); });
      const double whole = 1.0 / (degree + 1);
      if (degree <= exact) {
        EXPECT_NEAR(s.kronrod / whole, 1, 1e-14) << points << " " << degree;
      } else if (points == 7) {  // of 15 the next is off by less than rounding shows
        EXPECT_GT(std::abs(s.kronrod / whole - 1), 1e-14) << points << " " << degree;
      }
      if (degree <= gauss) {
        EXPECT_NEAR(s.gauss / whole, 1, 1e-14) << points << " " << degree;
      } else {
        EXPECT_GT(std::abs(s.gauss / whole - 1), 1e-9) << points << " " << degree;
      }
    }
  }
}

// What it says of its error is true, and not far too much.
TEST(Kronrod, ErrorsAreAsEstimated) {
  const double whole = std::atan(20.0) / 20;
  const auto f = [](double x) { return 1 / (1 + 400 * x * x); };
  for (const int points : {7, 15}) {
    const Sums s = sums(points, f);
    double variation = 0;
    for (const KronrodNode& n : kronrod_rule(points)) variation += n.weight * std::abs(f(n.at) - s.kronrod);
    const double error = std::abs(s.kronrod - whole), told = kronrod_error(s.kronrod - s.gauss, variation);
    EXPECT_LT(error, told) << points;
    EXPECT_LE(told, std::abs(s.kronrod - s.gauss)) << points;
  }
  EXPECT_EQ(kronrod_error(0, 1), 0);
  EXPECT_EQ(kronrod_error(-1e-3, 0), 1e-3);
}

}  // namespace
