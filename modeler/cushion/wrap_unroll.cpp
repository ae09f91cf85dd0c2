#include "modeler/cushion/wrap_unroll.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

namespace kerfkiln::cushion {
namespace {

// Length along one line of the layer's middle, from the middle of the plan: of the face and, for the layer's distance
// from it, its turning.
class LineLength {
 public:
  LineLength(const Rise& rise, double away, double low, double high, double middle,
             const std::function<Vec2(double)>& at, bool along_x)
      : low_(low), step_((high - low) / kSteps), middle_(middle) {
    const auto slope = [&](double x) {
      const Vec2 g = rise.at(at(x)).slope;
      return along_x ? g.x : g.y;
    };
    length_.push_back(0);
    double before = slope(low);
    for (int i = 1; i <= kSteps; ++i) {
      const double x = low + step_ * i, half = slope(x - step_ / 2), here = slope(x);
      const auto speed = [](double g) { return std::sqrt(1 + g * g); };
      // Simpson's rule for the face.
      length_.push_back(length_.back() + step_ / 6 * (speed(before) + 4 * speed(half) + speed(here)) -
                        away * (std::atan(here) - std::atan(before)));
      before = here;
    }
    at_middle_ = raw(middle);
  }
  double operator()(double x) const { return middle_ + raw(x) - at_middle_; }
  double speed(double x) const {
    const double h = step_ / 2;
    return (raw(x + h) - raw(x - h)) / (2 * h);
  }

 private:
  static constexpr int kSteps = 256;
  double raw(double x) const {
    const double f = (x - low_) / step_;
    const auto i = static_cast<std::size_t>(std::clamp(f, 0.0, kSteps - 1.0));
    // Straight on beyond both ends.
    return length_[i] + (f - static_cast<double>(i)) * (length_[i + 1] - length_[i]);
  }
  double low_, step_, middle_, at_middle_ = 0;
  std::vector<double> length_;
};

}  // namespace

Unrolled unrolled(const Form& form, double away_mm) {
  Unrolled out;
  const Rise& rise = form.rise(Sheet::top);
  if (rise.flat()) return out;
  const plane::Box box = plane::bounds(form.outline());
  const Vec2 c = 0.5 * (box.low + box.high);
  const auto x = std::make_shared<const LineLength>(
      rise, away_mm, box.low.x, box.high.x, c.x,
      [c](double v) {
        return Vec2{v, c.y};
      },
      true);
  const auto y = std::make_shared<const LineLength>(
      rise, away_mm, box.low.y, box.high.y, c.y,
      [c](double v) {
        return Vec2{c.x, v};
      },
      false);
  out.place = [x, y](Vec2 p) { return Vec2{(*x)(p.x), (*y)(p.y)}; };
  constexpr int kGrid = 40;
  for (int i = 0; i <= kGrid; ++i)
    for (int k = 0; k <= kGrid; ++k) {
      const Vec2 p{box.low.x + box.width() * i / kGrid, box.low.y + box.depth() * k / kGrid};
      if (!plane::contains(form.outline(), p) || form.drop(Sheet::top, p) > 0) continue;
      // First form of the layer's middle, I - 2 a II, in the pattern's own lengths.
      const RiseAt z = rise.at(p);
      const double w = std::sqrt(1 + dot(z.slope, z.slope)), sx = x->speed(p.x), sy = y->speed(p.y);
      const double e = (1 + z.slope.x * z.slope.x - 2 * away_mm * z.xx / w) / (sx * sx);
      const double f = (z.slope.x * z.slope.y - 2 * away_mm * z.xy / w) / (sx * sy);
      const double g = (1 + z.slope.y * z.slope.y - 2 * away_mm * z.yy / w) / (sy * sy);
      const double mean = (e + g) / 2, off = std::sqrt((e - g) * (e - g) / 4 + f * f);
      const double most = std::sqrt(std::max(0.0, mean + off)) - 1, least = 1 - std::sqrt(std::max(0.0, mean - off));
      if (most > out.stretched) {
        out.stretched = most;
        out.stretched_at = p;
      }
      if (least > out.pressed) {
        out.pressed = least;
        out.pressed_at = p;
      }
    }
  return out;
}

}  // namespace kerfkiln::cushion
