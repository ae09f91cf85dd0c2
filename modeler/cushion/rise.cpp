#include "modeler/cushion/rise.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/membrane.hpp"

namespace kerfkiln::cushion {

struct Rise::Terms {
  struct Crown {
    std::shared_ptr<const Membrane> membrane;
    double height;
  };
  std::vector<Crown> crowns;
  std::vector<HeightCurve> along_depth, across_width;
};

Rise Rise::crown(std::shared_ptr<const Membrane> membrane, double height) {
  Rise r;
  if (height != 0) r.terms_ = std::make_shared<const Terms>(Terms{{{std::move(membrane), height}}, {}, {}});
  return r;
}

Rise Rise::along_depth(HeightCurve curve) {
  Rise r;
  if (!curve.zero()) r.terms_ = std::make_shared<const Terms>(Terms{{}, {std::move(curve)}, {}});
  return r;
}

Rise Rise::across_width(HeightCurve curve) {
  Rise r;
  if (!curve.zero()) r.terms_ = std::make_shared<const Terms>(Terms{{}, {}, {std::move(curve)}});
  return r;
}

Rise Rise::operator+(const Rise& other) const {
  if (flat()) return other;
  if (other.flat()) return *this;
  Terms sum = *terms_;
  const auto append = [](auto& to, const auto& from) { to.insert(to.end(), from.begin(), from.end()); };
  append(sum.crowns, other.terms_->crowns);
  append(sum.along_depth, other.terms_->along_depth);
  append(sum.across_width, other.terms_->across_width);
  Rise r;
  r.terms_ = std::make_shared<const Terms>(std::move(sum));
  return r;
}

double Rise::value_of_terms(Vec2 p) const {
  double sum = 0;
  for (const Terms::Crown& c : terms_->crowns) sum += c.height * c.membrane->value(p);
  for (const HeightCurve& c : terms_->along_depth) sum += c.value(p.y);
  for (const HeightCurve& c : terms_->across_width) sum += c.value(p.x);
  return sum;
}

void Rise::values(std::span<const double> x, std::span<const double> y, std::span<double> out) const {
  std::fill(out.begin(), out.end(), 0.0);
  if (flat()) return;
  for (const Terms::Crown& c : terms_->crowns) c.membrane->grid().add_values(x, y, c.height, out);
  for (const HeightCurve& c : terms_->along_depth)
    for (std::size_t j = 0; j < y.size(); ++j) {
      const double v = c.value(y[j]);
      for (std::size_t i = 0; i < x.size(); ++i) out[i * y.size() + j] += v;
    }
  for (const HeightCurve& c : terms_->across_width)
    for (std::size_t i = 0; i < x.size(); ++i) {
      const double v = c.value(x[i]);
      for (std::size_t j = 0; j < y.size(); ++j) out[i * y.size() + j] += v;
    }
}

RiseAt Rise::at(Vec2 p) const {
  RiseAt r;
  if (flat()) return r;
  for (const Terms::Crown& c : terms_->crowns) {
    const SplineGrid::At a = c.membrane->at(p);
    r.value += c.height * a.value;
    r.slope = r.slope + c.height * a.slope;
    r.xx += c.height * a.xx;
    r.xy += c.height * a.xy;
    r.yy += c.height * a.yy;
  }
  for (const HeightCurve& c : terms_->along_depth) {
    const HeightCurve::At a = c.at(p.y);
    r.value += a.value;
    r.slope.y += a.slope;
    r.yy += a.bend;
  }
  for (const HeightCurve& c : terms_->across_width) {
    const HeightCurve::At a = c.at(p.x);
    r.value += a.value;
    r.slope.x += a.slope;
    r.xx += a.bend;
  }
  return r;
}

Rise::Bounds Rise::bounds(const plane::Box& box) const {
  Bounds sum;
  if (flat()) return sum;
  const auto add = [&](double low, double high) {
    sum.low += low;
    sum.high += high;
  };
  for (const Terms::Crown& c : terms_->crowns) {
    const SplineGrid::Bounds b = c.membrane->grid().bounds(box);
    add(std::min(c.height * b.low, c.height * b.high), std::max(c.height * b.low, c.height * b.high));
    sum.xx += std::abs(c.height) * b.xx;
    sum.xy += std::abs(c.height) * b.xy;
    sum.yy += std::abs(c.height) * b.yy;
  }
  for (const HeightCurve& c : terms_->along_depth) {
    const HeightCurve::Bounds b = c.bounds(box.low.y, box.high.y);
    add(b.low, b.high);
    sum.yy += b.bend;
  }
  for (const HeightCurve& c : terms_->across_width) {
    const HeightCurve::Bounds b = c.bounds(box.low.x, box.high.x);
    add(b.low, b.high);
    sum.xx += b.bend;
  }
  return sum;
}

Rise::Bounds Rise::Bounds::turned(Vec2 along) const {
  const double c = std::abs(along.x), s = std::abs(along.y);
  Bounds b = *this;
  b.xx = c * c * xx + 2 * c * s * xy + s * s * yy;
  b.xy = c * s * (xx + yy) + std::abs(c * c - s * s) * xy;
  b.yy = s * s * xx + 2 * c * s * xy + c * c * yy;
  return b;
}

Rise::Lines Rise::lines(const plane::Box& box) const {
  Lines l{{box.low.x, box.high.x}, {box.low.y, box.high.y}};
  if (!flat()) {
    const auto knots = [](std::vector<double>& to, const std::vector<HeightCurve>& curves) {
      for (const HeightCurve& c : curves) to.insert(to.end(), c.knots().begin(), c.knots().end());
    };
    knots(l.y, terms_->along_depth);
    knots(l.x, terms_->across_width);
    for (const Terms::Crown& c : terms_->crowns) {
      const SplineGrid& g = c.membrane->grid();
      for (int i = 0; i <= g.columns(); ++i) l.x.push_back(g.origin().x + i * g.cell());
      for (int j = 0; j <= g.rows(); ++j) l.y.push_back(g.origin().y + j * g.cell());
    }
  }
  const auto tidy = [](std::vector<double>& v, double low, double high) {
    std::erase_if(v, [&](double x) { return x < low || x > high; });
    std::sort(v.begin(), v.end());
    v.erase(std::unique(v.begin(), v.end()), v.end());
  };
  tidy(l.x, box.low.x, box.high.x);
  tidy(l.y, box.low.y, box.high.y);
  return l;
}

}  // namespace kerfkiln::cushion
