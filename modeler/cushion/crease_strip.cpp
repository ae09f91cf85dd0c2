#include "modeler/cushion/crease_strip.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::cushion {
namespace {

constexpr double kStraight = 1e-9;  // turns below this are none, rad

// The parallel of a curve at a distance to its left.
std::optional<plane::Segment> parallel(const plane::Curve& c, double d) {
  const Vec2 a = c.a + d * left(c.ta), b = c.b + d * left(c.tb);
  if (1 - d * c.curvature <= 1e-9) return std::nullopt;
  return plane::Segment{a, b, c.is_line() ? 0 : c.bulge};
}

// One side of the path, walked along it.
class Bank {
 public:
  Bank(const CreasePath& path, double d) : path_(path), d_(d) {}

  std::optional<plane::Loop> run() {
    for (const plane::Curve& c : path_.curves()) {
      std::optional<plane::Segment> s = parallel(c, d_);
      if (!s) return std::nullopt;
      pieces_.push_back(*s);
    }
    const std::size_t n = pieces_.size();
    joins_.resize(n, 0);
    for (std::size_t i = 0; i + 1 < n + (path_.closed() ? 1 : 0); ++i)
      if (!joint(i, (i + 1) % n)) return std::nullopt;
    plane::Loop out;
    for (std::size_t i = 0; i < n; ++i) {
      out.push_back({pieces_[i].a, pieces_[i].bulge, 0});
      if (joins_[i] != 0 || (!path_.closed() && i + 1 == n)) out.push_back({pieces_[i].b, joins_[i], 0});
    }
    return out;
  }

 private:
  bool joint(std::size_t i, std::size_t j) {
    const plane::Curve &c = path_.curves()[i], &e = path_.curves()[j];
    const double turn = std::atan2(cross(c.tb, e.ta), dot(c.tb, e.ta));
    if (std::abs(turn) < kStraight) {
      pieces_[j].a = pieces_[i].b;
      return true;
    }
    if (turn * d_ < 0) {  // the outside of the bend
      joins_[i] = std::tan(turn / 4);
      return true;
    }
    const plane::Curve p = plane::curve(pieces_[i]), q = plane::curve(pieces_[j]);
    const plane::Meetings m = plane::meetings(p, q);
    if (m.count == 0) return false;
    // The meeting nearest to the joint.
    int best = 0;
    for (int k = 1; k < m.count; ++k)
      if (m.list[static_cast<std::size_t>(k)].on_first > m.list[static_cast<std::size_t>(best)].on_first) best = k;
    const plane::Meeting& at = m.list[static_cast<std::size_t>(best)];
    const double share_p = at.on_first / p.length, share_q = at.on_second / q.length;
    if (!(share_p > 0 && share_q < 1)) return false;
    pieces_[i] = plane::part(pieces_[i], 0, std::min(share_p, 1.0));
    pieces_[j] = plane::part(pieces_[j], std::max(share_q, 0.0), 1);
    pieces_[i].b = pieces_[j].a = at.at;
    return true;
  }

  const CreasePath& path_;
  double d_;
  std::vector<plane::Segment> pieces_;
  std::vector<double> joins_;  // bulge of the arc after each piece
};

}  // namespace

CreasePath::CreasePath(const plane::Loop& loop, bool closed) : closed_(closed) {
  at_.push_back(0);
  for (std::size_t i = 0; i + (closed ? 0 : 1) < loop.size(); ++i) {
    curves_.push_back(plane::curve(plane::segment(loop, i)));
    at_.push_back(at_.back() + curves_.back().length);
  }
}

std::size_t CreasePath::curve_at(double& s) const {
  std::size_t i = static_cast<std::size_t>(std::upper_bound(at_.begin(), at_.end(), s) - at_.begin());
  i = std::clamp<std::size_t>(i, 1, curves_.size()) - 1;
  s = std::clamp(s - at_[i], 0.0, curves_[i].length);
  return i;
}
Vec2 CreasePath::point(double s) const {
  const std::size_t i = curve_at(s);
  return plane::at_length(curves_[i], s);
}
Vec2 CreasePath::tangent(double s) const {
  const std::size_t i = curve_at(s);
  return plane::tangent_at_length(curves_[i], s);
}

CreasePath::Near CreasePath::nearest(Vec2 p) const {
  Near best{INFINITY, 0};
  for (std::size_t i = 0; i < curves_.size(); ++i) {
    const plane::Foot f = plane::nearest(curves_[i].segment(), p);
    if (f.distance < best.distance) best = {f.distance, at_[i] + f.t * curves_[i].length};
  }
  return best;
}

plane::Loop CreasePath::part(double from, double to) const {
  plane::Loop out;
  Vec2 end;
  for (std::size_t i = 0; i < curves_.size(); ++i) {
    const double a = std::max(from, at_[i]), b = std::min(to, at_[i + 1]);
    if (!(b - a > 1e-9)) continue;
    const double length = curves_[i].length;
    const double t0 = std::max(0.0, (a - at_[i]) / length), t1 = std::min(1.0, (b - at_[i]) / length);
    const plane::Segment s = plane::part(curves_[i].segment(), t0, t1);
    out.push_back({s.a, s.bulge, 0});
    end = s.b;
  }
  out.push_back({end, 0, 0});
  return out;
}

std::optional<plane::Outline> strip_along(const CreasePath& path, double width) {
  std::optional<plane::Loop> right_bank = Bank(path, -width / 2).run(), left_bank = Bank(path, width / 2).run();
  if (!right_bank || !left_bank) return std::nullopt;
  plane::Outline o;
  if (path.closed()) {
    if (plane::area(*right_bank) < 0) std::swap(right_bank, left_bank);
    o.outer = plane::area(*right_bank) > 0 ? *right_bank : plane::reversed(*right_bank);
    o.holes.push_back(plane::area(*left_bank) < 0 ? *left_bank : plane::reversed(*left_bank));
    return o;
  }
  // Out along the right bank, back along the left one.
  o.outer = *right_bank;
  for (std::size_t i = left_bank->size(); i-- > 0;)
    o.outer.push_back({(*left_bank)[i].at, i > 0 ? -(*left_bank)[i - 1].bulge : 0, 0});
  return o;
}

}  // namespace kerfkiln::cushion
