#include "modeler/cushion/height_curve.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::cushion {

HeightCurve::HeightCurve(std::span<const HeightPoint> points, double low, double high) {
  if (points.empty()) return;
  before_ = points.front().height;
  after_ = points.back().height;
  if (points.size() == 1) return;
  std::vector<double> y;
  for (const HeightPoint& p : points) {
    knots_.push_back(p.at);
    y.push_back(p.height);
  }
  pieces_ = monotone_cubic(knots_, y);
  // A slope of zero keeps a Hermite piece monotone.
  const auto hermite = [](Cubic& c, double length, double from, double to) {
    const double chord = (kerfkiln::value(c, length) - c[0]) / length;
    c = {c[0], from, (3 * chord - 2 * from - to) / length, (from + to - 2 * chord) / (length * length)};
  };
  const std::size_t last = pieces_.size() - 1;
  const double first_length = knots_[1] - knots_[0], last_length = knots_[last + 1] - knots_[last];
  if (knots_.front() > low) hermite(pieces_.front(), first_length, 0, slope(pieces_.front(), first_length));
  if (knots_.back() < high) hermite(pieces_.back(), last_length, slope(pieces_.back(), 0), 0);
}

std::size_t HeightCurve::piece(double x) const {
  const auto it = std::upper_bound(knots_.begin() + 1, knots_.end() - 1, x);
  return static_cast<std::size_t>(it - knots_.begin()) - 1;
}

double HeightCurve::value(double x) const {
  if (knots_.empty() || x <= knots_.front()) return before_;
  if (x >= knots_.back()) return after_;
  const std::size_t i = piece(x);
  return kerfkiln::value(pieces_[i], x - knots_[i]);
}

HeightCurve::At HeightCurve::at(double x) const {
  if (knots_.empty() || x < knots_.front()) return {before_, 0, 0};
  if (x > knots_.back()) return {after_, 0, 0};
  const std::size_t i = piece(x);
  const double u = x - knots_[i];
  return {kerfkiln::value(pieces_[i], u), slope(pieces_[i], u), kerfkiln::bend(pieces_[i], u)};
}

HeightCurve::Bounds HeightCurve::bounds(double from, double to) const {
  const double a = value(from), b = value(to);
  Bounds r{std::min(a, b), std::max(a, b), 0};
  for (std::size_t i = 0; i < pieces_.size(); ++i) {
    const double low = std::max(from, knots_[i]), high = std::min(to, knots_[i + 1]);
    if (!(low < high)) continue;
    // Within a piece heights are monotone.
    for (double x : {low, high}) {
      const double u = x - knots_[i], v = kerfkiln::value(pieces_[i], u);
      r.low = std::min(r.low, v);
      r.high = std::max(r.high, v);
      r.bend = std::max(r.bend, std::abs(kerfkiln::bend(pieces_[i], u)));
    }
  }
  return r;
}

}  // namespace kerfkiln::cushion
