#include "modeler/cushion/cut_moments.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/volume.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

// Of the core's volume. What lies under a crease counts by the crease's depth only.
constexpr double kMomentError = 1e-7, kUnderCreaseError = 1e-6;

void add(Moments& m, double volume, Vec3 centre) {
  m.volume += volume;
  m.first = m.first + volume * centre;
}

Vec2 middle_of(const plane::Region& region, double area) {
  Vec2 sum;
  for (const plane::Outline& o : region) sum = sum + plane::area(o) / area * plane::centroid(o);
  return sum;
}

// The form with one of its faces flat, over the region: volume and centre from the flat face to the other.
Volumes under(const Form& form, Sheet sheet, const plane::Region& region, double error = kMomentError) {
  const Form f = form.alone(sheet);
  const bool closed = f.uniform(sheet) && !f.risen();
  return volumes_within(f, region, std::vector<double>{0, form.height()}, {.relative_error = closed ? 0 : error});
}

// Level over all of the region: it rises nowhere, and an edge that reaches into it crosses its boundary.
bool level(const Form& form, Sheet sheet, const plane::Region& region) {
  if (!form.rise(sheet).flat()) return false;
  if (form.inset(sheet) == 0) return true;
  const auto flat = [&](const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      const int n = 1 + static_cast<int>(s.length() / 2);
      for (int k = 0; k < n; ++k)
        if (form.drop(sheet, s.point(static_cast<double>(k) / n)) > 0) return false;
    }
    return true;
  };
  for (const plane::Outline& o : region) {
    if (!flat(o.outer)) return false;
    for (const plane::Loop& hole : o.holes)
      if (!flat(hole)) return false;
  }
  return true;
}

// Between a level and the face: what lies under the face less the prism under the level (or the reverse below).
void add_cut(Moments& m, const Form& form, const Cut& cut, const plane::Region& region) {
  const double area = plane::area(region);
  if (!(area > 0)) return;
  const Vec2 middle = middle_of(region, area);
  const auto prism = [&](double low, double high, double sign) {
    add(m, sign * area * (high - low), {middle.x, middle.y, (low + high) / 2});
  };
  const double height = form.height();
  const Sheet sheet = cut.kind == Cut::Kind::roof ? Sheet::bottom : Sheet::top;
  if (level(form, sheet, region)) {
    if (cut.kind == Cut::Kind::roof) return prism(0, cut.mm, 1);
    return prism(cut.kind == Cut::Kind::floor ? cut.mm : height - cut.mm, height, 1);
  }
  if (cut.kind == Cut::Kind::roof) {
    const Volumes above = under(form, Sheet::bottom, region);  // from the underside to the flat top
    prism(cut.mm, height, -1);
    add(m, above.core, above.centroid);
    return;
  }
  const bool crease = cut.kind == Cut::Kind::below_top;
  const Volumes below =
      under(form, Sheet::top, region, crease ? kUnderCreaseError : kMomentError);  // from 0 to the top
  if (cut.kind == Cut::Kind::floor) {
    prism(0, cut.mm, -1);
    add(m, below.core, below.centroid);
    return;
  }
  // From z - depth to z, z the top: the moment of height is depth (integral of z) - area depth^2 / 2.
  m.volume += area * cut.mm;
  m.first = m.first +
            Vec3{area * cut.mm * middle.x, area * cut.mm * middle.y, cut.mm * below.core - area * cut.mm * cut.mm / 2};
}

}  // namespace

Result<Moments> cut_moments(const Form& form, const Cuts& cuts) {
  Moments m;
  for (const Cut& c : cuts.cuts) {
    const Result<plane::Region> region = plane::intersected({cuts.regions[c.region]}, {form.outline()});
    if (!region) return region.findings();
    add_cut(m, form, c, *region);
  }
  for (const Pocket& p : cuts.pockets) {
    if (p.from != Pocket::From::side) continue;
    const Vec2 face = plane::centroid(p.outline);
    const Vec2 at = p.origin + face.x * p.along + p.depth_mm / 2 * p.inward;
    add(m, plane::area(p.outline) * p.depth_mm, {at.x, at.y, face.y});
  }
  return m;
}

}  // namespace kerfkiln::cushion
