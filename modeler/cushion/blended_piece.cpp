#include "modeler/cushion/blended_piece.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/range_tree.hpp"

namespace kerfkiln::cushion {
namespace {

// The families in single precision and without branches, to be evaluated several at a time.
struct StraightPart {
  float over_a, b;
  explicit StraightPart(const DropKernel& k)
      : over_a(k.b > 0 ? static_cast<float>(1 / k.a) : 1.0f), b(static_cast<float>(k.b)) {}
  float operator()(float d) const {
    const float v = 1 - d * over_a;
    return b * (v > 0 ? v : 0);
  }
};
struct EllipsePart {
  float over_a, b;
  explicit EllipsePart(const DropKernel& k) : over_a(static_cast<float>(1 / k.a)), b(static_cast<float>(k.b)) {}
  float operator()(float d) const {
    const float v = 1 - d * over_a, in = v > 0 ? v : 0;
    return b * (1 - std::sqrt(1 - in * in));
  }
};

}  // namespace

BlendedPiece::BlendedPiece(const Element& element, double u0, double u1, double g0, double g1, const DropKernel& from,
                           const DropKernel& to)
    : e_(&element), from_(from), to_(to), u0_(u0), u1_(u1), g0_(g0), span_(g1 - g0), step_((u1 - u0) / kSteps) {
  origin_ = element.point((u0 + u1) / 2);
  for (int i = 0; i < kPlaces; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double u = i >= kSteps ? u1 : u0 + i * step_;
    const Vec2 q = element.point(u);
    if (i <= kSteps) at_[k] = q;
    x_[k] = static_cast<float>(q.x - origin_.x);
    y_[k] = static_cast<float>(q.y - origin_.y);
    w_[k] = static_cast<float>(smoothstep(g0 + u * span_));
  }
  box_ = {at_[0], at_[0]};
  for (Vec2 q : at_) box_ = joined(box_, {q, q});
  if (element.arc) {
    // The arc rises above its chords.
    const double rise = element.radius * (1 - std::cos(element.sweep * step_ / 2));
    box_ = {box_.low - Vec2{rise, rise}, box_.high + Vec2{rise, rise}};
  }
}

template <class From, class To>
void BlendedPiece::sample(float x, float y, float* value) const {
  const From from(from_);
  const To to(to_);
  for (std::size_t i = 0; i < kPlaces; ++i) {
    const float dx = x_[i] - x, dy = y_[i] - y, d = std::sqrt(dx * dx + dy * dy), w = w_[i];
    value[i] = (1 - w) * from(d) + w * to(d);
  }
}

void BlendedPiece::sample(Vec2 p, float* value) const {
  const float x = static_cast<float>(p.x - origin_.x), y = static_cast<float>(p.y - origin_.y);
  if (from_.family == DropFamily::other || to_.family == DropFamily::other) {
    for (std::size_t i = 0; i < kPlaces; ++i) {
      const double d = norm(at_[std::min<std::size_t>(i, kSteps)] - p), w = w_[i];
      value[i] = static_cast<float>((1 - w) * from_.drop(d) + w * to_.drop(d));
    }
    return;
  }
  const bool curved_from = from_.family == DropFamily::quarter_ellipse,
             curved_to = to_.family == DropFamily::quarter_ellipse;
  if (curved_from && curved_to) return sample<EllipsePart, EllipsePart>(x, y, value);
  if (curved_from) return sample<EllipsePart, StraightPart>(x, y, value);
  if (curved_to) return sample<StraightPart, EllipsePart>(x, y, value);
  sample<StraightPart, StraightPart>(x, y, value);
}

BlendedPiece::Jet BlendedPiece::jet(double u, Vec2 p) const {
  const double g = g0_ + u * span_, w = smoothstep(g), w1 = 6 * g * (1 - g) * span_,
               w2 = 6 * (1 - 2 * g) * span_ * span_;
  Vec2 q, q1, q2;  // and derivatives by u
  if (e_->arc) {
    // Turned from the nearest place of the table by an angle of at most a twentieth.
    const int i = std::clamp(static_cast<int>((u - u0_) / step_ + 0.5), 0, kSteps);
    const double t = (u - (u0_ + i * step_)) * e_->sweep, s2 = t * t;
    const double c = 1 - s2 / 2 * (1 - s2 / 12 * (1 - s2 / 30 * (1 - s2 / 56)));
    const double s = t * (1 - s2 / 6 * (1 - s2 / 20 * (1 - s2 / 42)));
    const Vec2 arm = at_[static_cast<std::size_t>(i)] - e_->centre;
    const Vec2 turned{c * arm.x - s * arm.y, s * arm.x + c * arm.y};
    q = e_->centre + turned;
    q1 = e_->sweep * left(turned);
    q2 = -(e_->sweep * e_->sweep) * turned;
  } else {
    q1 = e_->length * e_->dir;
    q = e_->a + u * q1;
  }
  const Vec2 v = q - p;
  const double d = norm(v), along = dot(v, q1);
  const DropKernel::Jet a = from_.at(d), b = to_.at(d);
  Jet j{};
  j.drop = (1 - w) * a.drop + w * b.drop;
  if (d < 1e-12) return {j.drop, 0, 0, 0};
  const double d1 = along / d, d2 = (dot(q1, q1) + dot(v, q2) - d1 * d1) / d;
  const double fall = (1 - w) * a.slope + w * b.slope, sag = (1 - w) * a.bend + w * b.bend;
  j.fall = fall;
  j.slope = w1 * (b.drop - a.drop) + fall * d1;
  j.bend = w2 * (b.drop - a.drop) + 2 * w1 * (b.slope - a.slope) * d1 + sag * d1 * d1 + fall * d2;
  return j;
}

// Newton's steps between two places of which the slope is not known yet, bisection where they lead out.
void BlendedPiece::climb(Climb c, Vec2 p, double close, Peak& top) const {
  constexpr double kClose = 1e-10, kStill = 1e-9;
  double u = c.start, before = u;
  bool low_seen = u == c.low, high_seen = u == c.high;
  for (int i = 0; i < 60; ++i) {
    const Jet j = jet(u, p);
    if (j.drop > top.drop) top = {j.drop, u, j.fall};
    // The weight stands still at the ends of a run: a place where nothing changes may be a valley.
    if (i == 0 && std::abs(j.slope) < kStill && (u == c.low || u == c.high)) {
      u += (u == c.low ? 1e-3 : -1e-3) * (c.high - c.low);
      low_seen = high_seen = true;
      continue;
    }
    if (!(std::abs(j.slope) > 0)) {
      if (i == 0 || j.drop > 0) return;
      // Out of reach: back towards where the climb came from.
      (u > before ? c.high : c.low) = u;
      low_seen = high_seen = true;
      if (c.high - c.low < kClose) return;
      before = u;
      u = (c.low + c.high) / 2;
      continue;
    }
    (j.slope > 0 ? c.low : c.high) = u;
    (j.slope > 0 ? low_seen : high_seen) = true;
    if (c.high - c.low < kClose) return;
    double next = j.bend < 0 ? u - j.slope / j.bend : j.slope > 0 ? c.high : c.low;
    if (j.bend < 0 && next > c.low && next < c.high) {
      const double gain = j.slope * (next - u) / 2;
      if (gain < close) {
        if (j.drop + gain > top.drop) top = {j.drop + gain, next, j.fall};
        return;
      }
    }
    if (!(next > c.low)) next = low_seen ? (c.low + c.high) / 2 : c.low;
    if (!(next < c.high)) next = high_seen ? (c.low + c.high) / 2 : c.high;
    before = u;
    u = next;
  }
}

BlendedPiece::Peak BlendedPiece::peak(Vec2 p, double near, double close, double floor) const {
  alignas(16) float value[kPlaces];
  sample(p, value);
  Peak top{floor, -1, 0};
  // Samples are right to a thousandth of a millimetre.
  constexpr float kSample = 1e-3f;
  float highest = *std::max_element(value, value + kPlaces) - kSample;
  // So near that its top may fall between two places, or so far that no place shows it, the foot of p starts a climb of
  // its own; and where one profile hardly reaches p, so that its hill about the foot is narrower than a few steps.
  const double stride = step_ * e_->length;
  const auto climb_about_foot = [&](double wide) {
    const double foot = e_->foot(p);
    if (foot <= u0_ - wide || foot >= u1_ + wide) return;
    climb({std::max(u0_, foot - wide), std::min(u1_, foot + wide), std::clamp(foot, u0_, u1_)}, p, close, top);
  };
  if (near < 2 * stride || highest <= 0) {
    climb_about_foot(2 * step_);
  } else {
    constexpr double kShown = 4;  // steps: half the width of a hill that the places show
    for (const DropKernel* k : {&from_, &to_}) {
      const double half2 = k->a * k->a - near * near;
      if (k->b > 0 && half2 > 0 && half2 < kShown * stride * kShown * stride)
        climb_about_foot(std::sqrt(half2) / e_->length);
    }
  }
  // Between two places a peak rises above the higher one by less than what the curve bends beside them. Samples are
  // right to a thousandth of a millimetre.
  struct Hill {
    float most;
    int at;
  };
  Hill hills[kSteps + 1];
  int n = 0;
  highest = std::max(highest, static_cast<float>(top.drop));
  for (int i = 0; i <= kSteps; ++i) {
    const float v = value[i], before = i > 0 ? value[i - 1] : v, after = i < kSteps ? value[i + 1] : v;
    if (!(v > 0) || v < before || v < after) continue;
    const float most = v + std::max(v - before, v - after) + kSample;
    if (most < highest) continue;
    hills[n++] = {most, i};
  }
  for (int k = 0; k < n; ++k) {
    if (hills[k].most < top.drop) continue;
    const int i = hills[k].at;
    double start = u0_ + i * step_;
    if (i > 0 && i < kSteps) {
      const double a = value[i - 1], b = value[i], c = value[i + 1], curve = 2 * b - a - c;
      if (curve > 0) start += step_ * (c - a) / (2 * curve);
    }
    climb({std::max(u0_, u0_ + (i - 1) * step_), std::min(u1_, u0_ + (i + 1) * step_), start}, p, close, top);
  }
  return top.u < 0 ? Peak{} : top;
}

}  // namespace kerfkiln::cushion
