#include "modeler/urn/lid.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/numeric/gauss.hpp"
#include "modeler/plane/region.hpp"
#include "modeler/urn/inner_integral.hpp"
#include "modeler/urn/lid_size.hpp"
#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kPi = std::numbers::pi;

struct Sums {
  double volume = 0, moment = 0, outside = 0, inside = 0;
};

// One segment: its part of the volume (flux through level sections), of the moment about z = 0, and its area.
void add_segment(const Lid& lid, std::size_t i, Sums& sum) {
  const plane::Segment s = plane::segment(lid.meridian, i);
  const auto face = static_cast<LidFace>(lid.meridian[i].side);
  if (face == LidFace::axis) return;
  double& area = i < lid.inside_end ? sum.inside : sum.outside;
  if (face == LidFace::panel) {
    // Level, between a parallel curve and the middle or the knob's neck.
    const double out = std::max(s.a.x, s.b.x), in = std::min(s.a.x, s.b.x);
    area += lid.section_area(LidFace::moulding, out) - lid.section_area(LidFace::turned, in);
    return;
  }
  const double length = s.length();
  for (const GaussNode& g : gauss_rule(20)) {
    const Vec2 p = s.point(g.at);
    const double rise = g.weight * length * s.tangent(g.at).y, level = lid.section_area(face, p.x);
    sum.volume += level * rise;
    sum.moment += level * p.y * rise;
    area += g.weight * length * lid.section_perimeter(face, p.x);
  }
}

LidMeasure measure(const Lid& lid) {
  Sums sum;
  for (std::size_t i = 0; i < lid.meridian.size(); ++i) add_segment(lid, i, sum);
  LidMeasure m;
  m.volume = sum.volume;
  m.centroid_z = sum.moment / sum.volume;
  m.outside_area = sum.outside;
  m.inside_area = sum.inside;
  const plane::Box box = plane::bounds(lid.meridian);
  m.half_width = box.high.x;
  m.half_depth = box.high.x - lid.outline.half_width() + lid.outline.half_depth();
  m.low = box.low.y, m.high = box.high.y;
  m.seat_length = lid.outline.perimeter(0.5 * (lid.seat_from + lid.seat_to));
  m.seat_area = lid.outline.area(lid.seat_to) - lid.outline.area(lid.seat_from);
  return m;
}

LidGallery gallery(const Lid& lid, const Wall& w) {
  LidGallery g;
  g.inner = lid.seat_from;
  g.top = lid.seat_z;
  g.low = lid.seat_z - lid.size.gallery_height;
  const InnerSums whole = integrate_inside(w, g.low, g.top);
  const double hole = lid.outline.area(g.inner) * (g.top - g.low);
  g.volume = whole.volume - hole;
  g.centroid_z = (whole.moment - hole * 0.5 * (g.low + g.top)) / g.volume;
  return g;
}

double displaced(const Lid& lid, const Wall& w) {
  if (lid.size.style == LidStyle::cap) return 0;
  const double out = lid.guide_lid - lid.outline.half_width();
  const double flange = (lid.outline.area(out) - lid.outline.area(out - lid.size.wall)) * lid.size.flange;
  if (!lid.gallery) return flange;
  // What stands in the neck above the ledge cannot be filled either, be it clay or air.
  return flange + lid.gallery->volume + integrate_inside(w, lid.seat_z, w.lip()).volume;
}

// No parallel curve may fold, and the cut must be one simple loop.
Findings check_meridian(const Spec& spec, const LidPlan& p, const Lid& lid) {
  const std::string path = spec.lid.profile.empty() ? "lid" : "lid/profile";
  for (std::size_t i = 0; i < lid.meridian.size(); ++i) {
    const plane::Vertex& v = lid.meridian[i];
    if (v.side == static_cast<int>(LidFace::turned) || v.side == static_cast<int>(LidFace::axis)) continue;
    const bool middle = i == 0 && v.side == static_cast<int>(LidFace::panel);
    if (middle || lid.outline.round() || v.at.x >= p.seat.limit - 1e-9) continue;
    return {{Severity::error, spec.lid.profile.empty() ? "lid.corner" : "lid.profile", path,
             "the lid reaches " + mm(v.at.x) + " from the middle at height " + mm(v.at.y - lid.seat_z) +
                 " over the seat; carried around this lip it would fold below " + mm(p.seat.limit),
             "end the profile level at a half width of " + mm(std::ceil(p.seat.lowest_panel)) +
                 " or more; the rest is a level panel"}};
  }
  if (lid.size.knob() && lid.panel < lid.size.knob_neck / 2 - 1e-9)
    return {{Severity::error, "lid.knob", "lid/knob/neck",
             "the knob's neck of " + mm(lid.size.knob_neck) + " stands over the edge of the top (" + mm(2 * lid.panel) +
                 ")",
             "make the neck narrower or end the profile further out"}};
  if (lid.size.knob() &&
      lid.panel - lid.outline.half_width() + lid.outline.half_depth() < lid.size.knob_neck / 2 - 1e-9)
    return {{Severity::error, "lid.knob", "lid/knob/neck",
             "the knob's neck of " + mm(lid.size.knob_neck) + " stands over the edge of the top, which is " +
                 mm(2 * (lid.panel - lid.outline.half_width() + lid.outline.half_depth())) + " deep",
             "make the neck narrower or end the profile further out"}};
  const Findings crossing = plane::check_outline(plane::Outline{lid.meridian, {}, {}});
  if (crossing.empty()) return {};
  return {{Severity::error, "lid.profile", path, "the lid's cut crosses itself or pinches: " + crossing.front().message,
           "let the profile rise from the shoulder to the top without meeting itself"}};
}

Findings check_profile(const Spec& spec, const LidPlan& p) {
  constexpr double kApart = 0.5;  // mm, from point to point
  Findings f;
  const auto& points = spec.lid.profile;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double z = points[i].height.value, x = points[i].half_width.value;
    const std::string path = "lid/profile/" + std::to_string(i) + "/";
    if (z < p.size.wall - 1e-9)
      f.push_back({Severity::error, "lid.profile", path + "height",
                   "height " + mm(z) + " lies below the top of the shoulder, which is a wall (" + mm(p.size.wall) +
                       ") over the seat",
                   "measure heights from the seat upwards, from " + mm(p.size.wall) + " on"});
    if (i == 0 && x > p.seat.shoulder_in + 1e-9)
      f.push_back({Severity::error, "lid.profile", path + "half_width",
                   "half width " + mm(x) + " takes away the level seat; at most " +
                       mm(std::floor(p.seat.shoulder_in * 1000) / 1000) + " leaves it",
                   "begin the profile further in, or make the seat narrower"});
    if (i == 0) continue;
    const double apart = norm(Vec2{x - points[i - 1].half_width.value, z - points[i - 1].height.value});
    if (apart < kApart)
      f.push_back({Severity::error, "lid.profile", path + "height",
                   "this point is " + mm(apart) + " from the one before; " + mm(kApart) + " or more is needed",
                   "leave one of them out, or move them apart"});
  }
  return f;
}

}  // namespace

double Lid::section_area(LidFace face, double x) const {
  return face == LidFace::turned ? kPi * x * x : outline.area(x - outline.half_width());
}
double Lid::section_perimeter(LidFace face, double x) const {
  return face == LidFace::turned ? 2 * kPi * x : outline.perimeter(x - outline.half_width());
}

Result<Lid> make_lid(const Spec& spec, const Wall& w) {
  LidSize size = lid_size(spec);
  Findings found = check_lid_size(spec, size);
  if (has_errors(found)) return found;
  Result<LidPlan> plan = size.style == LidStyle::cap ? plan_cap(spec, w, size) : plan_inset(spec, w, size);
  append(found, plan ? plan->findings : plan.findings());
  if (plan) append(found, check_profile(spec, *plan));
  if (has_errors(found)) return found;
  Result<LidMeridian> cut = lid_meridian(plan->size, plan->seat, spec.lid.profile);
  if (!cut) {
    append(found, cut.findings());
    return found;
  }
  Lid lid{plan->size,
          plan->outline,
          cut->loop,
          cut->inside_end,
          cut->panel,
          lip_turn(w.form()),
          plan->seat.seat_z,
          plan->seat_from,
          plan->seat_to,
          plan->guide_urn,
          plan->guide_lid,
          plan->gap_least,
          plan->gap_most,
          plan->rim_gap,
          LidMeasure{},
          std::nullopt,
          0,
          {}};
  append(found, check_meridian(spec, *plan, lid));
  constexpr double kFunnel = 50;  // a bag or funnel passes; common practice
  if (size.gallery() && plan->mouth < kFunnel)
    found.push_back(
        {Severity::note, "lid.opening", "lid",
         "the opening is " + mm(std::round(plan->mouth * 10) / 10) + " clear; a funnel or bag wants " + mm(kFunnel),
         "widen the neck or the gallery if the urn is filled through it"});
  if (has_errors(found)) return found;
  lid.measure = measure(lid);
  if (lid.size.gallery()) lid.gallery = gallery(lid, w);
  lid.displaced = displaced(lid, w);
  lid.findings = std::move(found);
  return lid;
}

double lid_form_volume(const Lid& lid) {
  Sums sum;
  const std::size_t rim = lid.size.style == LidStyle::inset ? lid.inside_end - 2 : lid.inside_end;
  for (std::size_t i = rim; i < lid.meridian.size(); ++i) add_segment(lid, i, sum);
  return sum.volume;
}

double lid_displaced(const Spec& spec, const Wall& w) {
  if (!spec.lid.written()) return 0;
  const Result<Lid> lid = make_lid(spec, w);
  return lid ? lid->displaced : 0;
}

}  // namespace kerfkiln::urn
