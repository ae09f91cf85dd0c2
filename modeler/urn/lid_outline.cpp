#include "modeler/urn/lid_outline.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::urn {
namespace {

// v on a piece, denser towards both ends, where superellipses bend most.
double graded(int i, int n) {
  const double x = 2.0 * i / n - 1;
  return i == 0 ? 0 : i == n ? 1 : 0.5 * (1 + (x < 0 ? -1 : 1) * (1 - std::pow(1 - std::abs(x), 3)));
}

}  // namespace

LidOutline::LidOutline(const SectionType& type, SectionSize size)
    : type_(&type), size_(size), round_(type.is_round(size)), area_(type.area(size)), perimeter_(type.perimeter(size)) {
  if (round_) {
    sharpest_ = size.half_width;
    return;
  }
  constexpr int kScan = 96;
  sharpest_ = INFINITY;
  Vec2 before{1, 0};
  for (int piece = 0; piece < type.pieces; ++piece) {
    if (empty(piece)) continue;
    if (cross(before, at(piece, 0).normal) > 1e-6) sharpest_ = 0;
    before = at(piece, 1).normal;
    for (int i = 0; i <= kScan; ++i) {
      const SectionJet j = type.jet(size, {}, {}, piece, graded(i, kScan));
      const double speed = norm(j.p_v), turn = cross(j.p_v, j.p_vv);
      if (turn > 0 && speed > 0) sharpest_ = std::min(sharpest_, speed * speed * speed / turn);
    }
  }
  if (cross(before, Vec2{0, 1}) > 1e-6) sharpest_ = 0;
  // Below an ellipse's exponent the radius tends to nothing at the axes, faster than any scan finds.
  if (!type.shape_is_length && size.shape < 2) sharpest_ = 0;
}

bool LidOutline::empty(int piece) const {
  return norm(type_->point(size_, piece, 1) - type_->point(size_, piece, 0)) < 1e-9 * size_.half_width;
}

LidOutline::Place LidOutline::at(int piece, double v) const {
  const SectionJet j = type_->jet(size_, {}, {}, piece, v);
  Place p{j.p, right(j.p_v) / norm(j.p_v)};
  if (p.at.y == 0) p.normal = sharpest_ > 0 ? Vec2{1, 0} : p.normal;
  if (p.at.x == 0) p.normal = sharpest_ > 0 ? Vec2{0, 1} : p.normal;
  return p;
}

double LidOutline::distance(Vec2 p) const {
  if (round_) return norm(p) - size_.half_width;
  p = {std::abs(p.x), std::abs(p.y)};
  double best = INFINITY, side = 1;
  const auto take = [&](Vec2 q, Vec2 out) {
    const double d = norm(p - q);
    if (d < best) best = d, side = dot(p - q, out) < 0 ? -1 : 1;
  };
  constexpr int kScan = 24;
  for (int piece = 0; piece < type_->pieces; ++piece) {
    if (empty(piece)) continue;
    int nearest = 0;
    double least = INFINITY;
    for (int i = 0; i <= kScan; ++i) {
      const double d = norm(p - type_->point(size_, piece, graded(i, kScan)));
      if (d < least) least = d, nearest = i;
    }
    // The foot lies where (p - q) is normal to the tangent: bisection between the neighbours of the nearest sample.
    double lo = graded(std::max(nearest - 1, 0), kScan), hi = graded(std::min(nearest + 1, kScan), kScan);
    const auto ahead = [&](double v) {
      const SectionJet j = type_->jet(size_, {}, {}, piece, v);
      return dot(p - j.p, j.p_v);
    };
    if (ahead(lo) <= 0)
      hi = lo;
    else if (ahead(hi) >= 0)
      lo = hi;
    for (int i = 0; i < 48 && lo < hi; ++i) {
      const double m = 0.5 * (lo + hi);
      (ahead(m) > 0 ? lo : hi) = m;
    }
    const Place q = at(piece, 0.5 * (lo + hi));
    take(q.at, q.normal);
  }
  return side * best;
}

std::vector<LidOutline::Place> LidOutline::places(double d_low, double d_high, double inner, double deviation) const {
  std::vector<Place> quarter;
  const double most_turn = inner > deviation ? 2 * std::acos(1 - deviation / inner) : 2;
  const auto off = [&](const Place& p, double d) { return p.at + d * p.normal; };
  const auto bearing = [&](const Place& p) {
    const Vec2 q = off(p, d_low);
    return std::atan2(q.y, q.x);
  };
  const auto strays = [&](const Place& a, const Place& b, const Place& m, double d) {
    const Vec2 p = off(a, d), q = off(b, d), chord = q - p;
    return norm(chord) > 0 && std::abs(cross(chord, off(m, d) - p)) > deviation * norm(chord);
  };
  const auto fill = [&](auto&& self, int piece, double va, const Place& a, double vb, const Place& b,
                        int depth) -> void {
    const double vm = 0.5 * (va + vb);
    const Place m = at(piece, vm), first = at(piece, 0.5 * (va + vm)), last = at(piece, 0.5 * (vm + vb));
    bool split = bearing(b) - bearing(a) > most_turn;
    for (const Place& between : {first, m, last})
      split = split || strays(a, b, between, d_high) || strays(a, b, between, d_low);
    if (split && depth > 0) {
      self(self, piece, va, a, vm, m, depth - 1);
      self(self, piece, vm, m, vb, b, depth - 1);
      return;
    }
    quarter.push_back(b);
  };
  if (round_) {
    const double r = std::max(size_.half_width + d_high, inner);
    const int n = std::max(3, static_cast<int>(std::ceil(kPi / 4 / std::acos(1 - std::min(deviation / r, 0.9)))));
    for (int i = 0; i <= n; ++i) {
      const double a = kPi / 2 * i / n;
      const Vec2 u{i == n ? 0 : std::cos(a), i == 0 ? 0 : std::sin(a)};
      quarter.push_back({size_.half_width * u, u});
    }
  } else {
    for (int piece = 0; piece < type_->pieces; ++piece) {
      if (empty(piece)) continue;
      const Place a = at(piece, 0), b = at(piece, 1);
      if (quarter.empty()) quarter.push_back(a);
      fill(fill, piece, 0, a, 1, b, 12);
    }
  }
  std::vector<Place> ring;
  const std::size_t n = quarter.size();
  for (std::size_t k = 0; k < 4; ++k)
    for (std::size_t i = 0; i + 1 < n; ++i) {
      Place p = quarter[k % 2 == 0 ? i : n - 1 - i];
      if (k == 1 || k == 2) p.at.x = -p.at.x, p.normal.x = -p.normal.x;
      if (k >= 2) p.at.y = -p.at.y, p.normal.y = -p.normal.y;
      ring.push_back(p);
    }
  return ring;
}

}  // namespace kerfkiln::urn
