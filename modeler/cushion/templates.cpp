#include "modeler/cushion/templates.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/profile_curve.hpp"
#include "modeler/cushion/stations.hpp"
#include "modeler/cushion/topper.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/lengths.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {

namespace {

using product::Anchor;
using product::LineRole;
using product::Sketch;

constexpr double kTickMm = 12;  // of a station, half of it outside the outline
constexpr double kTextMm = 5, kSmallTextMm = 4;
constexpr double kOnCutMm = 0.05;  // nearer than this, two lines are one

void add_centre_lines(Sketch& sketch, const plane::Box& box) {
  const Vec2 c = 0.5 * (box.low + box.high);
  sketch.strokes.push_back(product::line({c.x, box.low.y}, {c.x, box.high.y}, LineRole::centre));
  sketch.strokes.push_back(product::line({box.low.x, c.y}, {box.high.x, c.y}, LineRole::centre));
}

// Text reads from below or from the right, never upside down.
double reading_turn(Vec2 along) {
  double turn = std::atan2(along.y, along.x);
  constexpr double kHalf = 1.5707963267948966;
  if (turn > kHalf + 1e-9) turn -= 2 * kHalf;
  if (turn <= -kHalf + 1e-9) turn += 2 * kHalf;
  return turn;
}

void add_stations(Sketch& sketch, const std::vector<Station>& stations) {
  for (const Station& s : stations) {
    sketch.strokes.push_back(
        product::line(s.at - kTickMm / 2 * s.inward, s.at + kTickMm / 2 * s.inward, LineRole::station));
    sketch.labels.push_back(
        {s.at + (kTickMm / 2 + 3) * s.inward - kSmallTextMm * Vec2{0, 0.35}, s.mark, kSmallTextMm, Anchor::centre, 0});
  }
}

struct SidePlace {
  Vec2 at, inward, along;
  double length = 0;
};
// A third along the longest segment of a side, clear of stations and centre lines.
SidePlace place_of(const plane::Outline& outline, int side) {
  SidePlace best;
  const auto visit = [&](const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      if (loop[i].side == side && s.length() > best.length)
        best = {s.point(1.0 / 3), s.inward(1.0 / 3), s.tangent(1.0 / 3), s.length()};
    }
  };
  visit(outline.outer);
  for (const plane::Loop& hole : outline.holes) visit(hole);
  return best;
}

std::string edge_line(const char* which, const SideEdge& e, const EdgeProfile& p, double height) {
  if (p.square()) return std::string(which) + " square";
  return std::string(which) + " " + edge_words(e.core, height) + ": run " + product::bare_length(number_text(p.inset)) +
         ", drop " + product::bare_length(number_text(p.drop));
}

// Name of each side and what is scribed along it, clear inside of the scribe lines where there is room.
void add_side_words(Sketch& sketch, const Core& core) {
  const double height = core.height();
  for (std::size_t i = 0; i < core.plan.shown.size(); ++i) {
    const int side = static_cast<int>(i);
    const SidePlace p = place_of(core.outline(), side);
    if (p.length < 20) continue;
    const EdgeProfile &top = core.form.edges(Sheet::top).of(side), &bottom = core.form.edges(Sheet::bottom).of(side);
    const double run = std::max(top.inset, bottom.inset);
    const double turn = reading_turn(p.along);
    const Vec2 up{-std::sin(turn), std::cos(turn)};  // of the letters
    const std::vector<std::string> lines{core.plan.shown[i], edge_line("top", core.edges.top[i], top, height),
                                         edge_line("bottom", core.edges.bottom[i], bottom, height)};
    // The block's middle, then line by line downwards as the letters stand.
    const Vec2 middle = p.at + std::max(run + 20, 36.0) * p.inward;
    for (std::size_t k = 0; k < lines.size(); ++k) {
      const double size = std::min(k == 0 ? kTextMm : kSmallTextMm,
                                   p.length / (0.6 * static_cast<double>(product::shown_size(lines[k]) + 1)));
      const double down = (static_cast<double>(k) - 1) * 7 + size / 2;
      sketch.labels.push_back({middle - down * up, lines[k], size, Anchor::centre, turn});
    }
  }
}

bool same(const std::vector<plane::Outline>& a, const std::vector<plane::Outline>& b) {
  if (a.size() != b.size()) return false;
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (a[i].outer.size() != b[i].outer.size() || a[i].holes.size() != b[i].holes.size()) return false;
    for (std::size_t k = 0; k < a[i].outer.size(); ++k)
      if (norm(a[i].outer[k].at - b[i].outer[k].at) > 1e-6) return false;
  }
  return true;
}

// A scribe loop without what runs on the cut line itself, where a side is square.
void add_loop(Sketch& sketch, const plane::Loop& loop, const plane::Outline& cut, LineRole role) {
  const std::size_t n = loop.size();
  std::vector<bool> free(n);
  for (std::size_t i = 0; i < n; ++i)
    free[i] = plane::nearest(cut, plane::segment(loop, i).point(0.5)).distance > kOnCutMm;
  const auto taken = std::find(free.begin(), free.end(), false);
  if (taken == free.end()) {
    sketch.strokes.push_back(product::closed(loop, role));
    return;
  }
  const auto first = static_cast<std::size_t>(taken - free.begin());
  plane::Loop run;
  for (std::size_t k = 1; k <= n; ++k) {
    const std::size_t i = (first + k) % n;
    if (free[i]) {
      run.push_back(loop[i]);
    } else if (!run.empty()) {
      run.push_back({loop[i].at, 0, loop[i].side});
      sketch.strokes.push_back(product::open(std::move(run), role));
      run.clear();
    }
  }
}

void add_scribe(Sketch& sketch, const std::vector<plane::Outline>& flat, const plane::Outline& cut, LineRole role) {
  for (const plane::Outline& o : flat) {
    add_loop(sketch, o.outer, cut, role);
    for (const plane::Loop& hole : o.holes) add_loop(sketch, hole, cut, role);
  }
}

void add_runs(Sketch& sketch, const Core& core) {
  const bool top = core.form.inset(Sheet::top) > 0, bottom = core.form.inset(Sheet::bottom) > 0;
  if (top) add_scribe(sketch, core.flat_top, core.outline(), LineRole::scribe);
  // Drawn once where both faces are scribed alike; hidden lines belong to the underside.
  if (bottom && !(top && same(core.flat_top, core.flat_bottom)))
    add_scribe(sketch, core.flat_bottom, core.outline(), LineRole::hidden);
}

std::string runs_words(const Core& core) {
  const bool top = core.form.inset(Sheet::top) > 0, bottom = core.form.inset(Sheet::bottom) > 0;
  if (top && bottom)
    return same(core.flat_top, core.flat_bottom) ? "scribe line: run of the top and bottom edge"
                                                 : "scribe line: run of the top edge; dashed: run of the bottom edge";
  if (top) return "scribe line: run of the top edge";
  return bottom ? "dashed: run of the bottom edge" : "all edges square";
}

std::string whole_joints(const Core& core) {
  std::vector<std::string> marks;
  for (std::size_t i = 0; i < core.joints.size(); ++i)
    if (core.joints[i].whole) marks.push_back(std::to_string(i + 1));
  if (marks.empty()) return {};
  return "also the outline at glue line " + listed(marks);
}

// "seat edge" -> "seat-edge": a file name stem.
std::string stem(std::string name) {
  std::replace(name.begin(), name.end(), ' ', '-');
  return name;
}

product::FlatPart flat_part(const Core& core, std::string id, std::string label) {
  product::FlatPart part;
  part.id = std::move(id);
  part.label = std::move(label);
  part.material = "template board";
  part.hand = core.hand;
  part.face_up = "top face up";
  return part;
}

}  // namespace

product::FlatPart plan_template(const Core& core) {
  product::FlatPart part = flat_part(core, "plan", "Plan template");
  Sketch& sketch = part.sketch;
  const plane::Box box = plane::bounds(core.outline());
  product::add_outline(sketch, core.outline(), LineRole::cut);
  add_runs(sketch, core);
  add_centre_lines(sketch, box);
  add_stations(sketch, stations_of(core.outline(), core.plan.shown));
  add_side_words(sketch, core);
  const Vec2 c = 0.5 * (box.low + box.high);
  std::vector<std::string> lines{core.name + ", plan template", "top face up", runs_words(core)};
  if (const std::string joints = whole_joints(core); !joints.empty()) lines.push_back(joints);
  // In the quarter behind and right of the centre lines.
  double y = c.y + 8 * static_cast<double>(lines.size());
  for (const std::string& line : lines) {
    const double size = std::min(kTextMm, box.width() / 3 / (0.6 * static_cast<double>(line.size() + 1)));
    sketch.labels.push_back({{c.x + 6, y}, line, size, Anchor::left, 0});
    y -= 8;
  }
  return part;
}

namespace {

// How the faces rise inward from a station.
double inward_rise(const Core& core, Sheet sheet, const Station& s, double inset) {
  const Rise& rise = core.form.rise(sheet);
  return rise.value(s.at + inset * s.inward) - rise.value(s.at);
}

// Of the gauge's whole reach, at both faces.
double rise_difference(const Core& core, const Station& a, const Station& b, double reach) {
  double worst = 0;
  constexpr int kPlaces = 16;
  for (Sheet sheet : {Sheet::top, Sheet::bottom})
    for (int i = 1; i <= kPlaces; ++i) {
      const double d = reach * i / kPlaces;
      worst = std::max(worst, std::abs(inward_rise(core, sheet, a, d) - inward_rise(core, sheet, b, d)));
    }
  return worst;
}

double side_height(const Core& core, const Station& s) {
  return core.height() + core.form.rise(Sheet::top).value(s.at) + core.form.rise(Sheet::bottom).value(s.at);
}

// The middle one of a side's stations; none on a side too short for any.
const Station* middle_station(const std::vector<Station>& stations, int side) {
  std::vector<const Station*> of_side;
  for (const Station& s : stations)
    if (s.side == side) of_side.push_back(&s);
  return of_side.empty() ? nullptr : of_side[of_side.size() / 2];
}

constexpr double kAlikeMm = 0.1;  // gauges whose faces differ by no more are one

// Completes the request of a risen side.
void add_rise(GaugeRequest& request, const Core& core, const std::vector<Station>& stations,
              const std::vector<int>& sides, const Station& exact) {
  const double reach = std::max(request.top.inset, request.bottom.inset) + 45;
  double worst = 0;
  for (const Station& s : stations) {
    if (std::find(sides.begin(), sides.end(), s.side) == sides.end()) continue;
    request.marks.push_back({s.mark, side_height(core, s)});
    worst = std::max(worst, rise_difference(core, exact, s, reach));
  }
  double highest = 0;
  for (const auto& [mark, height] : request.marks) highest = std::max(highest, height);
  request.height_mm = highest + kGaugeClearMm;
  request.top_rise = [&core, exact](double d) { return inward_rise(core, Sheet::top, exact, d); };
  request.bottom_rise = [&core, exact](double d) { return inward_rise(core, Sheet::bottom, exact, d); };
  request.fit_words = "exact at " + exact.mark;
  if (worst > 0.05) request.fit_words += ", within " + mm_text(std::ceil(worst * 10) / 10) + " at the other stations";
}

// The requests refer to the core.
std::vector<GaugeRequest> gauge_requests(const Core& core) {
  const std::vector<Station> stations = stations_of(core.outline(), core.plan.shown);
  const EdgeProfiles &top = core.form.edges(Sheet::top), &bottom = core.form.edges(Sheet::bottom);
  std::vector<GaugeRequest> requests;
  std::vector<bool> done(core.plan.shown.size(), false);
  const auto alike = [&](int a, int b) {
    if (!(top.of(a) == top.of(b) && bottom.of(a) == bottom.of(b))) return false;
    if (!core.form.risen() || a == b) return true;
    const Station *s = middle_station(stations, a), *t = middle_station(stations, b);
    return s && t && rise_difference(core, *s, *t, std::max(top.of(a).inset, bottom.of(a).inset) + 45) < kAlikeMm;
  };
  for (std::size_t i = 0; i < done.size(); ++i) {
    if (done[i] || place_of(core.outline(), static_cast<int>(i)).length == 0) continue;
    GaugeRequest request;
    std::vector<int> sides;
    for (std::size_t k = i; k < done.size(); ++k) {
      const int side = static_cast<int>(k);
      if (done[k] || !alike(static_cast<int>(i), side)) continue;
      done[k] = true;
      sides.push_back(side);
      request.sides.push_back(core.plan.shown[k]);
    }
    request.top = top.of(static_cast<int>(i));
    request.bottom = bottom.of(static_cast<int>(i));
    request.top_words = edge_words(core.edges.top[i].core, core.height());
    request.bottom_words = edge_words(core.edges.bottom[i].core, core.height());
    request.height_mm = core.height();
    for (const Joint& j : core.joints) request.glue_mm.push_back(j.z_mm);
    request.id = "gauge-" + stem(core.plan.shown[i]);
    request.stations = marks_of(stations, sides);
    request.title = core.name;
    if (core.form.risen())
      if (const Station* exact = middle_station(stations, static_cast<int>(i)))
        add_rise(request, core, stations, sides, *exact);
    requests.push_back(request);
    // Once more over the topper; where the faces rise, the topper follows them and is checked with the one gauge.
    request.topper_mm = topper_of(core.skins);
    if (request.topper_mm <= 0 || core.form.risen()) continue;
    request.id += "-topped";
    request.glue_mm.clear();
    requests.push_back(std::move(request));
  }
  return requests;
}

}  // namespace

std::vector<product::FlatPart> gauges(const Core& core) {
  std::vector<product::FlatPart> parts;
  for (const GaugeRequest& request : gauge_requests(core)) parts.push_back(edge_gauge(request));
  return parts;
}

std::vector<std::string> gauge_labels(const Core& core) {
  std::vector<std::string> labels;
  for (const GaugeRequest& request : gauge_requests(core)) labels.push_back(gauge_label(request));
  return labels;
}

std::vector<product::FlatPart> layer_outlines(const Core& core) {
  std::vector<product::FlatPart> parts;
  for (std::size_t i = 0; i < core.joints.size(); ++i) {
    const Joint& joint = core.joints[i];
    if (joint.whole || joint.outlines.empty()) continue;
    const std::string n = std::to_string(i + 1);
    product::FlatPart part = flat_part(core, "glue-line-" + n, "Layer outline at glue line " + n);
    plane::Box box = plane::bounds(joint.outlines.front());
    for (const plane::Outline& o : joint.outlines) {
      product::add_outline(part.sketch, o, LineRole::cut);
      const plane::Box b = plane::bounds(o);
      box = {{std::min(box.low.x, b.low.x), std::min(box.low.y, b.low.y)},
             {std::max(box.high.x, b.high.x), std::max(box.high.y, b.high.y)}};
    }
    // The centre lines of the core, so that the part registers on the plan template.
    const plane::Box whole = plane::bounds(core.outline());
    const Vec2 c = 0.5 * (whole.low + whole.high);
    part.sketch.strokes.push_back(product::line({c.x, box.low.y}, {c.x, box.high.y}, LineRole::centre));
    part.sketch.strokes.push_back(product::line({box.low.x, c.y}, {box.high.x, c.y}, LineRole::centre));
    const double room = box.width() / 3;
    double y = c.y + 24;
    for (const std::string& line : {core.name + ", glue line " + n,
                                    "between layer " + n + " " + core.layers[i].foam + " and layer " +
                                        std::to_string(i + 2) + " " + core.layers[i + 1].foam,
                                    mm_text(joint.z_mm) + " above the underside, top face up"}) {
      part.sketch.labels.push_back({{c.x + 6, y},
                                    line,
                                    std::min(kTextMm, room / (0.6 * static_cast<double>(line.size() + 1))),
                                    Anchor::left,
                                    0});
      y -= 8;
    }
    parts.push_back(std::move(part));
  }
  return parts;
}

}  // namespace kerfkiln::cushion
