#include "modeler/cushion/volume.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "modeler/cushion/drop.hpp"
#include "modeler/cushion/labelled_quadrature.ipp"
#include "modeler/cushion/region_rays.hpp"
#include "modeler/cushion/rise_integral.hpp"

namespace kerfkiln::cushion {
namespace {

// Channels of one pass: the drop volume above kLevels thresholds, the moments of the drop, the area where the drop
// exceeds the first threshold, and the error of inner integrals.
constexpr std::size_t kLevels = 8;
constexpr double kPlainDrop = -INFINITY;  // as a threshold: the drop itself, whatever the face rises
enum Channel : std::size_t { kX = kLevels, kY, kSquare, kArea, kInner, kChannels };
using Values = std::array<double, kChannels>;

// An inward ray. The plan element at distance d along it is (j0 + j1 d) dd ds.
struct Ray {
  Vec2 q, n;
  double j0 = 1, j1 = 0;
};

// The part of the plan that is integrated over. rays: none for all of it.
struct Within {
  std::span<const plane::Outline> outlines;
  const RegionRays* rays = nullptr;
  double area() const {
    double sum = 0;
    for (const plane::Outline& o : outlines) sum += plane::area(o);
    return sum;
  }
};

class SheetIntegral {
 public:
  SheetIntegral(const DropField& field, const Rise& rise, const RegionRays* rays, bool general, bool areas, double size,
                double tolerance)
      : field_(field),
        boundary_(field.boundary()),
        rise_(rise),
        rays_(rays),
        closed_(field.uniform() && !general && rise.flat()),
        tolerance_(tolerance),
        cuts_(areas || field.plain() ? Cuts::at_once : Cuts::where_wanted) {
    scale_.fill(1);
    scale_[kX] = scale_[kY] = size;
    scale_[kSquare] = std::max(field.drop_max(), 1.0);
    // An area jumps where its region ends; where it is wanted it counts by the drop over it.
    scale_[kArea] = areas ? 1 / std::max(field.drop_max(), 1.0) : INFINITY;
  }

  // Integrals over the plan for the given thresholds, at most kLevels.
  Integral<kChannels> over_plan(std::span<const double> thresholds) {
    thresholds_ = thresholds;
    total_ = {};
    if (field_.inset_max() <= 0) return total_;
    double length = 0;
    for (const Element& e : boundary_.elements()) length += e.length;
    inner_ = tolerance_ / (4 * length);
    for (std::size_t i = 0; i < boundary_.elements().size(); ++i) over_element(static_cast<int>(i), length);
    for (const Fan& fan : boundary_.fans()) over_fan(fan, length);
    total_.error += total_.value[kInner];
    return total_;
  }

 private:
  void over_element(int id, double length) {
    const Element& e = boundary_.elements()[static_cast<std::size_t>(id)];
    const auto ray = [&](double s) {
      const double u = s / e.length;
      return Ray{e.point(u), e.inward(u), 1, -e.curvature()};
    };
    // Where a neighbour blends, its reach into this tile can be too narrow for nodes spread over the whole side.
    std::vector<double> knots{0.0};
    if (!field_.blended(id)) {
      const double reach = std::min(field_.inset_max(), e.length / 2);
      for (double share : {0.125, 0.5, 1.0}) {
        if (field_.blended(e.previous)) knots.push_back(share * reach);
        if (field_.blended(e.next)) knots.push_back(e.length - share * reach);
      }
    }
    if (rays_ != nullptr)
      for (const Vec2 p : e.arc ? rays_->turns_through(e.centre) : rays_->turns_parallel(e.inward(0)))
        knots.push_back(e.length * std::clamp(e.foot(p), 0.0, 1.0));
    // What a corner at either end cuts off of the rays changes its shape within a small part of the side, where the
    // nodes spread over all of it see nothing. A smooth end with room for the edge cuts nothing off.
    if (closed_) {
      const bool before = !open_end(e, boundary_.elements()[static_cast<std::size_t>(e.previous)], 0),
                 after = !open_end(e, boundary_.elements()[static_cast<std::size_t>(e.next)], 1);
      for (double share : {0.03125, 0.125, 0.5, 1.0}) {
        const double reach = share * std::min(field_.inset_max(), e.length / 2);
        if (before) knots.push_back(reach);
        if (after) knots.push_back(e.length - reach);
      }
    }
    knots.push_back(e.length);
    between(std::move(knots),
            [&](double from, double to) { across(ray, from, to, id, -1, tolerance_ * (to - from) / length); });
  }
  // e runs on into its neighbour at this end without a turn, and both leave the edge its room.
  bool open_end(const Element& e, const Element& neighbour, double u) const {
    const double inset = field_.inset_max();
    const auto roomy = [inset](const Element& x) {
      return x.length >= inset && (!x.arc || !x.ccw || x.radius >= inset);
    };
    return roomy(e) && roomy(neighbour) && dot(e.inward(u), neighbour.inward(1 - u)) > 1 - 1e-12;
  }
  void over_fan(const Fan& fan, double length) {
    const auto ray = [&](double angle) {
      const double c = std::cos(angle), s = std::sin(angle);
      return Ray{fan.at, {c * fan.from.x + s * fan.from.y, c * fan.from.y - s * fan.from.x}, 0, 1};
    };
    std::vector<double> knots{0.0, fan.turn};
    if (rays_ != nullptr)
      for (const Vec2 p : rays_->turns_through(fan.at)) {
        const double angle = std::atan2(cross(p - fan.at, fan.from), dot(p - fan.at, fan.from));
        if (angle > 0 && angle < fan.turn) knots.push_back(angle);
      }
    between(std::move(knots), [&](double from, double to) {
      across(ray, from, to, fan.before, fan.after, tolerance_ * (to - from) * field_.inset_max() / length);
    });
  }
  // Ranges too short for halving hold nothing.
  template <class F>
  static void between(std::vector<double> knots, F range) {
    std::sort(knots.begin(), knots.end());
    double from = knots.front();
    for (const double to : knots) {
      if (to - from < 1e-9 * knots.back()) continue;
      range(from, to);
      from = to;
    }
  }

  template <class RayAt>
  void across(const RayAt& ray, double from, double to, int own, int own2, double tolerance) {
    if (cuts_ == Cuts::at_once) return across_part(ray, from, to, own, own2, tolerance);
    // Where rays begin to end at another part of the boundary the integral has a kink, which costs no look at the field
    // to find.
    constexpr int kPlaces = 32;
    const auto met = [&](double s) {
      const Ray r = ray(s);
      const Boundary::Contact c = boundary_.contact(r.q, r.n, field_.inset_max(), own, own2);
      // At the centre of an arc its neighbours are as near: no switch.
      const Element& e = boundary_.elements()[static_cast<std::size_t>(own)];
      return own2 < 0 && e.arc && e.ccw && c.d >= e.radius * (1 - 1e-7) ? own : c.element;
    };
    const double step = (to - from) / kPlaces;
    double start = from;
    int before = met(from + step / 2);
    for (int i = 1; i < kPlaces; ++i) {
      double low = from + (i - 0.5) * step, high = low + step;
      const int after = met(high);
      if (after == before) continue;
      while (high - low > kCoarse * (to - from)) {
        const double mid = (low + high) / 2;
        (met(mid) == before ? low : high) = mid;
      }
      across_part(ray, start, high, own, own2, tolerance * (high - start) / (to - from));
      start = high;
      before = after;
    }
    across_part(ray, start, to, own, own2, tolerance * (to - start) / (to - from));
  }
  template <class RayAt>
  void across_part(const RayAt& ray, double from, double to, int own, int own2, double tolerance) {
    const auto none = [](std::uint64_t, double, double, Values&) { return false; };
    const auto along = [&](double s) { return along_ray(ray(s), own, own2); };
    LabelledQuadrature<kChannels, decltype(along), decltype(none)> rule(along, none, scale_, tolerance,
                                                                        closed_ ? kFine : kCoarse, cuts_);
    const Integral<kChannels> part = rule.over(from, to);
    for (std::size_t c = 0; c < kChannels; ++c) total_.value[c] += part.value[c];
    total_.error += part.error;
  }

  // One profile from d = from to d = to along the ray.
  void closed_form(const EdgeProfile& profile, const Ray& r, double from, double to, Values& out) const {
    to = std::min(to, profile.inset);
    if (!(to > from)) return;
    using M = DropCurve::Moments;
    const M a = from > 0 ? profile.curve->moments(from) : M{}, b = profile.curve->moments(to);
    const double m1 = b.m1 - a.m1, flat = r.j0 * (b.m0 - a.m0) + r.j1 * m1;
    const double lever = r.j0 * m1 + r.j1 * (b.m2 - a.m2);
    out[kX] += r.q.x * flat + r.n.x * lever;
    out[kY] += r.q.y * flat + r.n.y * lever;
    out[kSquare] += r.j0 * (b.s0 - a.s0) + r.j1 * (b.s1 - a.s1);
    for (std::size_t k = 0; k < thresholds_.size(); ++k) {
      const double t = thresholds_[k];
      double end = to, volume = flat;
      if (t > 0) {
        end = std::min(to, profile.inset_at(t));
        if (!(end > from)) continue;
        const M m = profile.curve->moments(end);
        volume = r.j0 * (m.m0 - a.m0) + r.j1 * (m.m1 - a.m1);
      }
      const double area = (end - from) * (r.j0 + r.j1 * (end + from) / 2);
      out[k] += volume - t * area;
      if (k == 0) out[kArea] += area;
    }
  }

  Labelled<kChannels> along_ray(const Ray& r, int own, int own2) const {
    Labelled<kChannels> result;
    const Boundary::Contact cut = boundary_.contact(r.q, r.n, field_.inset_max(), own, own2);
    result.label = static_cast<std::uint64_t>(cut.element + 2);
    const RegionRays::Part all{0, cut.d};
    std::vector<RegionRays::Part> inside;
    if (rays_ != nullptr) rays_->along(r.q, r.n, cut.d, inside, result.label);
    const std::span<const RegionRays::Part> parts =
        rays_ != nullptr ? std::span(std::as_const(inside)) : std::span(&all, 1);
    if (closed_) {
      for (const RegionRays::Part& part : parts) closed_form(field_.profile(own), r, part.from, part.to, result.value);
      return result;
    }
    // d = cut u^2: the drop starts like a square root at the side face.
    const auto at = [&](double u) {
      const double d = cut.d * u * u;
      const Vec2 p = r.q + d * r.n;
      const DropField::Hit hit = field_.strongest(p);
      Labelled<kChannels> v;
      std::uint64_t above = 0;
      const double weight = (r.j0 + r.j1 * d) * 2 * cut.d * u, drop = hit.drop * weight;
      if (!rise_.flat()) return risen(p, hit, weight);
      for (std::size_t k = 0; k < thresholds_.size(); ++k) {
        if (hit.drop <= thresholds_[k]) continue;
        ++above;
        v.value[k] = drop - thresholds_[k] * weight;
        if (k == 0) v.value[kArea] = weight;
      }
      v.value[kX] = p.x * drop;
      v.value[kY] = p.y * drop;
      v.value[kSquare] = hit.drop * drop;
      v.label = static_cast<std::uint64_t>(hit.label + 1) * (kLevels + 1);
      // Where the ray's own profile rules, levels need no cuts: the closed form knows them.
      if (hit.element != own || field_.blended(own) || own2 >= 0) v.label += above;
      return v;
    };
    const auto closed = [&](std::uint64_t label, double u, double v, Values& out) {
      if (!rise_.flat()) return false;
      const int hit = static_cast<int>(label / (kLevels + 1)) - 1;
      if (hit < 0) return true;
      const int element = hit / 4;
      if (field_.blended(element) || (element != own && element != own2)) return false;
      closed_form(field_.profile(element), r, cut.d * u * u, cut.d * v * v, out);
      return true;
    };
    LabelledQuadrature<kChannels, decltype(at), decltype(closed)> rule(at, closed, scale_, inner_, kCoarse, cuts_);
    for (const RegionRays::Part& part : parts) {
      const double to = part.to == cut.d ? 1 : std::sqrt(part.to / cut.d);
      const Integral<kChannels> whole = rule.over(std::sqrt(part.from / cut.d), to);
      for (std::size_t c = 0; c < kChannels; ++c) result.value[c] += whole.value[c];
      result.value[kInner] += whole.error;
      result.label = (result.label * 1099511628211u) ^ whole.trail;
    }
    return result;
  }

  // What edges add to the volume and the area above a threshold where the face rises; nothing where the drop is none.
  Labelled<kChannels> risen(Vec2 p, const DropField::Hit& hit, double weight) const {
    Labelled<kChannels> v;
    const double rise = rise_.value(p), excess = hit.drop - rise, drop = hit.drop * weight;
    std::uint64_t states = 0;
    for (std::size_t k = 0; k < thresholds_.size(); ++k) {
      const double t = thresholds_[k];
      if (t == kPlainDrop) {
        v.value[k] = drop;
        if (k == 0 && hit.drop > 0) v.value[kArea] = weight;
        continue;
      }
      const bool over = excess > t, under = -rise > t;
      states = 3 * states + (over ? 1 : 0) + (under ? 1 : 0);
      if (over) v.value[k] = ((under ? hit.drop : excess - t)) * weight;
      if (k == 0 && over && !under) v.value[kArea] = weight;
    }
    v.value[kX] = p.x * drop;
    v.value[kY] = p.y * drop;
    v.value[kSquare] = (hit.drop - 2 * rise) * drop;
    v.label = static_cast<std::uint64_t>(hit.label + 1) * 10007 + states;
    return v;
  }

  // Kinks are located to these shares of a range.
  static constexpr double kFine = 1e-8, kCoarse = 1e-5;
  const DropField& field_;
  const Boundary& boundary_;
  const Rise& rise_;
  const RegionRays* rays_;
  bool closed_;
  double tolerance_, inner_ = 0;
  Cuts cuts_;
  Values scale_{};
  std::span<const double> thresholds_;
  Integral<kChannels> total_;
};

struct SheetResult {
  std::vector<double> above;  // for each threshold
  double x = 0, y = 0, square = 0, area = 0, error = 0;
};

double wanted_of(const Form& form, Sheet sheet, const VolumeOptions& options) {
  const bool closed = form.uniform(sheet) && !options.general && form.rise(sheet).flat();
  return options.relative_error > 0 ? options.relative_error : closed ? 1e-10 : 1e-7;
}

// areas: the area is wanted too, and counts in the error. rise: none for the drop alone.
SheetResult integrate(const Form& form, Sheet sheet, const Rise& rise, const RegionRays* rays,
                      const std::vector<double>& thresholds, bool areas, const VolumeOptions& options) {
  const plane::Box box = form.field(sheet).boundary().box();
  const double size = std::max({std::abs(box.low.x), std::abs(box.low.y), std::abs(box.high.x), std::abs(box.high.y)});
  const double tolerance = wanted_of(form, sheet, options) / 2 * plane::area(form.outline()) * form.height();
  SheetIntegral integral(form.field(sheet), rise, rays, options.general, areas, size, tolerance);
  SheetResult result;
  for (std::size_t first = 0; first < thresholds.size(); first += kLevels) {
    const std::size_t n = std::min(kLevels, thresholds.size() - first);
    const Integral<kChannels> pass = integral.over_plan(std::span(thresholds).subspan(first, n));
    for (std::size_t k = 0; k < n; ++k) result.above.push_back(pass.value[k]);
    result.error = std::max(result.error, pass.error);
    if (first > 0) continue;
    result.x = pass.value[kX];
    result.y = pass.value[kY];
    result.square = pass.value[kSquare];
    result.area = pass.value[kArea];
  }
  return result;
}

// The same for drop - rise over the whole plan: what edges take, less what the rise adds. thresholds: 0 first.
SheetResult integrate_risen(const Form& form, Sheet sheet, const Within& within, std::vector<double> thresholds,
                            const VolumeOptions& options) {
  const Rise& rise = form.rise(sheet);
  if (rise.flat()) return integrate(form, sheet, rise, within.rays, thresholds, false, options);
  const double tolerance = wanted_of(form, sheet, options) / 8 * plane::area(form.outline()) * form.height();
  thresholds.front() = kPlainDrop;
  SheetResult r = integrate(form, sheet, rise, within.rays, thresholds, false, options);
  for (const plane::Outline& part : within.outlines) {
    const RiseMoments m = rise_moments(rise, part);
    r.above.front() -= m.value;
    r.x -= m.x;
    r.y -= m.y;
    r.square += m.square;
    r.error += m.error;
    for (std::size_t k = 1; k < thresholds.size(); ++k) {
      const RiseBelow below = rise_below(rise, part, thresholds[k], tolerance);
      r.above[k] += below.volume;
      r.error += below.error;
    }
  }
  return r;
}

// Area of the part of the plan where drop - rise exceeds t.
Area area_beyond(const Form& form, Sheet sheet, double t, const VolumeOptions& options) {
  const Rise& rise = form.rise(sheet);
  const double steep = std::max(form.drop_max(sheet), 1.0);
  if (rise.flat()) {
    const SheetResult r = integrate(form, sheet, rise, nullptr, {std::max(t, 0.0)}, true, options);
    return {r.area, r.error / steep};
  }
  const SheetResult r = integrate(form, sheet, rise, nullptr, {t}, true, options);
  const double tolerance = wanted_of(form, sheet, options) / 8 * plane::area(form.outline()) * form.height();
  const RiseBelow below = rise_below(rise, form.outline(), t, tolerance);
  return {r.area + below.area, r.error / steep + below.error};
}

Volumes volumes_of(const Form& form, const Within& within, std::span<const double> levels,
                   const VolumeOptions& options) {
  const double height = form.height(), plan = within.area();
  const std::size_t layers = levels.size() - 1;
  std::vector<double> bounds{0};
  for (std::size_t i = 1; i < layers; ++i) bounds.push_back(std::clamp(levels[i], 0.0, height));
  bounds.push_back(height);

  // Thresholds of the drop: 0 first, then one for each boundary between layers.
  std::vector<double> top{0}, bottom{0};
  for (std::size_t i = 1; i < layers; ++i) {
    top.push_back(height - bounds[i]);
    bottom.push_back(bounds[i]);
  }
  const SheetResult t = integrate_risen(form, Sheet::top, within, top, options);
  const SheetResult b = integrate_risen(form, Sheet::bottom, within, bottom, options);

  // What either sheet lacks below height z of the plan prism: all of the top's is below H, none below 0. A rise lacks
  // less than nothing.
  const auto removed = [&](std::size_t i) {
    if (i == 0) return 0.0;
    if (i == layers) return t.above[0] + b.above[0];
    return t.above[i] + (b.above[0] - b.above[i]);
  };
  Volumes v;
  for (std::size_t i = 0; i < layers; ++i)
    v.layers.push_back(plan * (bounds[i + 1] - bounds[i]) - (removed(i + 1) - removed(i)));
  v.core = plan * height - removed(layers);
  v.error = t.error + b.error + 4e-16 * plan * height;
  Vec2 middle;
  for (const plane::Outline& part : within.outlines) middle = middle + plane::area(part) / plan * plane::centroid(part);
  v.centroid = {(height * plan * middle.x - t.x - b.x) / v.core, (height * plan * middle.y - t.y - b.y) / v.core,
                (plan * height * height - 2 * height * t.above[0] + t.square - b.square) / (2 * v.core)};
  return v;
}

}  // namespace

Volumes volumes(const Form& form, std::span<const double> levels, const VolumeOptions& options) {
  return volumes_of(form, {std::span(&form.outline(), 1), nullptr}, levels, options);
}

Volumes volumes_within(const Form& form, std::span<const plane::Outline> region, std::span<const double> levels,
                       const VolumeOptions& options) {
  const RegionRays rays(region);
  return volumes_of(form, {region, &rays}, levels, options);
}

Area level_area(const Form& form, Sheet sheet, double drop, const VolumeOptions& options) {
  const double plan = plane::area(form.outline());
  const SheetResult r = integrate(form, sheet, Rise(), nullptr, {std::max(drop, 0.0)}, true, options);
  return {plan - r.area, r.error / std::max(form.drop_max(sheet), 1.0)};
}

Area section_area(const Form& form, double z, const VolumeOptions& options) {
  const double plan = plane::area(form.outline());
  if (z < -form.rise_range(Sheet::bottom).high || z > form.height() + form.rise_range(Sheet::top).high) return {};
  const Area top = area_beyond(form, Sheet::top, form.height() - z, options);
  const Area bottom = area_beyond(form, Sheet::bottom, z, options);
  return {plan - top.value - bottom.value, top.error + bottom.error};
}

}  // namespace kerfkiln::cushion
