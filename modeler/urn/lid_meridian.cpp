#include "modeler/urn/lid_meridian.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "modeler/numeric/cubic.hpp"
#include "modeler/plane/fit.hpp"
#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"
#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

using plane::Loop;
using plane::Segment;
using plane::Vertex;

constexpr double kFitMm = 0.002;  // the arcs are the form; this is how far they leave the curve they are made from
constexpr double kJoinMm = 1e-7;  // ends that are nearer are one

constexpr int side(LidFace f) { return static_cast<int>(f); }

// A quarter of an ellipse from `foot`, upright there, to `top`, level there; a circle's arc where it would do.
Loop dome(Vec2 foot, Vec2 top) {
  const double run = foot.x - top.x, rise = top.y - foot.y;
  if (rise <= run) {
    // Level at the top: the chord rises by half of the sweep.
    return {{foot, std::tan(std::atan2(rise, run) / 2), 0}, {top, 0, 0}};
  }
  const auto ellipse = [&](double a) -> plane::CurvePoint {
    return {{top.x + run * std::cos(a), foot.y + rise * std::sin(a)}, {-run * std::sin(a), rise * std::cos(a)}};
  };
  return plane::fitted(ellipse, 0, std::acos(0.0), kFitMm);
}

// The maker's own outside: a natural cubic on chord length, broken at corners, through the shoulder's point and the
// given ones.
Loop through(const std::vector<Vec2>& points, const std::vector<bool>& corner) {
  Loop out;
  std::size_t first = 0;
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (!corner[i] && i + 1 < points.size()) continue;
    std::vector<double> t{0}, x{points[first].x}, z{points[first].y};
    for (std::size_t k = first + 1; k <= i; ++k) {
      t.push_back(t.back() + norm(points[k] - points[k - 1]));
      x.push_back(points[k].x), z.push_back(points[k].y);
    }
    if (!out.empty()) out.pop_back();
    if (t.size() == 2) {
      out.push_back({points[first], 0, 0});
      out.push_back({points[i], 0, 0});
    } else {
      const std::vector<Cubic> cx = natural_cubic(t, x), cz = natural_cubic(t, z);
      const auto curve = [&](double s) -> plane::CurvePoint {
        std::size_t k = 0;
        while (k + 2 < t.size() && s >= t[k + 1]) ++k;
        const double u = s - t[k];
        return {{value(cx[k], u), value(cz[k], u)}, {slope(cx[k], u), slope(cz[k], u)}};
      };
      const Loop piece = plane::fitted(curve, 0, t.back(), kFitMm);
      out.insert(out.end(), piece.begin(), piece.end());
    }
    first = i;
  }
  return out;
}

// From the neck's foot on the panel up over the knob to the axis.
Loop knob(const LidSize& s, double level) {
  const double neck = s.knob_neck / 2, most = s.knob_diameter / 2, widest = level + 0.62 * s.knob_height,
               top = level + s.knob_height;
  // A cove that leaves the panel upright and reaches the widest place upright (cubic of Bezier).
  const auto cove = [&](double t) -> plane::CurvePoint {
    const Vec2 p[4] = {
        {neck, level}, {neck, level + 0.6 * (widest - level)}, {most, level + 0.55 * (widest - level)}, {most, widest}};
    const double u = 1 - t;
    return {u * u * u * p[0] + 3 * u * u * t * p[1] + 3 * u * t * t * p[2] + t * t * t * p[3],
            3 * u * u * (p[1] - p[0]) + 6 * u * t * (p[2] - p[1]) + 3 * t * t * (p[3] - p[2])};
  };
  Loop out =
      most - neck < 1e-6 ? Loop{{{neck, level}, 0, 0}, {{most, widest}, 0, 0}} : plane::fitted(cove, 0, 1, kFitMm);
  Loop cap = dome({most, widest}, {0, top});
  if (top - widest <= most) {
    // The knob's edge is round, not a cone's: a quarter of an ellipse.
    cap = plane::fitted(
        [&](double a) -> plane::CurvePoint {
          return {{most * std::cos(a), widest + (top - widest) * std::sin(a)},
                  {-most * std::sin(a), (top - widest) * std::cos(a)}};
        },
        0, std::acos(0.0), kFitMm);
  }
  cap.back().at = {0, top};
  out.pop_back();
  out.insert(out.end(), cap.begin(), cap.end());
  return out;
}

// Rounds the corner at `at` between straight lines from `before` and to `after`.
void add_rounded(Loop& out, Vec2 before, Vec2 at, Vec2 after, double radius) {
  const Vec2 in = unit(at - before), on = unit(after - at);
  const double turn = std::atan2(cross(in, on), dot(in, on));
  const double room = 0.45 * std::min(norm(at - before), norm(after - at));
  const double back = std::min(radius * std::tan(turn / 2), room);
  if (!(turn > 1e-3) || back < 0.05) {
    out.push_back({at, 0, 0});
    return;
  }
  out.push_back({at - back * in, std::tan(turn / 4), 0});
  out.push_back({at + back * on, 0, 0});
}

// The outside from the end of the rim to the axis, without the knob.
Loop outside(const LidSize& s, const LidSeatPlan& p, const std::vector<LidPoint>& profile, double& panel) {
  const double shoulder = p.seat_z + s.wall;
  Loop top;
  const Vec2 foot{p.shoulder_in, shoulder};
  if (!profile.empty()) {
    std::vector<Vec2> points;
    std::vector<bool> corner;
    for (const LidPoint& q : profile) {
      points.push_back({q.half_width.value, p.seat_z + q.height.value});
      corner.push_back(q.corner);
    }
    if (norm(points.front() - foot) > kJoinMm) {
      points.insert(points.begin(), foot);
      corner.insert(corner.begin(), true);
      corner[1] = true;
    }
    top = points.size() > 1 ? through(points, corner) : Loop{{points[0], 0, 0}};
  } else if (s.height > s.wall && p.shoulder_in > p.lowest_panel) {
    top = dome(foot, {p.lowest_panel, p.seat_z + s.height});
  } else {
    top = {{foot, 0, 0}};
  }
  panel = top.back().at.x;
  const double level = top.back().at.y;
  Loop out{{{p.rim_out, p.rim_z}, 0, 0}};
  Vec2 corner{p.shoulder_out, shoulder}, before{p.rim_out, p.rim_z};
  if (s.style == LidStyle::inset) {
    before = {p.shoulder_out, p.seat_z};
    out.push_back({{p.rim_out, p.seat_z}, 0, 0});
    out.push_back({before, 0, 0});
  }
  // An edge that is left sharp chips; the hollow behind it stays the same.
  add_rounded(out, before, corner, foot, 0.4 * s.wall);
  if (norm(out.back().at - foot) > kJoinMm)
    out.insert(out.end(), top.begin(), top.end());
  else
    out.insert(out.end(), top.begin() + 1, top.end());
  if (panel > kJoinMm) {
    out.back().side = side(LidFace::panel);
    out.push_back({{0, level}, 0, 0});
  } else {
    out.back().at.x = 0;
    panel = 0;
  }
  return out;
}

// The t where a segment crosses x = line (or z = line), in the given sense; the first one.
std::optional<double> crossing(const Segment& s, bool upright, double line, bool falling) {
  const auto off = [&](double t) {
    const Vec2 q = s.point(t);
    return ((upright ? q.x : q.y) - line) * (falling ? -1 : 1);
  };
  constexpr int kParts = 8;
  for (int i = 0; i < kParts; ++i) {
    double a = static_cast<double>(i) / kParts, b = static_cast<double>(i + 1) / kParts;
    if (!(off(a) < 0 && off(b) >= 0)) continue;
    for (int k = 0; k < 60; ++k) {
      const double m = 0.5 * (a + b);
      (off(m) < 0 ? a : b) = m;
    }
    return b;
  }
  return std::nullopt;
}

// The hollow's edge from the rim to the axis: the part of the loop between the last crossing of the rim's line and the
// crossing of the axis. Empty: there is none.
Loop hollow_edge(const plane::Outline& o, bool upright, double line) {
  const Loop& loop = o.outer;
  const std::size_t n = loop.size();
  // Start in the left half, so that the right half is met unbroken.
  std::size_t start = n;
  for (std::size_t i = 0; i < n; ++i)
    if (loop[i].at.x < 0 && (start == n || loop[i].at.y < loop[start].at.y)) start = i;
  Loop out;
  for (std::size_t k = 0; k < n; ++k) {
    Segment s = plane::segment(loop, (start + k) % n);
    const double here = upright ? s.a.x : s.a.y;
    if (const auto t = crossing(s, upright, line, upright)) {
      out.clear();
      if ((1 - *t) * s.length() < kJoinMm) continue;  // the next segment begins there
      s = plane::part(s, *t, 1);
      (upright ? s.a.x : s.a.y) = line;
    } else if (out.empty() && !(std::abs(here - line) < 2 * kJoinMm && s.a.x > 0)) {
      continue;
    }
    out.push_back({s.a, s.bulge, 0});
    const auto t = crossing(s, true, 0, true);
    if (!t) continue;
    if (*t * s.length() < kJoinMm) {
      out.back() = {{0, s.a.y}, 0, 0};
    } else {
      const Segment first = plane::part(s, 0, *t);
      out.back().bulge = first.bulge;
      out.push_back({{0, first.b.y}, 0, 0});
    }
    return out;
  }
  return {};
}

Result<Loop> hollow(const LidSize& s, const LidSeatPlan& p, const Loop& out, bool own) {
  // Drawn on below the rim and mirrored, so that neither rim nor axis is an outside of its own.
  const double deep = 4 * s.wall + s.flange;
  Loop right;
  if (s.style == LidStyle::cap) {
    const Vec2 down = unit(Vec2{p.rim_out, p.rim_z} - Vec2{p.shoulder_out, p.seat_z + s.wall});
    right = out;
    right.front().at = right.front().at + (deep / -down.y) * down;
  } else {
    right.assign(out.begin() + 2, out.end());
    right.front().at.y = p.rim_z - deep;
  }
  plane::Outline whole;
  whole.outer = right;
  for (std::size_t i = right.size() - 1; i-- > 0;)
    whole.outer.push_back({{-right[i].at.x, right[i].at.y}, i > 0 ? right[i - 1].bulge : 0, 0});
  // The axis point joins two halves of one curve; its outgoing bulge is the mirror of the incoming one.
  whole.outer[right.size() - 1].bulge = right[right.size() - 2].bulge;
  if (own)
    if (const Findings crossing = plane::check_outline(whole); !crossing.empty())
      return Finding{Severity::error, "lid.profile", "lid/profile",
                     "the lid's outside crosses or touches itself: " + crossing.front().message,
                     "let the profile rise from the shoulder to the top without meeting itself"};
  Result<std::vector<plane::Outline>> inner = plane::offset(whole, -s.wall);
  // Checked sizes leave some: every point of the outside stands a wall or more over the seat, and the part drawn on
  // below is wider than two walls.
  const Finding none{Severity::error, "lid.mouth", "lid/wall",
                     "a wall of " + mm(s.wall) + " leaves no hollow under the lid; about " + mm(s.flange) +
                         " of flange and " + mm(2 * p.shoulder_in) + " of width are there",
                     "make the lid's wall thinner, or the lid higher"};
  if (!inner) return none;
  const bool cap = s.style == LidStyle::cap;
  for (const plane::Outline& o : *inner)
    if (Loop edge = hollow_edge(o, !cap, cap ? p.rim_z : p.rim_in); edge.size() >= 2) return edge;
  return none;
}

}  // namespace

Result<LidMeridian> lid_meridian(const LidSize& s, const LidSeatPlan& p, const std::vector<LidPoint>& profile) {
  LidMeridian m;
  Loop out = outside(s, p, profile, m.panel);
  const Result<Loop> in = hollow(s, p, out, !profile.empty());
  if (!in) return in.findings();
  // From the middle of the under side outward.
  Loop& loop = m.loop;
  for (std::size_t i = in->size(); i-- > 0;) loop.push_back({(*in)[i].at, i > 0 ? -(*in)[i - 1].bulge : 0, 0});
  if (loop.front().bulge == 0 && std::abs(loop[1].at.y - loop[0].at.y) < kJoinMm) {
    loop.front().side = side(LidFace::panel);
    loop[0].at.y = loop[1].at.y;
  }
  if (s.style == LidStyle::inset) loop.push_back({{p.rim_in, p.rim_z}, 0, 0});
  m.inside_end = loop.size() + (s.style == LidStyle::inset ? 2 : 0);
  if (s.knob()) {
    // The knob stands on the panel; where the dome ends at its neck there is none.
    const double neck = s.knob_neck / 2, level = out.back().at.y;
    out.pop_back();
    if (std::abs(out.back().at.x - neck) < 1e-6) out.pop_back();
    for (Vertex v : knob(s, level)) {
      v.side = side(LidFace::turned);
      out.push_back(v);
    }
  }
  loop.insert(loop.end(), out.begin(), out.end());
  loop.back().side = side(LidFace::axis);
  loop.back().bulge = 0;
  return m;
}

}  // namespace kerfkiln::urn
