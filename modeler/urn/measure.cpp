#include "modeler/urn/measure.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "modeler/numeric/gauss.hpp"
#include "modeler/urn/inner_integral.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kPi = std::numbers::pi;

double relative(double a, double b) { return std::abs(a - b) / std::max(std::abs(a), std::abs(b)); }

// Side area between the stations of one span.
double side_area(const Form& form, int span, int points) {
  const Profile& profile = form.profile();
  const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(span)];
  return integrate(points, s.begin, s.begin + s.length, [&](double t) {
    const ProfileJet j = profile.at(span, t);
    if (form.round()) return 2 * kPi * j.size.half_width * std::hypot(j.rate.half_width, j.z_t);
    double ring = 0;
    form.each_node(points, [&](int piece, double v, double weight) {
      const SurfaceJet p = form.jet(j, piece, v);
      ring += weight * norm(cross(p.p_v, p.p_t));
    });
    return form.copies() * ring;
  });
}

struct Solid {
  double volume = 0, moment = 0;
};
Solid outside_solid(const Form& form, int points) {
  Solid sum;
  const Profile& profile = form.profile();
  for (int k = 0; k < static_cast<int>(profile.spans().size()); ++k) {
    const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(k)];
    for (const GaussNode& g : gauss_rule(points)) {
      const ProfileJet j = profile.at(k, s.begin + s.length * g.at);
      const double slab = g.weight * s.length * form.section().area(j.size) * j.z_t;
      sum.volume += slab;
      sum.moment += slab * j.z;
    }
  }
  return sum;
}

BodyMeasure body(const Wall& w, const InnerSums& s) {
  BodyMeasure m;
  m.volume = s.volume;
  m.side_area = s.area;
  m.centroid_z = s.volume > 0 ? s.moment / s.volume : w.floor();
  m.error = s.volume > 0 ? s.error / s.volume : 0;
  return m;
}

}  // namespace

BodyMeasure measure_outside(const Form& form) {
  // Round: half_width^2 * height' is a polynomial of degree 8, exact with 10 points.
  const Solid solid = outside_solid(form, form.round() ? 10 : 20);
  BodyMeasure m;
  m.volume = solid.volume;
  m.centroid_z = solid.moment / solid.volume;
  for (int k = 0; k < static_cast<int>(form.profile().spans().size()); ++k)
    m.side_area += side_area(form, k, form.round() ? 30 : 10);
  m.error =
      form.round() ? std::numeric_limits<double>::epsilon() : relative(solid.volume, outside_solid(form, 10).volume);
  return m;
}

BodyMeasure measure_inside(const Wall& w, double level) {
  return body(w, integrate_inside(w, w.floor(), std::clamp(level, w.floor(), w.lip())));
}

double level_of(const Wall& w, double volume_mm3) {
  double lo = w.floor(), hi = w.lip();
  const double whole = integrate_inside(w, lo, hi).volume;
  if (!(volume_mm3 >= 0 && volume_mm3 <= whole)) return std::numeric_limits<double>::quiet_NaN();
  double z = lo + (hi - lo) * volume_mm3 / whole, known_z = hi, known = whole;
  for (int i = 0; i < 60; ++i) {
    // Only the slab between two levels is integrated anew.
    const double slab = z < known_z ? -integrate_inside(w, z, known_z).volume : integrate_inside(w, known_z, z).volume;
    known += slab, known_z = z;
    const double off = known - volume_mm3;
    (off > 0 ? hi : lo) = z;
    double next = z - off / inner_section_area(w, z);
    if (!(next > lo && next < hi)) next = 0.5 * (lo + hi);
    if (std::abs(next - z) <= 1e-12 * w.lip()) return next;
    z = next;
  }
  return z;
}

WareMeasure measure_ware(const Wall& w, double fill_below_lip, const InnerSums* known) {
  const Form& form = w.form();
  WareMeasure m;
  m.outside = measure_outside(form);
  m.fill_level = w.lip() - fill_below_lip;
  const double line = std::clamp(m.fill_level, w.floor(), w.lip());
  const InnerSums filled = known ? *known : integrate_inside(w, w.floor(), line),
                  above = integrate_inside(w, line, w.lip());
  m.inside = body(w, {filled.volume + above.volume, filled.moment + above.moment, filled.area + above.area,
                      filled.error + above.error});
  m.capacity_fill = filled.volume;
  m.fill_centroid_z = filled.volume > 0 ? filled.moment / filled.volume : w.floor();
  m.capacity_brim = m.inside.volume;
  m.recess_volume = recess_area(w) * w.size().recess;
  m.clay_volume = m.outside.volume - m.inside.volume - m.recess_volume;
  m.clay_centroid_z = (m.outside.volume * m.outside.centroid_z - m.inside.volume * m.inside.centroid_z -
                       m.recess_volume * (form.low() + 0.5 * w.size().recess)) /
                      m.clay_volume;
  const Profile& p = form.profile();
  const SectionSize foot = p.at(0, p.begin()).size;
  m.floor_area = inner_section_area(w, w.floor());
  m.base_area = form.section().area(foot);
  m.lip_area = form.section().area(p.at(p.end()).size) - inner_section_area(w, w.lip());
  m.inside_area = m.inside.side_area + m.floor_area;
  m.outside_area = m.outside.side_area;
  m.foot_half_width = foot.half_width;
  m.foot_half_depth = foot.half_depth;
  m.tip_angle = std::atan(std::min(foot.half_width, foot.half_depth) / m.clay_centroid_z);
  m.error = std::max(m.outside.error, m.inside.error);
  return m;
}

Standing standing(double foot_half_size, double mass_a, double centroid_a, double mass_b, double centroid_b) {
  const double z = (mass_a * centroid_a + mass_b * centroid_b) / (mass_a + mass_b);
  return {z, std::atan(foot_half_size / z)};
}

SectionMeasure measure_section(const Form& form, double z) {
  const SectionSize s = form.size_at(z);
  return {s, form.section().area(s), form.section().perimeter(s)};
}

}  // namespace kerfkiln::urn
