#include <algorithm>
#include <cmath>

#include "modeler/cushion/edge/curves.hpp"

namespace kerfkiln::cushion {
namespace {

class Straight final : public DropCurve {
 public:
  Straight(double a, double b) : a_(a), b_(b) {}
  std::string_view shape() const override { return "straight"; }
  DropFamily family() const override { return DropFamily::straight; }
  double drop(double d) const override { return b_ * (1 - d / a_); }
  double slope(double) const override { return -b_ / a_; }
  double inset(double t) const override { return a_ * (1 - t / b_); }
  Moments moments(double d) const override {
    const double x = d / a_, ab = a_ * b_;
    Moments m;
    m.m0 = ab * x * (1 - x / 2);
    m.m1 = a_ * ab * x * x * (0.5 - x / 3);
    m.m2 = a_ * a_ * ab * x * x * x * (1.0 / 3 - x / 4);
    m.s0 = ab * b_ * x * (1 - x + x * x / 3);
    m.s1 = ab * ab * x * x * (0.5 - 2 * x / 3 + x * x / 4);
    return m;
  }
  Vec2 point(double u) const override { return {a_ * u, b_ * (1 - u)}; }
  double parameter(double d) const override { return std::clamp(d / a_, 0.0, 1.0); }
  double length() const override { return std::hypot(a_, b_); }
  double distance(Vec2 p) const override {
    const Vec2 from{0, b_}, along{a_, -b_};
    const double t = std::clamp(dot(p - from, along) / dot(along, along), 0.0, 1.0);
    return norm(p - (from + t * along));
  }
  int pieces(double) const override { return 1; }
  plane::Loop path(double) const override { return {{{0, b_}, 0, 0}, {{a_, 0}, 0, 0}}; }

 private:
  double a_, b_;
};

}  // namespace

EdgeProfile straight(double a, double b) { return {a, b, std::make_shared<const Straight>(a, b)}; }

}  // namespace kerfkiln::cushion
