#include "export/drawing/dimension.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace kerfkiln::output {

using product::DimensionKind;
using product::DimensionLine;

namespace {

constexpr double kArrowMm = 2.6, kArrowHalfMm = 0.48;
constexpr double kTextGapMm = 0.9;  // between line and text
constexpr double kTickHalfMm = 1.1;
constexpr double kTailMm = 4.5;  // of an arrow that points in from outside
constexpr double kWitnessGapMm = 0.8, kWitnessOverMm = 1.4;
constexpr double kAscent = 0.78, kDescent = 0.24;  // of DejaVu Sans capitals and descenders, in em
constexpr double kStepMm = 1.6;
constexpr int kMostSteps = 24;

std::array<Vec2, 3> arrow(Vec2 tip, Vec2 towards) {  // `towards`: the way the arrow points, unit
  const Vec2 back = tip - kArrowMm * towards, side = kArrowHalfMm * left(towards);
  return {tip, back + side, back - side};
}

// Reading direction along u: rightwards, or upwards where the line is vertical.
Vec2 reading(Vec2 u) {
  if (std::abs(u.x) < 1e-6) return {0, -1};
  return u.x < 0 ? -u : u;
}
Vec2 above(Vec2 t) { return {t.y, -t.x}; }
double turn_of(Vec2 t) { return std::atan2(-t.y, t.x); }

Quad thin(Vec2 a, Vec2 b) {
  const double length = norm(b - a);
  const Vec2 n = length > 0 ? 0.12 * left((b - a) / length) : Vec2{0.12, 0};
  return {a + n, b + n, b - n, a - n};
}

struct Words {
  std::string text;
  TextStyle style;
  double width = 0;
};

Words words_of(const DimensionLine& d, double measured, const SketchStyle& style) {
  Words w;
  const std::string value = style.length(measured);
  if (!d.text.empty())
    w.text = d.text;
  else if (d.kind == DimensionKind::radius)
    w.text = "R " + value;
  else if (d.kind == DimensionKind::diameter)
    w.text = "Ø " + value;
  else if (d.kind != DimensionKind::leader)
    w.text = value;
  w.style.height_mm = style.text_mm;
  w.style.anchor = product::Anchor::centre;
  w.width = text_width(w.text, w.style);
  return w;
}

void set_text(DimensionGeometry& g, const Words& w, Vec2 middle, Vec2 t) {
  g.text = w.text;
  g.style = w.style;
  g.style.turn_rad = turn_of(t);
  g.baseline = middle + kTextGapMm * above(t) + kDescent * 0.5 * w.style.height_mm * above(t);
  g.box = text_quad(g.baseline, g.text, g.style);
}

DimensionGeometry straight(const DimensionLine& d, const Placement& place, const SketchStyle& style, double extra) {
  DimensionGeometry g;
  const Vec2 p = place.paper(d.a), q = place.paper(d.b), pq = q - p;
  Vec2 u{1, 0};
  g.measured_mm = norm(d.b - d.a);
  if (d.kind == DimensionKind::horizontal) {
    u = {pq.x < 0 ? -1.0 : 1.0, 0};
    g.measured_mm = std::abs(d.b.x - d.a.x);
  } else if (d.kind == DimensionKind::vertical) {
    u = {0, pq.y < 0 ? -1.0 : 1.0};
    g.measured_mm = std::abs(d.b.y - d.a.y);
  } else if (norm(pq) > 0) {
    u = unit(pq);
  }
  const Vec2 n{u.y, -u.x};  // the model's left, seen with y down
  const double outward = d.away_mm < 0 ? -1 : 1;
  const double pn = dot(p, n), qn = dot(q, n);
  const double level = (outward < 0 ? std::min(pn, qn) : std::max(pn, qn)) + d.away_mm + outward * extra;
  const Vec2 a = p + (level - pn) * n, b = q + (level - qn) * n;
  for (const auto& [from, to] : {std::array{p, a}, std::array{q, b}}) {
    const double length = norm(to - from);
    if (length < 2 * kWitnessGapMm) continue;
    const Vec2 w = (to - from) / length;
    g.witnesses.push_back({from + kWitnessGapMm * w, to + kWitnessOverMm * w});
  }

  const Words w = words_of(d, g.measured_mm, style);
  const double length = dot(b - a, u);
  const Vec2 t = reading(u);
  const bool text_fits = length >= w.width + 0.6;
  const bool within = length >= 2 * kArrowMm + 1;
  if (within) {
    g.lines.push_back({a, b});
    g.arrows.push_back(arrow(a, -u));
    g.arrows.push_back(arrow(b, u));
  } else if (text_fits) {
    // No tails: a chain of short dimensions stays in one line.
    g.lines.push_back({a, b});
    const Vec2 oblique = kTickHalfMm / std::numbers::sqrt2 * (t + above(t));
    for (const Vec2& end : {a, b}) g.ticks.push_back({end - oblique, end + oblique});
  } else {
    g.lines.push_back({a - kTailMm * u, b + kTailMm * u});
    g.arrows.push_back(arrow(a, u));
    g.arrows.push_back(arrow(b, -u));
  }
  if (text_fits) {
    set_text(g, w, 0.5 * (a + b), t);
  } else {
    // Beyond the end that is read last, above a line that carries on to it.
    const Vec2 end = dot(t, u) > 0 ? b : a;
    const double lead = within ? 1.2 : kArrowMm + 1.0;
    const Vec2 from = end + lead * t, to = from + w.width * t;
    g.lines.push_back({end, to});
    set_text(g, w, from + 0.5 * w.width * t, t);
  }
  return g;
}

// Radius and leader: an arrow on the point, a line out to a level shoulder that carries the words.
DimensionGeometry pointer(const DimensionLine& d, const Placement& place, const SketchStyle& style, double extra) {
  DimensionGeometry g;
  const bool is_radius = d.kind == DimensionKind::radius;
  g.measured_mm = norm(d.b - d.a);
  const Words w = words_of(d, g.measured_mm, style);
  const Vec2 p = place.paper(d.a), q = place.paper(d.b);
  const double reach = norm(q - p);
  const Vec2 u = reach > 0 ? (q - p) / reach : Vec2{1, 0};
  Vec2 tip = p, knee = q + extra * u;
  Vec2 pointing = -u;
  if (is_radius) {
    tip = q;
    knee = q + (d.away_mm + (d.away_mm < 0 ? -extra : extra)) * u;
    pointing = d.away_mm < 0 ? u : -u;
  }
  const double way = knee.x >= tip.x ? 1 : -1;
  const double shoulder = w.width + 1.2;
  if (norm(knee - tip) > 0) g.lines.push_back({tip, knee});
  g.lines.push_back({knee, knee + Vec2{way * shoulder, 0}});
  g.arrows.push_back(arrow(tip, pointing));
  set_text(g, w, knee + Vec2{way * (shoulder + 1.2) / 2, 0}, {1, 0});
  return g;
}

bool is_pointer(const DimensionLine& d) { return d.kind == DimensionKind::radius || d.kind == DimensionKind::leader; }

DimensionGeometry placed(const DimensionLine& d, const Placement& place, const SketchStyle& style, double extra) {
  return is_pointer(d) ? pointer(d, place, style, extra) : straight(d, place, style, extra);
}

struct Obstacles {
  std::vector<Quad> texts, lines, witnesses;
};

bool meets(const std::vector<std::array<Vec2, 2>>& lines, const std::vector<Quad>& quads) {
  for (const auto& l : lines)
    for (const Quad& q : quads)
      if (overlap(thin(l[0], l[1]), q)) return true;
  return false;
}
bool meets(const Quad& box, const std::vector<Quad>& quads) {
  return std::any_of(quads.begin(), quads.end(), [&](const Quad& q) { return overlap(box, q); });
}

// Words keep clear of words and lines, lines of words and lines; that lines to the part cross is normal, and where
// there is no other way (not `strict`) they may cross words as well.
bool is_free(const DimensionGeometry& g, const Obstacles& o, bool strict) {
  if (meets(g.box, o.texts) || meets(g.lines, o.texts) || meets(g.box, o.lines) || meets(g.lines, o.lines))
    return false;
  return !strict || (!meets(g.box, o.witnesses) && !meets(g.witnesses, o.texts));
}

DimensionGeometry free_place(const DimensionLine& d, const Placement& place, const SketchStyle& style,
                             const Obstacles& taken) {
  for (const bool strict : {true, false})
    for (int step = 0; step <= kMostSteps; ++step) {
      DimensionGeometry g = placed(d, place, style, step * kStepMm);
      if (is_free(g, taken, strict)) return g;
    }
  return placed(d, place, style, 0);  // nowhere is free: where its author put it
}

}  // namespace

Quad text_quad(Vec2 baseline, const std::string& text, const TextStyle& style) {
  const double width = text_width(text, style);
  const Vec2 t{std::cos(style.turn_rad), -std::sin(style.turn_rad)}, up = above(t);
  const double start = style.anchor == product::Anchor::left     ? 0
                       : style.anchor == product::Anchor::centre ? -width / 2
                                                                 : -width;
  const Vec2 low = baseline + start * t - kDescent * 0.5 * style.height_mm * up,
             high = low + (kAscent + kDescent * 0.5) * style.height_mm * up;
  return {low, low + width * t, high + width * t, high};
}

bool overlap(const Quad& a, const Quad& b) {
  // Separating axes: the edge normals of both (a rectangle has two).
  for (const Quad* q : {&a, &b}) {
    for (int edge = 0; edge < 2; ++edge) {
      const auto i = static_cast<std::size_t>(edge);
      const Vec2 axis = left((*q)[i + 1] - (*q)[i]);
      double a_low = 1e300, a_high = -1e300, b_low = 1e300, b_high = -1e300;
      for (const Vec2& p : a) {
        a_low = std::min(a_low, dot(p, axis));
        a_high = std::max(a_high, dot(p, axis));
      }
      for (const Vec2& p : b) {
        b_low = std::min(b_low, dot(p, axis));
        b_high = std::max(b_high, dot(p, axis));
      }
      if (a_high <= b_low || b_high <= a_low) return false;
    }
  }
  return true;
}

std::vector<DimensionGeometry> lay_out(const std::vector<DimensionLine>& dimensions, const Placement& place,
                                       const SketchStyle& style, const std::vector<Quad>& obstacles) {
  Obstacles taken;
  taken.texts = obstacles;
  std::vector<DimensionGeometry> result(dimensions.size());
  // What can point from anywhere goes where the others leave room.
  for (const bool pointers : {false, true}) {
    for (std::size_t i = 0; i < dimensions.size(); ++i) {
      if (is_pointer(dimensions[i]) != pointers) continue;
      DimensionGeometry g = free_place(dimensions[i], place, style, taken);
      taken.texts.push_back(g.box);
      for (const auto& l : g.lines) taken.lines.push_back(thin(l[0], l[1]));
      for (const auto& l : g.witnesses) taken.witnesses.push_back(thin(l[0], l[1]));
      result[i] = std::move(g);
    }
  }
  return result;
}

}  // namespace kerfkiln::output
