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

// Walks the core's section and its parallel. flat: without the rise, which gives n and z; risen: which gives s.
class Walk {
 public:
  Walk(double away) : away_(away) {}
  void corner(Vec2 at, Vec2 before, Vec2 after, double risen_turn, bool finish) {
    const double turn = turn_between(before, after);
    const int steps = turn > kSmoothTurn ? static_cast<int>(std::ceil(turn / kArcStep)) : 0;
    if (steps == 0) {
      s_ += away_ * risen_turn / 2;
      put(at, unit(left(before) + left(after)));
      s_ += away_ * risen_turn / 2;
      if (finish) put(at, left(after));
      return;
    }
    const double begin = std::atan2(left(before).y, left(before).x);
    for (int i = 0; i <= steps; ++i) {
      const double angle = begin - turn * i / steps;
      put(at, {std::cos(angle), std::sin(angle)});
      if (i < steps) s_ += away_ * risen_turn / steps;
    }
  }
  void along(double length) { s_ += length; }
  std::vector<WrapSection::Point> points;

 private:
  void put(Vec2 at, Vec2 normal) {
    const Vec2 p = at + away_ * normal;
    // The face lies at -away above; tiny turns against the bend must not run backwards.
    WrapSection::Point q{s_, p.x, away_ - p.y};
    if (!points.empty()) {
      q.s = std::max(q.s, points.back().s);
      q.z = std::max(q.z, points.back().z);
    }
    points.push_back(q);
  }
  double away_, s_ = 0;
};

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

WrapSection edge_section(const EdgeProfile& from, const EdgeProfile& to, double weight, double away_mm, double down_mm,
                         const std::function<double(double)>& rise) {
  const std::vector<double> insets = insets_of(from, to, weight);
  const double side = std::max(0.0, down_mm - mixed(from.drop, to.drop, weight));
  std::vector<Vec2> flat, risen;
  for (const double d : insets) {
    flat.push_back({-d, -mixed(from.drop_at(d), to.drop_at(d), weight)});
    risen.push_back(flat.back() + Vec2{0, rise ? rise(d) : 0});
  }
  const Vec2 down{0, -1};
  flat.push_back(flat.back() + side * down);
  risen.push_back(risen.back() + side * down);
  Vec2 before{1, 0}, risen_before{1, 0};
  if (rise) {
    constexpr double kStep = 0.5;
    risen_before = unit(Vec2{kStep, rise(insets.front()) - rise(insets.front() + kStep)});
  }
  Walk walk(away_mm);
  std::size_t fold_end = 0;
  for (std::size_t i = 0; i < flat.size(); ++i) {
    const bool last = i + 1 == flat.size(), at_rim = i + 2 == flat.size();
    const bool short_side = at_rim && side < 1e-9;
    const Vec2 after = last || short_side ? down : unit(flat[i + 1] - flat[i]);
    const Vec2 risen_after = last || short_side ? down : unit(risen[i + 1] - risen[i]);
    if (last && short_side) break;
    walk.corner(flat[i], before, after, turn_between(risen_before, risen_after), at_rim);
    if (at_rim) fold_end = walk.points.size() - 1;
    if (last || short_side) break;
    walk.along(norm(risen[i + 1] - risen[i]));
    before = after;
    risen_before = risen_after;
  }
  WrapSection w;
  w.points = std::move(walk.points);
  w.start_mm = insets.front();
  w.fold_end_s = w.points[fold_end].s;
  if (!rise && (weight == 0 || weight == 1 || from == to)) {
    // The chords' length gives way to the curve's own.
    const EdgeProfile& p = weight == 1 ? to : from;
    const double exact = p.length() + away_mm * std::numbers::pi / 2, drawn = w.fold_end_s;
    for (WrapSection::Point& q : w.points) q.s = q.s <= drawn ? q.s * exact / drawn : q.s + exact - drawn;
    w.fold_end_s = exact;
  }
  w.beyond_n = w.n_end();
  return w;
}

WrapSection wall_section(double depth_mm, double folded_mm, double to_middle_mm) {
  const double m = folded_mm / 2;
  return {{{0, 0, 0}, {m, m, 0}, {m + depth_mm, m, depth_mm}}, 0, m, to_middle_mm};
}

WrapSection butt_section(double reach_mm) { return {{{0, 0, 0}, {reach_mm, reach_mm, 0}}, 0, reach_mm, reach_mm}; }

}  // namespace kerfkiln::cushion
