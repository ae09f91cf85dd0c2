#include "modeler/cushion/wrap_section.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/base/vec.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kChordMm = 0.005;
constexpr double kArcStep = 0.06;     // rad: of the arcs about corners of the core
constexpr double kSmoothTurn = 0.04;  // rad: smaller turns are a chord's, not a corner's
constexpr Vec2 kDown{0, -1};

double mixed(double a, double b, double t) { return a + (b - a) * t; }

// Insets at which either profile wants a vertex, falling to 0.
std::vector<double> insets_of(const EdgeProfile& from, const EdgeProfile& to, double weight) {
  std::vector<double> d{0};
  const auto add = [&](const EdgeProfile& p) {
    if (p.square()) return;
    const int n = std::clamp(p.curve->pieces(kChordMm), 8, 64);
    for (int i = 1; i <= n; ++i) d.push_back(p.curve->point(static_cast<double>(i) / n).x);
  };
  if (weight < 1 || from == to) add(from);
  if (weight > 0 && !(from == to)) add(to);
  std::sort(d.begin(), d.end(), std::greater<>());
  d.erase(std::unique(d.begin(), d.end(), [](double a, double b) { return std::abs(a - b) < 1e-9; }), d.end());
  return d;
}

double turn_between(Vec2 a, Vec2 b) { return std::atan2(cross(b, a), dot(a, b)); }  // clockwise positive

}  // namespace

double WrapSection::n_at(double s) const {
  const auto it =
      std::lower_bound(points.begin(), points.end(), s, [](const Point& p, double value) { return p.s < value; });
  if (it == points.begin()) return points.front().n;
  if (it == points.end()) return points.back().n;
  const Point &a = *(it - 1), &b = *it;
  return b.s > a.s ? mixed(a.n, b.n, (s - a.s) / (b.s - a.s)) : b.n;
}

double WrapSection::z_at(double s) const {
  const auto it =
      std::lower_bound(points.begin(), points.end(), s, [](const Point& p, double value) { return p.s < value; });
  if (it == points.begin()) return points.front().z;
  if (it == points.end()) return points.back().z;
  const Point &a = *(it - 1), &b = *it;
  return b.s > a.s ? mixed(a.z, b.z, (s - a.s) / (b.s - a.s)) : b.z;
}

WrapSection::Point WrapSection::at_level(double z) const {
  if (z > z_end() + 1e-9) return {length(), beyond_n, z};
  const auto it =
      std::upper_bound(points.begin(), points.end(), z, [](double value, const Point& p) { return value < p.z; });
  if (it == points.begin()) return points.front();
  if (it == points.end()) return points.back();
  const Point &a = *(it - 1), &b = *it;
  const double t = (z - a.z) / (b.z - a.z);
  return {mixed(a.s, b.s, t), mixed(a.n, b.n, t), z};
}

EdgeBend::EdgeBend(const EdgeProfile& from, const EdgeProfile& to, double weight, double away_mm)
    : away_(away_mm), drop_(mixed(from.drop, to.drop, weight)), insets_(insets_of(from, to, weight)) {
  for (const double d : insets_) flat_.push_back({-d, -mixed(from.drop_at(d), to.drop_at(d), weight)});
  Vec2 before{1, 0};
  for (std::size_t i = 0; i < flat_.size(); ++i) {
    const Vec2 at = flat_[i], after = i + 1 == flat_.size() ? kDown : unit(flat_[i + 1] - at);
    Corner c;
    const double turn = turn_between(before, after);
    const int steps = turn > kSmoothTurn ? static_cast<int>(std::ceil(turn / kArcStep)) : 0;
    c.smooth = steps == 0;
    if (c.smooth) {
      c.middle.push_back(at + away_ * unit(left(before) + left(after)));
      c.beyond = at + away_ * left(after);
    }
    const double begin = std::atan2(left(before).y, left(before).x);
    for (int k = 0; steps > 0 && k <= steps; ++k) {
      const double angle = begin - turn * k / steps;
      c.middle.push_back(at + away_ * Vec2{std::cos(angle), std::sin(angle)});
    }
    corners_.push_back(std::move(c));
    before = after;
  }
  if (weight == 0 || weight == 1 || from == to)
    exact_mm_ = (weight == 1 ? to : from).length() + away_mm * std::numbers::pi / 2;
}

WrapSection EdgeBend::section(double down_mm, const std::function<double(double)>& rise) const {
  const double side = std::max(0.0, down_mm - drop_);
  WrapSection w;
  double s = 0;
  const auto put = [&](Vec2 middle) {
    // The face lies at -away above; tiny turns against the bend must not run backwards.
    WrapSection::Point q{s, middle.x, away_ - middle.y};
    if (!w.points.empty()) {
      q.s = std::max(q.s, w.points.back().s);
      q.z = std::max(q.z, w.points.back().z);
    }
    w.points.push_back(q);
  };
  const auto risen = [&](std::size_t i) { return flat_[i] + Vec2{0, rise ? rise(insets_[i]) : 0}; };
  Vec2 before{1, 0}, at = risen(0);
  if (rise) {
    constexpr double kStep = 0.5;
    before = unit(Vec2{kStep, rise(insets_.front()) - rise(insets_.front() + kStep)});
  }
  for (std::size_t i = 0; i < flat_.size(); ++i) {
    const Corner& c = corners_[i];
    const bool at_rim = i + 1 == flat_.size();
    const Vec2 next = at_rim ? at : risen(i + 1), after = at_rim ? kDown : unit(next - at);
    const double turned = away_ * turn_between(before, after), steps = static_cast<double>(c.middle.size() - 1);
    if (c.smooth) {
      s += turned / 2;
      put(c.middle.front());
      s += turned / 2;
      if (at_rim) put(c.beyond);
    }
    for (std::size_t k = 0; !c.smooth && k < c.middle.size(); ++k) {
      put(c.middle[k]);
      if (k + 1 < c.middle.size()) s += turned / steps;
    }
    s += norm(next - at);
    before = after;
    at = next;
  }
  w.start_mm = insets_.front();
  const std::size_t fold_end = w.points.size() - 1;
  if (side >= 1e-9) {
    s += side;
    put(flat_.back() + side * kDown + away_ * left(kDown));
  }
  w.fold_end_s = w.points[fold_end].s;
  if (!rise && exact_mm_ > 0) {
    // The chords' length gives way to the curve's own.
    const double drawn = w.fold_end_s;
    for (WrapSection::Point& q : w.points) q.s = q.s <= drawn ? q.s * exact_mm_ / drawn : q.s + exact_mm_ - drawn;
    w.fold_end_s = exact_mm_;
  }
  w.beyond_n = w.n_end();
  return w;
}

WrapSection edge_section(const EdgeProfile& from, const EdgeProfile& to, double weight, double away_mm, double down_mm,
                         const std::function<double(double)>& rise) {
  return EdgeBend(from, to, weight, away_mm).section(down_mm, rise);
}

WrapSection wall_section(double depth_mm, double folded_mm, double to_middle_mm) {
  const double m = folded_mm / 2;
  return {{{0, 0, 0}, {m, m, 0}, {m + depth_mm, m, depth_mm}}, 0, m, to_middle_mm};
}

WrapSection butt_section(double reach_mm) { return {{{0, 0, 0}, {reach_mm, reach_mm, 0}}, 0, reach_mm, reach_mm}; }

}  // namespace kerfkiln::cushion
