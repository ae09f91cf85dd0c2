#include <algorithm>
#include <boost/math/special_functions/ellint_2.hpp>
#include <cmath>
#include <limits>
#include <numbers>

#include "modeler/cushion/edge/curves.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kQuarterTurn = std::numbers::pi / 2;

// With phi the angle from the side face: d = a (1 - cos phi), drop = b (1 - sin phi).
class QuarterEllipse final : public DropCurve {
 public:
  QuarterEllipse(double a, double b) : a_(a), b_(b) {}
  std::string_view shape() const override { return "quarter ellipse"; }
  DropFamily family() const override { return DropFamily::quarter_ellipse; }

  double drop(double d) const override { return b_ * one_minus_root(d / a_); }
  double inset(double t) const override { return a_ * one_minus_root(t / b_); }
  double slope(double d) const override {
    const double x = d / a_;
    if (x <= 0) return -std::numeric_limits<double>::infinity();
    return x >= 1 ? 0.0 : -b_ / a_ * (1 - x) / std::sqrt(x * (2 - x));
  }
  Moments moments(double d) const override {
    const double phi = angle(d), s = std::sin(phi), c = std::cos(phi);
    const double versine = 2 * std::sin(phi / 2) * std::sin(phi / 2);  // 1 - cos
    const double i_s2 = phi / 2 - s * c / 2;                           // integral of sin^2
    const double i_c2s = (1 - c * c * c) / 3;                          // of cos^2 sin
    const double i_s3 = versine - i_c2s;                               // of sin^3
    const double i_s2c2 = phi / 8 - std::sin(4 * phi) / 32;            // of sin^2 cos^2
    const double s2 = s * s, s3 = s2 * s;
    const double s0 = versine - 2 * i_s2 + i_s3;
    Moments m;
    m.m0 = a_ * b_ * (versine - i_s2);
    m.m1 = a_ * a_ * b_ * (versine - i_s2 - s2 / 2 + s3 / 3);
    m.m2 = a_ * a_ * a_ * b_ * (versine - s2 + i_c2s - i_s2 + 2 * s3 / 3 - i_s2c2);
    m.s0 = a_ * b_ * b_ * s0;
    m.s1 = a_ * a_ * b_ * b_ * (s0 - (s2 / 2 - 2 * s3 / 3 + s2 * s2 / 4));
    return m;
  }
  Vec2 point(double u) const override {
    if (u <= 0) return {0, b_};
    if (u >= 1) return {a_, 0};
    // Versines of the angle and of its complement: exact near both ends.
    const double h = std::sin(u * kQuarterTurn / 2), k = std::sin((1 - u) * kQuarterTurn / 2);
    return {2 * a_ * h * h, 2 * b_ * k * k};
  }
  double parameter(double d) const override { return angle(d) / kQuarterTurn; }
  double length() const override {
    const double big = std::max(a_, b_), small = std::min(a_, b_), q = small / big;
    return big * boost::math::ellint_2(std::sqrt((1 - q) * (1 + q)));
  }
  double distance(Vec2 p) const override {
    const double x = a_ - p.x, y = b_ - p.y;  // from the centre, towards the curve
    if (x <= 0 || y <= 0) return std::min(norm(p - Vec2{0, b_}), norm(p - Vec2{a_, 0}));
    if (a_ == b_) return std::abs(std::hypot(x, y) - a_);
    return to_ellipse(x, y);
  }
  int pieces(double deviation) const override {
    // A piece of angle w lies within max(a, b) (1 - cos(w / 2)) of its chord.
    const double half = std::acos(std::max(0.0, 1 - deviation / std::max(a_, b_)));
    return std::max(1, static_cast<int>(std::ceil(kQuarterTurn / (2 * half) - 1e-9)));
  }
  plane::Loop path(double deviation) const override;

 private:
  // 1 - sqrt(x (2 - x)) without cancellation.
  static double one_minus_root(double x) {
    const double v = 1 - x;
    return v * v / (1 + std::sqrt(std::max(0.0, x * (2 - x))));
  }
  double angle(double d) const {
    const double x = d / a_;
    return x <= 0 ? 0.0 : x >= 1 ? kQuarterTurn : 2 * std::asin(std::sqrt(x / 2));
  }
  // The foot (a cos w, b sin w) of a point of the open quadrant makes g(w) = 0 below; g changes sign once in 0 ... 90
  // degrees, so bisection guards Newton's steps.
  double to_ellipse(double x, double y) const {
    double low = 0, high = kQuarterTurn, w = std::atan2(y / b_, x / a_);
    for (int i = 0; i < 60; ++i) {
      const double c = std::cos(w), s = std::sin(w);
      const double g = (b_ * b_ - a_ * a_) * s * c + a_ * x * s - b_ * y * c;
      (g > 0 ? high : low) = w;
      const double slope = (b_ * b_ - a_ * a_) * (c * c - s * s) + a_ * x * c + b_ * y * s;
      double next = slope != 0 ? w - g / slope : low;
      if (!(next > low && next < high)) next = (low + high) / 2;
      if (std::abs(next - w) < 1e-13) break;
      w = next;
    }
    return std::hypot(x - a_ * std::cos(w), y - b_ * std::sin(w));
  }
  double a_, b_;
};

double bulge_through(Vec2 a, Vec2 m, Vec2 b) {
  // The chord is seen from m under 180 degrees less half the sweep.
  const double turn = std::atan2(cross(m - a, b - m), dot(m - a, b - m));
  return std::tan(turn / 2);
}

plane::Loop QuarterEllipse::path(double deviation) const {
  if (a_ == b_) return {{{0, b_}, std::tan(std::numbers::pi / 8), 0}, {{a_, 0}, 0, 0}};
  for (int n = 2;; n *= 2) {
    plane::Loop loop;
    double worst = 0;
    for (int i = 0; i < n; ++i) {
      const double u = static_cast<double>(i) / n, v = static_cast<double>(i + 1) / n;
      const plane::Segment s{point(u), point(v), bulge_through(point(u), point((u + v) / 2), point(v))};
      for (double t : {0.125, 0.25, 0.375, 0.625, 0.75, 0.875}) worst = std::max(worst, distance(s.point(t)));
      loop.push_back({s.a, s.bulge, 0});
    }
    if (worst <= deviation || n >= 1024) {
      loop.push_back({{a_, 0}, 0, 0});
      return loop;
    }
  }
}

}  // namespace

EdgeProfile quarter_ellipse(double a, double b) { return {a, b, std::make_shared<const QuarterEllipse>(a, b)}; }

}  // namespace kerfkiln::cushion
