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
  constexpr int kSamples = 16;
  for (int piece = 0; piece < type.pieces; ++piece)
    for (int i = 0; i <= kSamples && !empty(piece); ++i)
      samples_.push_back({piece, graded(i, kSamples), type.point(size, piece, graded(i, kSamples))});
  // Below an ellipse's exponent the radius tends to nothing at the axes, faster than any scan finds. An ellipse by a
  // curve is one within rounding.
  if (!type.shape_is_length && size.shape < 2 - 1e-9) sharpest_ = 0;
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
  // The nearest sample's neighbours hold the foot between them; a foot may lie on the joint of two pieces.
  double least = INFINITY;
  std::size_t nearest = 0;
  for (std::size_t i = 0; i < samples_.size(); ++i)
    if (const double d = dot(p - samples_[i].at, p - samples_[i].at); d < least) least = d, nearest = i;
  double best = INFINITY, side = 1;
  const auto look = [&](const Sample& from, const Sample& to) {
    if (from.piece != to.piece) return;
    double lo = from.v, hi = to.v, v = &from == &samples_[nearest] ? lo : hi;
    SectionJet j;
    // Newton inside a shrinking bracket, for the place where p - q is normal to the tangent.
    for (int i = 0; i < 60; ++i) {
      j = type_->jet(size_, {}, {}, from.piece, v);
      const double ahead = dot(p - j.p, j.p_v), rate = dot(p - j.p, j.p_vv) - dot(j.p_v, j.p_v);
      // Beyond its own end the stretch has no foot but that end.
      if (i == 0 && (v == lo ? ahead <= 0 : ahead >= 0)) break;
      (ahead > 0 ? lo : hi) = v;
      double next = rate < 0 ? v - ahead / rate : lo;
      if (!(next > lo && next < hi)) next = 0.5 * (lo + hi);
      if (std::abs(next - v) < 1e-13 || hi - lo < 1e-13) break;
      v = next;
    }
    const double d = norm(p - j.p);
    if (d < best) best = d, side = dot(p - j.p, right(j.p_v)) < 0 ? -1 : 1;
  };
  if (nearest > 0) look(samples_[nearest - 1], samples_[nearest]);
  if (nearest + 1 < samples_.size()) look(samples_[nearest], samples_[nearest + 1]);
  // The joint itself: its piece's neighbour may be the nearer one.
  if (nearest > 0 && samples_[nearest - 1].piece != samples_[nearest].piece && nearest > 1)
    look(samples_[nearest - 2], samples_[nearest - 1]);
  if (nearest + 2 < samples_.size() && samples_[nearest + 1].piece != samples_[nearest].piece)
    look(samples_[nearest + 1], samples_[nearest + 2]);
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
