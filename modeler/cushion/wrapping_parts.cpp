// Flat parts, tables, figures, steps and blanks of what is wrapped round the core.
#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/cushion/core.hpp"
#include "modeler/cushion/crease_strip.hpp"
#include "modeler/cushion/topper.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/cushion/wrapping.hpp"
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

// What one layer is called and made of on its parts.
struct Naming {
  std::string id, label, material;  // "topper", "Topper", "foam soft 15 mm"
};

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

Naming topper_naming(const WrappedLayer& w) {
  return {"topper", "Topper", "foam " + w.material + " " + mm_text(w.layer.thickness_mm)};
}
Naming batting_naming(const WrappedLayer& w) {
  return {"batting", "Batting", "batting " + w.material + ", loft " + mm_text(w.loft_mm)};
}

void add_layer_parts(const Core& core, const WrappedLayer& w, const Naming& name, int count,
                     std::vector<FlatPart>& parts) {
  for (std::size_t i = 0; i < w.patterns.size(); ++i)
    if (!w.patterns[i].outline.outer.empty()) parts.push_back(pattern_part(core, w, name, i, count));
  add_inserts(core, w, name, count, parts);
  add_rest(core, w, name, count, parts);
}

struct Counts {
  int notches = 0, wedges = 0, inserts = 0;
  double worst = 0, widest = 0;
};
Counts counts_of(const FlatPattern& p) {
  Counts c;
  for (const PatternSeam& s : p.seams) {
    (s.kind == PatternSeam::Kind::notch ? c.notches : s.kind == PatternSeam::Kind::wedge ? c.wedges : c.inserts) += 1;
    c.worst = std::max(c.worst, std::abs(s.first_mm - s.second_mm));
    if (s.kind == PatternSeam::Kind::wedge) c.widest = std::max(c.widest, s.mouth_mm);
  }
  return c;
}

product::Table pieces_table(const WrappedLayer& w, const Naming& name, int count) {
  product::Table t;
  t.id = name.id + "-pieces";
  t.title = name.label + ", " + name.material + ": pieces as cut";
  t.columns = {"piece",  "width mm",        "depth mm",           "net area m2",     "notches",
               "wedges", "widest wedge mm", "slits with inserts", "edges differ mm", "count"};
  t.numeric = {false, true, true, true, true, true, true, true, true, true};
  for (std::size_t i = 0; i < w.patterns.size(); ++i) {
    const FlatPattern& p = w.patterns[i];
    if (p.outline.outer.empty()) {
      t.rows.push_back({std::to_string(i + 1), "no pattern", "", "", "", "", "", "", "", std::to_string(count)});
      continue;
    }
    const plane::Box b = plane::bounds(p.outline);
    const Counts c = counts_of(p);
    t.rows.push_back({std::to_string(i + 1), number_text(b.width(), 1), number_text(b.depth(), 1),
                      format_number(p.area_mm2() * 1e-6, 4), std::to_string(c.notches), std::to_string(c.wedges),
                      c.wedges > 0 ? number_text(c.widest, 1) : "", std::to_string(c.inserts), number_text(c.worst, 2),
                      std::to_string(count)});
  }
  double inserts = 0;
  int n = 0;
  for (const FlatPattern& p : w.patterns)
    if (!p.outline.outer.empty())
      for (const PatternInsert& x : p.inserts) {
        inserts += x.count * plane::area(x.outline);
        n += x.count;
      }
  const auto add = [&](const std::string& what, double area, int number) {
    t.rows.push_back({what, "", "", format_number(area * 1e-6, 4), "", "", "", "", "", std::to_string(number * count)});
  };
  if (n > 0) add("inserts, together", inserts, n);
  for (const plane::Outline& lid : w.lids) add("on the lid", plane::area(lid), 1);
  for (const WrapStrip& x : w.strips) add("strip of " + x.name, x.length_mm * x.height_mm, 1);
  return t;
}

// One row a side, at the middle of its longest stretch.
product::Table lengths_table(const Core& core, const WrappedLayer& w) {
  product::Table t;
  t.id = "topper";
  t.title = "Topper over the edges, mm: flat length at mid-thickness";
  t.columns = {"side",          "edge of core", "edge, topper's middle", "edge, outside",
               "down the side", "flat in all",  "beyond the outline",    "skin strain %"};
  t.numeric = {false, true, true, true, true, true, true, true};
  const Rims rims(core.form, w.layer);
  for (std::size_t i = 0; i < core.plan.shown.size(); ++i) {
    const auto side = static_cast<int>(i);
    int loop = -1, segment = -1;
    double longest = 0;
    const auto look = [&](const plane::Loop& l, int index) {
      for (std::size_t k = 0; k < l.size(); ++k)
        if (const double length = plane::segment(l, k).length(); l[k].side == side && length > longest) {
          longest = length;
          loop = index;
          segment = static_cast<int>(k);
        }
    };
    look(core.outline().outer, 0);
    for (std::size_t h = 0; h < core.outline().holes.size(); ++h)
      look(core.outline().holes[h], static_cast<int>(h) + 1);
    if (loop < 0) continue;
    const WrapSection m = rims.section(loop, segment, 0.5);
    const Wrapped x = wrapped(core.form.edges(Sheet::top).of(side), core.form.edges(Sheet::bottom).of(side),
                              core.height(), w.layer.thickness_mm);
    const auto bare = [](double mm) { return product::bare_length(number_text(mm)); };
    t.rows.push_back({core.plan.shown[i], bare(x.core_mm), bare(m.fold_end_s),
                      bare(m.fold_end_s + x.outer_mm - x.middle_mm), bare(m.length() - m.fold_end_s), bare(m.length()),
                      bare(m.reach()), number_text(100 * x.strain)});
  }
  return t;
}

std::vector<product::Figure>& add(std::vector<product::Figure>& f, std::string key, std::string label, double value,
                                  std::string unit, std::vector<std::string> from, std::string how) {
  f.push_back({std::move(key), std::move(label), value, std::move(unit), {}, {}, std::move(from), std::move(how)});
  return f;
}

bool whole(const WrappedLayer& w) {
  for (const FlatPattern& p : w.patterns)
    if (p.outline.outer.empty()) return false;
  return !w.patterns.empty();
}

double worst_seam(const WrappedLayer& w) {
  double worst = 0;
  for (const FlatPattern& p : w.patterns) worst = std::max(worst, counts_of(p).worst);
  return worst;
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

std::vector<product::Table> wrapping_tables(const Core& core, int count) {
  std::vector<product::Table> tables;
  const Wrapping& all = core.wrapping;
  if (all.topper) {
    tables.push_back(lengths_table(core, *all.topper));
    tables.push_back(pieces_table(*all.topper, topper_naming(*all.topper), count));
  }
  if (all.batting) tables.push_back(pieces_table(*all.batting, batting_naming(*all.batting), count));
  if (all.barrier) tables.push_back(barrier_table(*all.barrier));
  return tables;
}

void add_wrapping_figures(const Core& core, std::vector<product::Figure>& f) {
  const Wrapping& all = core.wrapping;
  const std::vector<std::string> form{"outline", "given_at", "edges",   "layers",
                                      "crown",   "contour",  "creases", "pockets"};
  const auto with = [&](std::initializer_list<const char*> more) {
    std::vector<std::string> from = form;
    for (const char* m : more) from.push_back(m);
    return from;
  };
  if (all.topper && whole(*all.topper)) {
    const WrappedLayer& w = *all.topper;
    add(f, "topper.area", "Topper, net area as cut", w.area_mm2 * 1e-6, "m2", with({"topper"}),
        "area of its flat patterns, notches, wedges and openings taken off, inserts and strips included");
    add(f, "topper.pieces", "Pieces of the topper", static_cast<double>(w.patterns.size()), "", {"creases", "topper"},
        "what the creases leave between them");
    add(f, "topper.mass", "Topper mass", w.mass_kg, "kg",
        {"topper.area", "topper/thickness", "materials/foams/" + w.material + "/density"},
        "net area x thickness x density");
    add(f, "topper.seam_mismatch", "Topper, edges that meet differ by at most", worst_seam(w), "mm", {"topper.area"},
        "largest difference in length of two edges of notches and wedges");
    if (w.unrolled.place)
      add(f, "topper.strain", "Topper, stretched or pressed over the rising top by at most",
          100 * std::max(w.unrolled.stretched, w.unrolled.pressed), "%", {"crown", "contour", "topper/thickness"},
          "largest of the principal strains from the pattern to the middle of the topper over the face");
  }
  if (all.batting && whole(*all.batting)) {
    const WrappedLayer& w = *all.batting;
    add(f, "batting.area", "Batting, net area as cut", w.area_mm2 * 1e-6, "m2", with({"topper", "batting"}),
        "area of its flat patterns, feathered edge included");
    add(f, "batting.feather", "Feathered edge of the batting", w.feather_mm, "mm",
        {"materials/battings/" + w.material + "/loft"}, "twice the free loft, common practice");
    if (w.mass_kg > 0)
      add(f, "batting.mass", "Batting mass", w.mass_kg, "kg",
          {"batting.area", "materials/battings/" + w.material + "/mass_per_area"},
          "net area x mass per area; the feathered edge is not taken off");
  }
  if (all.barrier) {
    const BarrierBag& b = *all.barrier;
    add(f, "barrier.area", "Barrier, area as cut", b.area_mm2() * 1e-6, "m2", with({"topper", "batting", "barrier"}),
        "panels and boxing strips with allowances of " + mm_text(b.allowance_mm));
    for (const BarrierSeam& s : b.seams)
      add(f, "barrier.seam." + s.name + ".length", "Barrier, seam " + s.name, s.first_mm, "mm", {"barrier.area"},
          "along the seam line of the " + s.first + "; the same along the " + s.second);
  }
}

std::vector<product::Step> wrapping_steps(const Core& core) {
  std::vector<product::Step> steps;
  const Wrapping& all = core.wrapping;
  if (all.topper) {
    const WrappedLayer& w = *all.topper;
    int wedges = 0, inserts = 0;
    bool relief = false;
    for (const FlatPattern& p : w.patterns) {
      wedges += counts_of(p).wedges;
      inserts += counts_of(p).inserts;
      relief = relief || !p.relief.empty();
    }
    steps.push_back(
        {"Wrap the topper",
         "Cut the topper from its patterns, outer face up, blade square; mark the scribed lines where each edge "
         "begins." +
             std::string(
                 relief ? " Along the hidden lines cut a wedge half as deep as the topper is thick out of the inner "
                          "face, so that it bends without lifting."
                        : "") +
             " Glue it from the middle of the top outward, centre lines on centre lines, then the sides, then "
             "close notches" +
             (wedges > 0 ? " and wedges" : "") + " edge to edge" +
             (inserts > 0 ? "; glue the inserts into the opened slits" : "") +
             (w.patterns.size() > 1
                  ? ". Between creases glue each piece by itself, its edge down the wall to the floor, same "
                    "marks opposite each other"
                  : "") +
             "."});
  }
  if (all.batting)
    steps.push_back({"Lay the batting",
                     "Cut the batting from its patterns and pull the fibres thin over the outer " +
                         mm_text(all.batting->feather_mm) +
                         ", so that the edge shows no step. Hold it with a light mist of adhesive; never stretch it."});
  if (all.barrier)
    steps.push_back({"Sew the barrier",
                     "Sew the boxing strip to the bottom panel, then to the top panel, same numbers on each other, and "
                     "leave the back of the bottom seam open. Draw the bag over the cushion and close it by hand."});
  return steps;
}

std::vector<product::Blank> topper_blanks(const Core& core) {
  std::vector<product::Blank> list;
  if (!core.wrapping.topper) return list;
  const WrappedLayer& w = *core.wrapping.topper;
  const material::FoamSheet& sheet = w.foam.sheet;
  const auto add = [&](std::string name, const plane::Box& box, double area, int count) {
    product::Blank b;
    b.name = std::move(name);
    b.material = w.material;
    b.colour = product::colour_of(w.foam.colour);
    b.hatch = product::hatch_of(w.foam.hatch);
    b.width_mm = box.width() + 2 * core.trim_mm;
    b.depth_mm = box.depth() + 2 * core.trim_mm;
    b.thickness_mm = w.layer.thickness_mm;
    b.stock_mm = slitting(sheet, b.thickness_mm, core.kerf_mm).stock_mm;
    b.sheet_width_mm = sheet.width.known() ? sheet.width.value : 0;
    b.sheet_length_mm = sheet.length.known() ? sheet.length.value : 0;
    b.kerf_mm = core.kerf_mm;
    b.density_kg_m3 = w.foam.density.value;
    b.price_m3 = w.foam.price.known() ? w.foam.price.value : std::nan("");
    b.finished_mm3 = area * w.layer.thickness_mm;
    b.count = count;
    list.push_back(std::move(b));
  };
  for (std::size_t i = 0; i < w.patterns.size(); ++i) {
    const FlatPattern& p = w.patterns[i];
    if (p.outline.outer.empty()) continue;
    const std::string name = w.patterns.size() == 1 ? "topper" : "topper, piece " + std::to_string(i + 1);
    add(name, plane::bounds(p.outline), p.area_mm2(), 1);
    for (std::size_t k = 0; k < p.inserts.size(); ++k)
      add(name + ", insert " + std::to_string(k + 1), plane::bounds(p.inserts[k].outline),
          plane::area(p.inserts[k].outline), p.inserts[k].count);
  }
  for (std::size_t i = 0; i < w.lids.size(); ++i)
    add("topper, lid " + std::to_string(i + 1), plane::bounds(w.lids[i]), plane::area(w.lids[i]), 1);
  for (std::size_t i = 0; i < w.strips.size(); ++i)
    add("topper, strip " + std::to_string(i + 1), {{0, 0}, {w.strips[i].length_mm, w.strips[i].height_mm}},
        w.strips[i].length_mm * w.strips[i].height_mm, 1);
  return list;
}

std::vector<product::Blank> foam_blanks(const Core& core) {
  std::vector<product::Blank> list = blanks_of(core);
  for (product::Blank& b : topper_blanks(core)) list.push_back(std::move(b));
  return list;
}

WrappedMass wrapped_mass(const Core& core) {
  WrappedMass m;
  std::vector<std::string> without;
  const auto add_layer = [&](const std::optional<WrappedLayer>& w, const std::string& name) {
    if (w && whole(*w) && w->mass_kg > 0) {
      m.kg += w->mass_kg;
      m.from.push_back(name + ".mass");
      m.with += " + " + name;
    } else {
      without.push_back(name);
    }
  };
  add_layer(core.wrapping.topper, "topper");
  add_layer(core.wrapping.batting, "batting");
  without.insert(without.end(), {"barrier", "cover"});
  m.without = listed(without);
  return m;
}

}  // namespace kerfkiln::cushion
