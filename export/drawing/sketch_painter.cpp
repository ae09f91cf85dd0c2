#include "export/drawing/sketch_painter.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "export/drawing/dimension.hpp"
#include "modeler/base/number_text.hpp"

namespace kerfkiln::output {

using product::LineRole;
using product::Sketch;

namespace {

constexpr product::Colour kInk{0.1, 0.1, 0.12};
constexpr product::Colour kDimensionInk{0.22, 0.22, 0.26};

struct Role {
  LineRole role;
  const char* name;
  double width_mm;
  product::Colour colour;
  std::vector<double> dashes_mm;
};

// Widths and dashes after ISO 128-2; each meaning is told apart in black and white too.
const std::vector<Role>& roles() {
  static const std::vector<Role> table = {
      {LineRole::cut, "cut", 0.5, kInk, {}},
      {LineRole::section, "section", 0.6, kInk, {}},
      {LineRole::visible, "edge", 0.35, kInk, {}},
      {LineRole::scribe, "scribe", 0.25, {0.1, 0.25, 0.5}, {6, 1.2}},
      {LineRole::fold, "fold", 0.25, {0.1, 0.4, 0.25}, {6, 1, 0.6, 1, 0.6, 1}},
      {LineRole::sew, "sew", 0.3, {0.6, 0.16, 0.1}, {2, 1}},
      {LineRole::hidden, "hidden", 0.25, {0.35, 0.35, 0.38}, {3, 1.2}},
      {LineRole::centre, "centre line", 0.18, kInk, {9, 1.2, 1.2, 1.2}},
      {LineRole::station, "station", 0.2, {0.35, 0.35, 0.38}, {}},
      {LineRole::construction, "construction", 0.13, {0.5, 0.5, 0.52}, {}},
  };
  return table;
}
const Role& role(LineRole r) {
  for (const Role& x : roles())
    if (x.role == r) return x;
  return roles()[0];
}

plane::Loop on_paper(const plane::Loop& loop, const Placement& place) {
  plane::Loop out = loop;
  for (plane::Vertex& v : out) {
    v.at = place.paper(v.at);
    v.bulge = -v.bulge;  // y is turned over
  }
  return out;
}

plane::Outline on_paper(const plane::Outline& outline, const Placement& place) {
  plane::Outline out;
  out.outer = on_paper(outline.outer, place);
  for (const plane::Loop& hole : outline.holes) out.holes.push_back(on_paper(hole, place));
  return out;
}

struct PlacedLabel {
  Vec2 baseline;
  std::string text;
  TextStyle style;
  Quad box;
};

PlacedLabel placed(const product::Label& label, const Placement& place, const SketchStyle& style) {
  PlacedLabel out;
  out.text = label.text;
  out.style.height_mm = style.paper_labels ? label.height_mm : label.height_mm * place.scale;
  out.style.anchor = label.anchor;
  out.style.turn_rad = label.turn_rad;
  out.baseline = place.paper(label.at);
  out.box = text_quad(out.baseline, out.text, out.style);
  return out;
}

std::vector<PlacedLabel> placed_labels(const Sketch& sketch, const Placement& place, const SketchStyle& style) {
  std::vector<PlacedLabel> out;
  for (const product::Label& label : sketch.labels) out.push_back(placed(label, place, style));
  return out;
}

std::vector<Quad> boxes(const std::vector<PlacedLabel>& labels) {
  std::vector<Quad> out;
  for (const PlacedLabel& l : labels) out.push_back(l.box);
  return out;
}

plane::Loop loop_of(const Quad& q, double pad) {
  const Vec2 middle = 0.25 * (q[0] + q[1] + q[2] + q[3]);
  plane::Loop loop;
  for (const Vec2& p : q) {
    const Vec2 out = p - middle;
    const double length = norm(out);
    loop.push_back({length > 0 ? p + (pad / length) * out : p, 0, 0});
  }
  return loop;
}

// Lines that words may interrupt: they guide the eye and are not cut or sewn along.
bool is_soft(LineRole r) {
  return r == LineRole::centre || r == LineRole::construction || r == LineRole::station || r == LineRole::hidden;
}

void draw_plate(Canvas& canvas, const Quad& box) {
  plane::Outline ground;
  ground.outer = loop_of(box, 0.4);
  canvas.fill(ground, {1, 1, 1}, product::Hatch::none);
}

void draw_dimension(Canvas& canvas, const DimensionGeometry& g) {
  LineStyle thin;
  thin.width_mm = 0.18;
  thin.colour = kDimensionInk;
  for (const auto& l : g.witnesses) canvas.line(l[0], l[1], thin);
  for (const auto& l : g.lines) canvas.line(l[0], l[1], thin);
  LineStyle oblique = thin;
  oblique.width_mm = 0.35;
  for (const auto& l : g.ticks) canvas.line(l[0], l[1], oblique);
  for (const auto& a : g.arrows) {
    plane::Outline head;
    for (const Vec2& p : a) head.outer.push_back({p, 0, 0});
    canvas.fill(head, kDimensionInk, product::Hatch::none);
  }
  TextStyle style = g.style;
  style.colour = kInk;
  canvas.text(g.baseline, g.text, style);
}

class Extent {
 public:
  void add(Vec2 p, double pad = 0) {
    if (empty_) box_ = {p, p};
    empty_ = false;
    box_.low = {std::min(box_.low.x, p.x - pad), std::min(box_.low.y, p.y - pad)};
    box_.high = {std::max(box_.high.x, p.x + pad), std::max(box_.high.y, p.y + pad)};
  }
  void add(const plane::Loop& loop, double pad) {
    const plane::Box b = plane::bounds(loop);
    add(b.low, pad);
    add(b.high, pad);
  }
  plane::Box box() const { return box_; }

 private:
  plane::Box box_{};
  bool empty_ = true;
};

// The bounds of an open path ignore the bulge of the chord that would close it.
plane::Loop opened(plane::Loop loop) {
  loop.back().bulge = 0;
  return loop;
}

std::string scale_text(double scale) {
  return scale >= 1 ? shortest_number(scale) + ":1" : "1:" + shortest_number(std::round(100 / scale) / 100);
}

}  // namespace

std::string millimetre_text(double mm) {
  const std::string text = format_number(mm, 1);
  return text.ends_with(".0") ? text.substr(0, text.size() - 2) : text;
}

std::string inch_text(double mm) {
  const long parts = std::lround(std::abs(mm) / 25.4 * 32);
  const long whole = parts / 32, rest = parts % 32;
  std::string text = mm < 0 && parts > 0 ? "-" : "";
  if (whole > 0 || rest == 0) text += std::to_string(whole);
  if (rest == 0) return text;
  const long common = std::gcd(rest, 32L);
  if (whole > 0) text += " ";
  return text + std::to_string(rest / common) + "/" + std::to_string(32 / common);
}

plane::Box sketch_bounds(const Sketch& sketch, double scale, const SketchStyle& style) {
  Extent extent;
  const Placement place{{0, 0}, scale};
  for (const product::Fill& f : sketch.fills)
    if (!f.area.outer.empty()) extent.add(on_paper(f.area.outer, place), 0);
  for (const product::Stroke& s : sketch.strokes) {
    if (s.path.empty()) continue;
    const plane::Loop loop = on_paper(s.path, place);
    extent.add(s.closed ? loop : opened(loop), role(s.role).width_mm / 2);
  }
  const std::vector<PlacedLabel> labels = placed_labels(sketch, place, style);
  for (const PlacedLabel& l : labels)
    for (const Vec2& p : l.box) extent.add(p);
  for (const DimensionGeometry& g : lay_out(sketch.dimensions, place, style, boxes(labels))) {
    for (const auto& l : g.lines)
      for (const Vec2& p : l) extent.add(p, 0.1);
    for (const auto& l : g.witnesses)
      for (const Vec2& p : l) extent.add(p, 0.1);
    for (const auto& a : g.arrows)
      for (const Vec2& p : a) extent.add(p);
    for (const auto& l : g.ticks)
      for (const Vec2& p : l) extent.add(p, 0.2);
    for (const Vec2& p : g.box) extent.add(p);
  }
  return extent.box();
}

void paint(Canvas& canvas, const Sketch& sketch, const Placement& place, const SketchStyle& style) {
  for (const product::Fill& f : sketch.fills) canvas.fill(on_paper(f.area, place), f.colour, f.hatch);
  const std::vector<PlacedLabel> labels = placed_labels(sketch, place, style);
  const std::vector<DimensionGeometry> dimensions = lay_out(sketch.dimensions, place, style, boxes(labels));
  const auto draw_strokes = [&](bool soft) {
    for (const product::Stroke& s : sketch.strokes)
      if (s.path.size() > 1 && is_soft(s.role) == soft)
        canvas.path(on_paper(s.path, place), s.closed, line_style(s.role));
  };
  draw_strokes(true);
  if (style.plates) draw_strokes(false);
  for (const PlacedLabel& l : labels) draw_plate(canvas, l.box);
  for (const DimensionGeometry& g : dimensions) draw_plate(canvas, g.box);
  if (!style.plates) draw_strokes(false);
  for (const DimensionGeometry& g : dimensions) draw_dimension(canvas, g);
  for (const PlacedLabel& l : labels) canvas.text(l.baseline, l.text, l.style);
}

Fit fit(const Sketch& sketch, double width_mm, double height_mm, const SketchStyle& style) {
  static constexpr double kScales[] = {10,       5,        2,        1,        1 / 2.0,   1 / 2.5,   1 / 4.0,  1 / 5.0,
                                       1 / 10.0, 1 / 20.0, 1 / 25.0, 1 / 50.0, 1 / 100.0, 1 / 200.0, 1 / 500.0};
  Fit result;
  for (const double scale : kScales) {
    result.scale = scale;
    result.box = sketch_bounds(sketch, scale, style);
    if (result.box.width() <= width_mm && result.box.depth() <= height_mm) break;
  }
  result.text = scale_text(result.scale);
  return result;
}

LineStyle line_style(LineRole r) {
  const Role& entry = role(r);
  return {entry.width_mm, entry.colour, entry.dashes_mm};
}

std::string role_name(LineRole r) { return role(r).name; }

std::vector<LineRole> roles_of(const Sketch& sketch) {
  std::vector<LineRole> present;
  for (const Role& r : roles())
    if (std::any_of(sketch.strokes.begin(), sketch.strokes.end(), [&](const auto& s) { return s.role == r.role; }))
      present.push_back(r.role);
  return present;
}

}  // namespace kerfkiln::output
