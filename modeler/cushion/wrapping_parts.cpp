// Flat parts of what is wrapped round the core.
#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/cushion/core.hpp"
#include "modeler/cushion/crease_strip.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/cushion/wrapping.hpp"
#include "modeler/cushion/wrapping_names.hpp"
#include "modeler/product/lengths.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {
namespace {

using product::Anchor;
using product::FlatPart;
using product::LineRole;
using product::Sketch;

constexpr double kTextMm = 7, kSmallTextMm = 4;
constexpr double kMatchTickMm = 8;
constexpr double kHalfTurn = 3.14159265358979;

double reading_turn(Vec2 along) {
  double turn = std::atan2(along.y, along.x);
  if (turn > kHalfTurn / 2 + 1e-9) turn -= kHalfTurn;
  if (turn <= -kHalfTurn / 2 + 1e-9) turn += kHalfTurn;
  return turn;
}

void add_open(Sketch& s, const std::vector<plane::Loop>& paths, LineRole role) {
  for (const plane::Loop& p : paths) s.strokes.push_back(product::open(p, role));
}

// Where a point of the face lies in the flat.
Vec2 placed(const WrappedLayer& w, Vec2 p) { return w.unrolled.place ? w.unrolled.place(p) : p; }

// Whether a line runs along the pattern's edge, where a layer ends with its bend.
bool on_edge(const plane::Loop& line, const plane::Outline& o) {
  const plane::Segment s{line[0].at, line[1].at, line[0].bulge};
  return plane::nearest(o, s.point(0.37)).distance < 0.1;
}

// The parts of a line of the plan that lie on the face.
void add_centre_line(Sketch& s, const WrappedLayer& w, const plane::Outline& face, Vec2 a, Vec2 b) {
  constexpr int kSteps = 200;
  Vec2 from;
  bool on = false;
  for (int i = 0; i <= kSteps; ++i) {
    const Vec2 p = a + (static_cast<double>(i) / kSteps) * (b - a);
    const bool inside = i < kSteps && plane::contains(face, p);
    if (inside && !on) from = p;
    if (!inside && on) s.strokes.push_back(product::line(placed(w, from), placed(w, p), LineRole::centre));
    on = inside;
  }
}

void add_centre_lines(Sketch& s, const Core& core, const WrappedLayer& w, const plane::Outline& face) {
  const plane::Box whole = plane::bounds(core.outline()), b = plane::bounds(face);
  const Vec2 c = 0.5 * (whole.low + whole.high);
  if (b.low.x < c.x && c.x < b.high.x) add_centre_line(s, w, face, {c.x, b.low.y}, {c.x, b.high.y});
  if (b.low.y < c.y && c.y < b.high.y) add_centre_line(s, w, face, {b.low.x, c.y}, {b.high.x, c.y});
}

// The name of each side on its flap, once a side of the piece.
void add_side_names(Sketch& s, const Core& core, const WrappedLayer& w, const WrapPiece& piece) {
  std::vector<const WrapEdge*> longest(core.plan.shown.size(), nullptr);
  for (const WrapLoop& loop : piece.loops)
    for (const WrapEdge& e : loop)
      if (e.kind == WrapEdge::Kind::side && e.side < static_cast<int>(longest.size())) {
        const WrapEdge*& best = longest[static_cast<std::size_t>(e.side)];
        if (best == nullptr || e.rim.length() > best->rim.length()) best = &e;
      }
  for (std::size_t i = 0; i < longest.size(); ++i) {
    if (longest[i] == nullptr) continue;
    const plane::Segment& rim = longest[i]->rim;
    const WrapSection m = longest[i]->section(0.3);
    const double room = std::min(m.reach() - (m.fold_end_s - m.start_mm), 40.0);
    // On the flap below the bend where there is room, else just inside it.
    const double size = std::min(kTextMm, rim.length() / (0.7 * static_cast<double>(core.plan.shown[i].size() + 2)));
    const double nu = room > size + 4 ? m.fold_end_s - m.start_mm + room / 2 : -m.start_mm - size - 3;
    const Vec2 p = rim.point(0.3), out = right(rim.tangent(0.3));
    const double turn = reading_turn(rim.tangent(0.3));
    const Vec2 up{-std::sin(turn), std::cos(turn)};
    const Vec2 shift = placed(w, p - m.start_mm * out) - (p - m.start_mm * out);
    s.labels.push_back({p + nu * out + shift - size / 2 * up, core.plan.shown[i], size, Anchor::centre, turn});
  }
}

// Places along a crease that lie opposite each other on both of its pieces, named alike.
void add_matches(Sketch& s, const Core& core, const WrappedLayer& w, const WrapPiece& piece) {
  for (const WrapLoop& loop : piece.loops)
    for (const WrapEdge& e : loop) {
      if (e.kind != WrapEdge::Kind::wall) continue;
      const Crease& c = core.cuts.creases[static_cast<std::size_t>(e.crease)];
      const CreaseRun& r = c.runs[static_cast<std::size_t>(e.run)];
      const CreasePath path(r.path, r.closed);
      const int count = path.length() < 150 ? 1 : 3;
      for (int k = 1; k <= count; ++k) {
        const double at = path.length() * k / (count + 1);
        const Vec2 on_path = path.point(at);
        const plane::Foot foot = plane::nearest(e.rim, on_path);
        // This wall's share of the run only.
        if (foot.distance > c.width_mm / 2 + 0.01 || foot.t <= 1e-6 || foot.t >= 1 - 1e-6) continue;
        const Vec2 out = right(e.rim.tangent(foot.t)), p = placed(w, foot.point);
        s.strokes.push_back(product::line(p - kMatchTickMm / 2 * out, p + kMatchTickMm / 2 * out, LineRole::station));
        std::string mark = std::to_string(e.crease + 1);
        if (c.runs.size() > 1) mark += "." + std::to_string(e.run + 1);
        mark += static_cast<char>('a' + k - 1);
        s.labels.push_back({p - (kMatchTickMm / 2 + 4) * out - Vec2{0, 1.4}, mark, kSmallTextMm, Anchor::centre, 0});
      }
    }
}

// An arrow to the front: the direction of a piece that has no side of its own.
void add_arrow(Sketch& s, Vec2 at, double length) {
  const Vec2 tip = at - Vec2{0, length};
  s.strokes.push_back(product::line(at, tip, LineRole::station));
  s.strokes.push_back(product::line(tip, tip + Vec2{-3, 7}, LineRole::station));
  s.strokes.push_back(product::line(tip, tip + Vec2{3, 7}, LineRole::station));
  s.labels.push_back({at + Vec2{4, -length / 2}, "front", kSmallTextMm, Anchor::left, 0});
}

void add_words(Sketch& s, const plane::Outline& face, const std::vector<std::string>& lines, const Core& core) {
  const product::Room room = product::room_in(face);
  const plane::Box b = plane::bounds(face), whole = plane::bounds(core.outline());
  if (b.depth() > 2 * b.width()) {
    // Along a narrow piece, beside the line through its middle.
    std::size_t most = 1;
    for (const std::string& l : lines) most = std::max(most, l.size());
    const double size = std::min({kTextMm, 0.6 * b.depth() / (0.6 * static_cast<double>(most)),
                                  0.4 * b.width() / (1.6 * static_cast<double>(lines.size()))});
    double x = 0.5 * (b.low.x + b.high.x) - 1.6 * size * static_cast<double>(lines.size()) + size;
    for (const std::string& l : lines) {
      s.labels.push_back({{x, 0.5 * (b.low.y + b.high.y) + 0.02 * b.depth()}, l, size, Anchor::left, kHalfTurn / 2});
      x += 1.6 * size;
    }
    return;
  }
  const double across = std::max(1.7 * room.radius_mm, 0.5 * b.width());
  std::size_t longest = 1;
  for (const std::string& l : lines) longest = std::max(longest, l.size());
  const double size = std::min({kTextMm, across / (0.6 * static_cast<double>(longest)),
                                1.6 * room.radius_mm / (1.6 * static_cast<double>(lines.size()))});
  const double step = 1.6 * size;
  Vec2 at = room.at + Vec2{0, step * (static_cast<double>(lines.size()) - 1) / 2};
  // Clear of the centre line across, which is read too.
  const double centre = 0.5 * (whole.low.y + whole.high.y), half = step * static_cast<double>(lines.size()) / 2;
  if (std::abs(room.at.y - centre) < half && room.radius_mm > 2 * half) at.y += half + size + centre - room.at.y;
  // And of the one along, if there is room beside it.
  const double wide = 0.31 * size * static_cast<double>(longest), middle = 0.5 * (whole.low.x + whole.high.x);
  if (std::abs(at.x - middle) < wide + size && middle - 2 * wide - 2 * size > b.low.x) at.x = middle - wide - size;
  for (const std::string& l : lines) {
    s.labels.push_back({at - Vec2{0, size / 2}, l, size, Anchor::centre, 0});
    at.y -= step;
  }
  if (room.radius_mm > 60) add_arrow(s, room.at + Vec2{-0.55 * room.radius_mm, -0.25 * room.radius_mm}, 30);
}

void add_feather_dimension(Sketch& s, const WrappedLayer& w, const WrapPiece& piece) {
  for (const WrapEdge& e : piece.loops.front()) {
    if (e.kind != WrapEdge::Kind::side || !e.rim.is_line()) continue;
    const double t = 0.75;
    const WrapSection m = e.section(t);
    if (m.length() < w.feather_mm) continue;
    const Vec2 p = e.rim.point(t), out = right(e.rim.tangent(t));
    const Vec2 shift = placed(w, p - m.start_mm * out) - (p - m.start_mm * out);
    const Vec2 a = p + shift + (m.reach() - w.feather_mm) * out, b = p + shift + m.reach() * out;
    s.dimensions.push_back({product::DimensionKind::linear, a, b, 6, "", ""});
    return;
  }
}

FlatPart pattern_part(const Core& core, const WrappedLayer& w, const Naming& name, std::size_t i, int count) {
  const FlatPattern& p = w.patterns[i];
  const bool alone = w.patterns.size() == 1;
  FlatPart f;
  f.id = name.id + (alone ? "" : "-" + std::to_string(i + 1));
  f.label = name.label + (alone ? "" : ", piece " + std::to_string(i + 1) + " of " + std::to_string(w.patterns.size()));
  f.material = name.material;
  f.hand = core.hand;
  f.face_up = "outer face up";
  f.count = count;
  Sketch& s = f.sketch;
  product::add_outline(s, p.outline, LineRole::cut);
  add_open(s, p.slits, LineRole::cut);
  add_open(s, p.fold_start, LineRole::scribe);
  for (const plane::Loop& fold : p.fold_end)
    if (!on_edge(fold, p.outline)) s.strokes.push_back(product::open(fold, LineRole::fold));
  add_open(s, p.relief, LineRole::hidden);
  add_open(s, p.feather, LineRole::construction);
  add_centre_lines(s, core, w, w.faces[i]);
  add_side_names(s, core, w, w.pieces[i]);
  add_matches(s, core, w, w.pieces[i]);
  std::vector<std::string> lines{core.name + ", " + f.label, f.material + ", outer face up",
                                 "scribe line: the edge begins; fold line: it ends"};
  if (w.feather_mm > 0) {
    lines.push_back("thin out the outer " + mm_text(w.feather_mm) + " to nothing");
    add_feather_dimension(s, w, w.pieces[i]);
  }
  if (!p.relief.empty()) lines.push_back("hidden line: cut a wedge out of the inner face along it");
  bool matches = false;
  for (const WrapLoop& loop : w.pieces[i].loops)
    for (const WrapEdge& e : loop) matches = matches || e.kind == WrapEdge::Kind::wall;
  if (matches) lines.push_back("same marks meet across a crease");
  add_words(s, w.faces[i], lines, core);
  return f;
}

// Inserts of the same size are one part.
void add_inserts(const Core& core, const WrappedLayer& w, const Naming& name, int count, std::vector<FlatPart>& parts) {
  std::vector<std::pair<const PatternInsert*, int>> kinds;
  for (const FlatPattern& p : w.patterns)
    for (const PatternInsert& x : p.inserts) {
      const auto same = std::find_if(kinds.begin(), kinds.end(), [&](const auto& k) {
        const plane::Box a = plane::bounds(k.first->outline), b = plane::bounds(x.outline);
        return std::abs(a.width() - b.width()) < 0.1 && std::abs(a.depth() - b.depth()) < 0.1 &&
               std::abs(plane::area(k.first->outline) - plane::area(x.outline)) < 1;
      });
      if (same != kinds.end())
        same->second += x.count;
      else
        kinds.push_back({&x, x.count});
    }
  for (std::size_t k = 0; k < kinds.size(); ++k) {
    FlatPart f;
    f.id = name.id + "-insert" + (kinds.size() == 1 ? "" : "-" + std::to_string(k + 1));
    f.label = name.label + ", insert" + (kinds.size() == 1 ? "" : " " + std::to_string(k + 1));
    f.material = name.material;
    f.hand = core.hand;
    f.face_up = "outer face up";
    f.count = count * kinds[k].second;
    product::add_outline(f.sketch, kinds[k].first->outline, LineRole::cut);
    const plane::Box b = plane::bounds(kinds[k].first->outline);
    const Vec2 slit = kinds[k].first->at;
    f.sketch.labels.push_back({{b.low.x, b.high.y + 4},
                               f.label + ", into the slit at " + product::bare_length(number_text(slit.x, 0)) + ", " +
                                   product::bare_length(number_text(slit.y, 0)),
                               kSmallTextMm,
                               Anchor::left,
                               0});
    parts.push_back(std::move(f));
  }
}

void add_rest(const Core& core, const WrappedLayer& w, const Naming& name, int count, std::vector<FlatPart>& parts) {
  const auto part = [&](std::string id, std::string label, const plane::Outline& o, const std::string& words) {
    FlatPart f;
    f.id = std::move(id);
    f.label = std::move(label);
    f.material = name.material;
    f.hand = core.hand;
    f.face_up = "outer face up";
    f.count = count;
    product::add_outline(f.sketch, o, LineRole::cut);
    const plane::Box b = plane::bounds(o);
    double y = 0.5 * (b.low.y + b.high.y) + 4;
    for (const std::string& line : {core.name + ", " + f.label, words}) {
      const double size =
          std::min({kTextMm, 0.8 * b.width() / (0.6 * static_cast<double>(line.size() + 1)), b.depth() / 4});
      f.sketch.labels.push_back({{0.5 * (b.low.x + b.high.x), y}, line, size, Anchor::centre, 0});
      y -= 1.6 * size;
    }
    parts.push_back(std::move(f));
  };
  for (std::size_t i = 0; i < w.lids.size(); ++i)
    part(name.id + "-lid-" + std::to_string(i + 1), name.label + " on lid " + std::to_string(i + 1), w.lids[i],
         "as the lid's board");
  for (std::size_t i = 0; i < w.strips.size(); ++i)
    part(name.id + "-strip-" + std::to_string(i + 1), name.label + ", strip of " + w.strips[i].name,
         plane::rectangle(w.strips[i].length_mm, w.strips[i].height_mm, 0), "along the edge that its piece leaves");
}

void add_layer_parts(const Core& core, const WrappedLayer& w, const Naming& name, int count,
                     std::vector<FlatPart>& parts) {
  for (std::size_t i = 0; i < w.patterns.size(); ++i)
    if (!w.patterns[i].outline.outer.empty()) parts.push_back(pattern_part(core, w, name, i, count));
  add_inserts(core, w, name, count, parts);
  add_rest(core, w, name, count, parts);
}

}  // namespace

std::vector<FlatPart> wrapping_parts(const Core& core, int count) {
  std::vector<FlatPart> parts;
  const Wrapping& all = core.wrapping;
  if (all.topper) add_layer_parts(core, *all.topper, topper_naming(*all.topper), count, parts);
  if (all.batting) add_layer_parts(core, *all.batting, batting_naming(*all.batting), count, parts);
  if (all.barrier)
    for (FlatPart& p : barrier_parts(core, *all.barrier)) {
      p.count = count;
      parts.push_back(std::move(p));
    }
  return parts;
}

}  // namespace kerfkiln::cushion
