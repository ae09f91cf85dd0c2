// Level curves of risen forms: no discs of even height about the boundary bound them, so they are traced.
#include <algorithm>
#include <cmath>
#include <optional>

#include "modeler/cushion/level.hpp"
#include "modeler/cushion/relief.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kTraceMm = 0.25;  // of the polygon that is traced first
constexpr double kFineTraceMm = 0.02;
constexpr double kOnSideMm = 2e-3;  // nearer to the outline than this is on it

class Tracer {
 public:
  Tracer(const Form& form, double z) : form_(form), z_(z) {}

  plane::Loop traced(const plane::Loop& polygon) const {
    const std::size_t n = polygon.size();
    plane::Loop out;
    for (std::size_t i = 0; i < n; ++i) {
      const Vec2 before = polygon[(i + n - 1) % n].at, p = polygon[i].at, after = polygon[(i + 1) % n].at;
      const Curve curve = curve_at(p);
      const Vec2 along = after - before;
      const Vec2 q = norm(along) > 0 ? onto(curve, p, left(unit(along)), norm(along) / 4) : p;
      if (out.empty() || norm(q - out.back().at) > 1e-3) {
        out.push_back({q, 0, -1});
        curves_.push_back(curve);
      }
    }
    while (out.size() > 3 && norm(out.back().at - out.front().at) < 1e-3) out.pop_back();
    for (std::size_t i = 0; i < out.size(); ++i) {
      const std::size_t j = (i + 1) % out.size();
      const Vec2 a = out[i].at, b = out[j].at, mid = 0.5 * (a + b);
      const double chord = norm(b - a);
      const Curve curve = curves_[i] == curves_[j] ? curves_[i] : std::max(curves_[i], curves_[j]);
      // The arc through both ends and the curve's point over the middle.
      const Vec2 up = left(unit(b - a)), q = onto(curve, mid, up, chord / 8);
      const double bulge = -2 * dot(q - mid, up) / chord;
      if (std::abs(bulge) > 1e-6) out[i].bulge = bulge;
    }
    curves_.clear();
    return out;
  }

 private:
  enum class Curve { outline, top, bottom };

  Curve curve_at(Vec2 p) const {
    if (plane::nearest(form_.outline(), p).distance < kOnSideMm) return Curve::outline;
    return std::abs(form_.z_top(p) - z_) <= std::abs(form_.z_bottom(p) - z_) ? Curve::top : Curve::bottom;
  }
  // The curve's point on the line through p, at most `reach` away; p itself where none is found.
  Vec2 onto(Curve curve, Vec2 p, Vec2 direction, double reach) const {
    if (curve == Curve::outline) {
      const plane::Nearest foot = plane::nearest(form_.outline(), p);
      return foot.distance < reach ? foot.point : p;
    }
    const auto above = [&](double s) {
      const Vec2 q = p + s * direction;
      return (curve == Curve::top ? form_.z_top(q) : form_.z_bottom(q)) - z_;
    };
    // The nearest change of sign: beyond the outline the drop turns back.
    const bool under = above(0) < 0;
    double low = 0, high = 0;
    for (double h = 0.01; h <= reach && high == 0; h *= 2)
      for (const double s : {h, -h})
        if (high == 0 && (above(s) < 0) != under) high = s;
    if (high == 0) return p;
    while (std::abs(high - low) > 1e-7) {
      const double mid = (low + high) / 2;
      ((above(mid) < 0) == under ? low : high) = mid;
    }
    return p + (low + high) / 2 * direction;
  }

  const Form& form_;
  double z_;
  mutable std::vector<Curve> curves_;
};

}  // namespace

Result<std::vector<plane::Outline>> risen_outlines(const Form& form, double z) {
  const Tracer tracer(form, z);
  // Just below a crest the curve is too small for a coarse polygon to lead along it.
  for (const double polygon_mm : {kTraceMm, kFineTraceMm}) {
    Result<std::vector<plane::Outline>> polygons = section(form, z, polygon_mm);
    if (!polygons) return polygons;
    std::vector<plane::Outline> out;
    for (const plane::Outline& o : *polygons) {
      plane::Outline traced{tracer.traced(o.outer), {}, form.outline().sides};
      for (const plane::Loop& hole : o.holes) traced.holes.push_back(tracer.traced(hole));
      out.push_back(std::move(traced));
    }
    if (std::all_of(out.begin(), out.end(), plane::simple)) return out;
  }
  return section(form, z, kFineTraceMm);
}

}  // namespace kerfkiln::cushion
