#include <algorithm>
#include <cmath>

#include "modeler/cushion/crease_strip.hpp"
#include "modeler/cushion/cut_parts.hpp"
#include "modeler/cushion/hollow.hpp"
#include "modeler/cushion/stations.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {
namespace {

using product::Anchor;
using product::LineRole;
using product::Sketch;

product::FlatPart part(const Core& core, std::string id, std::string label, std::string material) {
  product::FlatPart p;
  p.id = std::move(id);
  p.label = std::move(label);
  p.material = std::move(material);
  p.hand = core.hand;
  p.face_up = "top face up";
  return p;
}

double reading_turn(Vec2 along) {
  const double turn = std::atan2(along.y, along.x);
  constexpr double kHalf = 1.5707963267948966;
  return turn > kHalf + 1e-9 ? turn - 2 * kHalf : turn <= -kHalf + 1e-9 ? turn + 2 * kHalf : turn;
}

void add_texts(Sketch& s, Vec2 at, const std::vector<std::string>& lines, double room) {
  for (const std::string& line : lines) {
    s.labels.push_back({at, line, std::min(5.0, room / (0.6 * static_cast<double>(line.size() + 1))), Anchor::left, 0});
    at.y -= 8;
  }
}

plane::Loop circle(Vec2 c, double r) { return {{{c.x - r, c.y}, 1, 0}, {{c.x + r, c.y}, 1, 0}}; }

// Centre lines with a tick at each end that stops inside, walls as scribe lines.
void add_crease(Sketch& s, const Crease& c, const std::string& number, bool walls) {
  for (std::size_t k = 0; k < c.runs.size(); ++k) {
    const CreaseRun& r = c.runs[k];
    s.strokes.push_back({r.path, r.closed, LineRole::centre});
    const CreasePath path(r.path, r.closed);
    if (walls && !r.closed) {
      for (double side : {-0.5, 0.5}) {
        plane::Loop wall;
        for (const plane::Curve& v : path.curves()) {
          const Vec2 a = v.a + side * c.width_mm * left(v.ta);
          if (wall.empty() || norm(wall.back().at - a) > 1e-6) wall.push_back({a, v.bulge, 0});
          wall.back().bulge = v.bulge;
          wall.push_back({v.b + side * c.width_mm * left(v.tb), 0, 0});
        }
        s.strokes.push_back(product::open(wall, LineRole::scribe));
      }
      for (const bool start : {true, false}) {
        if (start ? r.out_at_start : r.out_at_end) continue;
        const double at = start ? 0 : path.length();
        const Vec2 n = (c.width_mm / 2 + 4) * left(path.tangent(at)), p = path.point(at);
        s.strokes.push_back(product::line(p - n, p + n, LineRole::station));
      }
    }
    const double middle = path.length() / 2;
    const Vec2 t = path.tangent(middle),
               up = std::cos(reading_turn(t)) * Vec2{0, 1} - std::sin(reading_turn(t)) * Vec2{1, 0};
    std::string text = number;
    if (walls) {
      text += c.trench ? ": trench " : ": slit ";
      text += mm_text(c.depth_mm) + " deep, " + mm_text(c.width_mm) + " wide, tape " + mm_text(c.tape_width_mm) +
              " x " + mm_text(r.tape_mm);
    }
    const double size = std::min(4.0, std::max(1.5, path.length() / (0.7 * static_cast<double>(text.size() + 1))));
    s.labels.push_back({path.point(middle) + (c.width_mm / 2 + 2.5) * up, text, size, Anchor::centre, reading_turn(t)});
  }
}

product::FlatPart crease_template(const Core& core) {
  product::FlatPart p = part(core, "creases", "Crease template", "template board");
  product::add_outline(p.sketch, core.outline(), LineRole::cut);
  const plane::Box box = plane::bounds(core.outline());
  const Vec2 c = 0.5 * (box.low + box.high);
  for (std::size_t i = 0; i < core.cuts.creases.size(); ++i)
    add_crease(p.sketch, core.cuts.creases[i], std::to_string(i + 1), true);
  for (const Station& s : stations_of(core.outline(), core.plan.shown))
    p.sketch.strokes.push_back(product::line(s.at - 6 * s.inward, s.at + 6 * s.inward, LineRole::station));
  add_texts(p.sketch, {box.low.x + box.width() * 0.08, c.y + 30},
            {core.name + ", crease template", "top face up; scribe lines are the walls of the cuts",
             "depths are below the shaped top"},
            box.width() * 0.4);
  return p;
}

product::FlatPart pocket_template(const Core& core, const Pocket& p, const std::string& n) {
  product::FlatPart f = part(core, "pocket-" + n, "Pocket " + n + " template", "template board");
  f.face_up = p.from == Pocket::From::bottom ? "seen from above"
              : p.from == Pocket::From::top  ? "top face up"
                                             : "seen from outside";
  product::add_outline(f.sketch, p.outline, LineRole::cut);
  if (p.lid) product::add_outline(f.sketch, p.lid->seat, LineRole::cut);
  const plane::Box b = plane::bounds(p.outline);
  const std::string face = p.from == Pocket::From::bottom ? "the underside"
                           : p.from == Pocket::From::top  ? "the top"
                                                          : "side " + p.side_name;
  add_texts(f.sketch, {b.low.x + 0.1 * b.width(), 0.5 * (b.low.y + b.high.y) + 8},
            {core.name + ", pocket " + n, mm_text(p.depth_mm) + " deep from " + face}, 0.8 * b.width());
  if (p.lid)
    add_texts(f.sketch, {b.low.x + 0.1 * b.width(), 0.5 * (b.low.y + b.high.y) - 8},
              {"outer line: seat of the lid, " + mm_text(p.lid->thickness()) + " deep"}, 0.8 * b.width());
  return f;
}

void add_lid(const Core& core, const Pocket& p, const std::string& n, std::vector<product::FlatPart>& parts) {
  const auto flat = [&](std::string id, std::string label, std::string material, const plane::Outline& o) {
    product::FlatPart f = part(core, std::move(id), std::move(label), std::move(material));
    product::add_outline(f.sketch, o, LineRole::cut);
    const plane::Box b = plane::bounds(o);
    add_texts(f.sketch, {b.low.x + 0.1 * b.width(), 0.5 * (b.low.y + b.high.y)}, {f.label, f.material},
              0.8 * b.width());
    parts.push_back(std::move(f));
  };
  flat("lid-" + n + "-board", "Lid " + n + " board", "board " + mm_text(p.lid->board_mm), p.lid->piece);
  flat("lid-" + n + "-foam", "Lid " + n + " foam", "foam " + p.lid->foam + " " + mm_text(p.lid->foam_mm), p.lid->piece);
}

// The floor as it is, the walls as one strip that meets itself in a corner.
void add_lining(const Core& core, const Pocket& p, const std::string& n, std::vector<product::FlatPart>& parts) {
  product::FlatPart floor = part(core, "lining-" + n + "-floor", "Lining of pocket " + n + ", floor", "lining");
  product::add_outline(floor.sketch, p.outline, LineRole::sew);
  const plane::Box b = plane::bounds(p.outline);
  add_texts(floor.sketch, {b.low.x + 0.1 * b.width(), 0.5 * (b.low.y + b.high.y)}, {floor.label, "without allowances"},
            0.8 * b.width());
  product::FlatPart wall = part(core, "lining-" + n + "-wall", "Lining of pocket " + n + ", wall strip", "lining");
  const double length = plane::perimeter(plane::Outline{p.outline.outer, {}, {}});
  const double height = p.depth_mm - (p.lid ? p.lid->thickness() : 0);
  product::add_outline(wall.sketch, plane::rectangle(length, height, 0), LineRole::sew);
  double at = 0;
  for (std::size_t i = 0; i + 1 < p.outline.outer.size(); ++i) {
    at += plane::segment(p.outline.outer, i).length();
    wall.sketch.strokes.push_back(product::line({at, 0}, {at, std::min(6.0, height)}, LineRole::station));
  }
  add_texts(wall.sketch, {length * 0.05, height / 2}, {wall.label + ", without allowances"}, length * 0.5);
  parts.push_back(std::move(floor));
  parts.push_back(std::move(wall));
}

Vec2 placed(const Core& core, const Spec& spec, Vec2 at) {
  if (!spec.mirrored) return at;
  const plane::Box box = plane::bounds(core.plan.outline);
  return {box.low.x + box.high.x - at.x, at.y};
}

void add_board(const Core& core, const Spec& spec, std::vector<product::FlatPart>& parts) {
  const Result<plane::Outline> o = board_outline(spec.board, core.outline());
  if (!o) return;
  product::FlatPart f =
      part(core, "board", "Base board", spec.board.material + " " + mm_text(spec.board.thickness.value));
  product::add_outline(f.sketch, *o, LineRole::cut);
  for (std::size_t i = 0; i < spec.board.holes.size(); ++i) {
    const BoardHoleSpec& h = spec.board.holes[i];
    const Vec2 at = placed(core, spec, {h.x.value, h.y.value});
    f.sketch.strokes.push_back(product::closed(circle(at, h.diameter.value / 2), LineRole::cut));
    f.sketch.labels.push_back({at + Vec2{h.diameter.value / 2 + 2, 0},
                               "diameter " + mm_text(h.diameter.value) + (h.insert.empty() ? "" : ", " + h.insert), 3.5,
                               Anchor::left, 0});
  }
  const plane::Box b = plane::bounds(*o);
  std::vector<std::string> lines{core.name + ", " + f.material, "seen from above"};
  if (spec.board.wrap_under.known()) lines.push_back("cover turned under by " + mm_text(spec.board.wrap_under.value));
  add_texts(f.sketch, {b.low.x + 0.1 * b.width(), 0.5 * (b.low.y + b.high.y) + 12}, lines, 0.4 * b.width());
  parts.push_back(std::move(f));
}

// As it is laid on the underside: the other way round.
void add_underside(const Core& core, const Spec& spec, std::vector<product::FlatPart>& parts) {
  product::FlatPart f = part(core, "underside", "Underside template", "template board");
  f.face_up = "underside up";
  const plane::Box box = plane::bounds(core.outline());
  const auto turned = [&](plane::Loop l) { return plane::moved(plane::mirrored_x(l), {box.low.x + box.high.x, 0}); };
  f.sketch.strokes.push_back(product::closed(turned(core.outline().outer), LineRole::cut));
  for (const plane::Loop& hole : core.outline().holes)
    f.sketch.strokes.push_back(product::closed(turned(hole), LineRole::cut));
  for (std::size_t i = 0; i < spec.underside.size(); ++i) {
    const UndersideSpec& u = spec.underside[i];
    plane::Loop path;
    for (const TapePointSpec& p : u.path) {
      const Vec2 at = placed(core, spec, {p.x.value, p.y.value});
      path.push_back({{box.low.x + box.high.x - at.x, at.y}, 0, 0});
    }
    f.sketch.strokes.push_back(product::open(path, LineRole::centre));
    if (const std::optional<plane::Outline> strip = strip_along(CreasePath(path, false), u.tape.value))
      product::add_outline(f.sketch, *strip, LineRole::scribe);
    f.sketch.labels.push_back({path.front().at + Vec2{4, u.tape.value / 2 + 2},
                               "tape " + mm_text(u.tape.value) + " x " + mm_text(tape_length(u)), 4, Anchor::left, 0});
  }
  add_texts(f.sketch, {box.low.x + 0.1 * box.width(), 0.5 * (box.low.y + box.high.y)},
            {core.name + ", underside", "underside up"}, 0.4 * box.width());
  parts.push_back(std::move(f));
}

}  // namespace

void mark_cuts(const Core& core, product::FlatPart& plan) {
  for (std::size_t i = 0; i < core.cuts.creases.size(); ++i)
    add_crease(plan.sketch, core.cuts.creases[i], "crease " + std::to_string(i + 1), false);
  for (std::size_t i = 0; i < core.cuts.pockets.size(); ++i) {
    const Pocket& p = core.cuts.pockets[i];
    if (p.from == Pocket::From::side) {
      const plane::Outline o = footprint(p);
      product::add_outline(plan.sketch, o, LineRole::hidden);
      const plane::Box b = plane::bounds(o);
      plan.sketch.labels.push_back({{(b.low.x + b.high.x) / 2, (b.low.y + b.high.y) / 2},
                                    "pocket " + std::to_string(i + 1) + " from side " + p.side_name,
                                    std::min(4.0, b.width() / 16),
                                    Anchor::centre,
                                    0});
      continue;
    }
    product::add_outline(plan.sketch, p.outline, p.from == Pocket::From::top ? LineRole::scribe : LineRole::hidden);
    if (p.lid) product::add_outline(plan.sketch, p.lid->seat, LineRole::scribe);
    const plane::Box b = plane::bounds(p.outline);
    plan.sketch.labels.push_back(
        {{b.low.x + 4, b.low.y + 4},
         "pocket " + std::to_string(i + 1) + (p.from == Pocket::From::top ? " from the top" : " from the underside"),
         std::min(4.0, b.width() / 16),
         Anchor::left,
         0});
  }
}

std::vector<product::FlatPart> cut_templates(const Core& core, const Spec& spec) {
  std::vector<product::FlatPart> parts;
  if (!core.cuts.creases.empty()) parts.push_back(crease_template(core));
  for (std::size_t i = 0; i < core.cuts.pockets.size(); ++i) {
    const Pocket& p = core.cuts.pockets[i];
    const std::string n = std::to_string(i + 1);
    parts.push_back(pocket_template(core, p, n));
    if (p.lid) add_lid(core, p, n, parts);
    if (p.lining) add_lining(core, p, n, parts);
  }
  if (spec.board.known()) add_board(core, spec, parts);
  if (!spec.underside.empty()) add_underside(core, spec, parts);
  return parts;
}

product::View crease_section(const Core& core) {
  const Crease& c = core.cuts.creases.front();
  const CreasePath path(c.runs.front().path, c.runs.front().closed);
  const double middle = path.length() / 2;
  const Vec2 at = path.point(middle), across = right(path.tangent(middle));
  // To both sides as far as there is foam, a hand's width at most.
  double reach[2];
  for (int side = 0; side < 2; ++side) {
    double t = c.width_mm / 2;
    while (t < 110 && plane::contains(core.outline(), at + (side == 0 ? -t - 1 : t + 1) * across)) t += 1;
    reach[side] = t;
  }
  const auto top = [&](double t) { return core.form.z_top(at + t * across); };
  const auto bottom = [&](double t) { return core.form.z_bottom(at + t * across); };
  product::View v;
  v.id = "section-crease";
  v.caption = "Section across crease 1";
  plane::Loop rim;
  const auto run = [&](double from, double to, const auto& height) {
    constexpr int kSteps = 40;
    for (int i = 0; i <= kSteps; ++i) {
      const double t = from + (to - from) * i / kSteps;
      rim.push_back({{t, height(t)}, 0, 0});
    }
  };
  const double w = c.width_mm / 2;
  run(-reach[0], reach[1], bottom);
  run(reach[1], w, top);
  run(w, -w, [&](double t) { return top(t) - c.depth_mm; });
  run(-w, -reach[0], top);
  v.sketch.strokes.push_back(product::closed(rim, LineRole::section));
  for (const Layer& l : core.layers) {
    const auto clamped = [&](double z) { return std::clamp(z, l.low_mm, l.high_mm); };
    const bool last = &l == &core.layers.back(), first = &l == &core.layers.front();
    const auto upper = [&](double z) { return last ? std::max(z, l.low_mm) : clamped(z); };
    const auto lower = [&](double z) { return first ? std::min(z, l.high_mm) : clamped(z); };
    const auto band = [&](double from, double to, double deeper) {
      constexpr int kSteps = 20;
      plane::Loop area;
      double height = 0;
      for (int i = 0; i <= 2 * kSteps + 1; ++i) {
        const int k = i <= kSteps ? i : 2 * kSteps + 1 - i;
        const double t = from + (to - from) * k / kSteps;
        const double low = lower(bottom(t)), high = std::max(upper(top(t) - deeper), low);
        height = std::max(height, high - low);
        area.push_back({{t, i <= kSteps ? low : high}, 0, 0});
      }
      if (height > 0.01) v.sketch.fills.push_back({{area, {}, {}}, l.colour, l.hatch});
    };
    band(-reach[0], -w, 0);
    band(-w, w, c.depth_mm);
    band(w, reach[1], 0);
  }
  for (const Joint& j : core.joints) {
    for (const auto& [a, b] : {std::pair{-reach[0], -w}, std::pair{w, reach[1]}})
      v.sketch.strokes.push_back(product::line({a, j.z_mm}, {b, j.z_mm}, LineRole::visible));
    if (j.z_mm < top(0) - c.depth_mm)
      v.sketch.strokes.push_back(product::line({-w, j.z_mm}, {w, j.z_mm}, LineRole::visible));
  }
  // The tape: on edge at the wall, or flat on the floor.
  const double floor = top(0) - c.depth_mm, tape = c.tape_width_mm;
  const plane::Loop strap = c.trench ? plane::Loop{{{-tape / 2, floor}, 0, 0},
                                                   {{tape / 2, floor}, 0, 0},
                                                   {{tape / 2, floor + 1.5}, 0, 0},
                                                   {{-tape / 2, floor + 1.5}, 0, 0}}
                                     : plane::Loop{{{-w, floor}, 0, 0},
                                                   {{-w + std::min(1.5, w), floor}, 0, 0},
                                                   {{-w + std::min(1.5, w), floor + tape}, 0, 0},
                                                   {{-w, floor + tape}, 0, 0}};
  v.sketch.strokes.push_back(product::closed(strap, LineRole::visible));
  v.sketch.dimensions.push_back(
      {product::DimensionKind::vertical, {reach[1], floor}, {reach[1], top(reach[1])}, -10, "", c.field + "/depth"});
  v.sketch.dimensions.push_back({product::DimensionKind::horizontal, {-w, top(-w)}, {w, top(w)}, 8, "", ""});
  return v;
}

namespace {

std::vector<product::Step> steps_of(const Core& core, const Spec& spec) {
  std::vector<product::Step> steps;
  const Cuts& c = core.cuts;
  bool side = false, top = false, bottom = false, lid = false;
  for (const Pocket& p : c.pockets) {
    side = side || p.from == Pocket::From::side;
    top = top || p.from == Pocket::From::top;
    bottom = bottom || p.from == Pocket::From::bottom;
    lid = lid || p.lid.has_value();
  }
  if (!c.pockets.empty()) {
    std::vector<std::string> faces;
    if (bottom) faces.push_back("the underside");
    if (top) faces.push_back("the top");
    if (side) faces.push_back("the sides");
    steps.push_back(
        {"Cut the pockets", "After the edges are shaped and checked, trace the pocket templates on " + listed(faces) +
                                " and cut to the depths of the table" +
                                (lid ? "; the seat of a lid first, the cavity within it second. Bore vent holes into a "
                                       "closed cavity"
                                     : "") +
                                "."});
  }
  if (lid)
    steps.push_back({"Make the lid",
                     "Cut board and foam from the lid templates, glue the foam on the board flush all round and try "
                     "it in its seat: the clearance of the table is for its cover and the seat's, a side."});
  if (!c.creases.empty())
    steps.push_back(
        {"Cut the creases",
         "Last of all cuts, with the foam shaped: lay the crease template on the top, mark walls and ends, set "
         "the depth stop to the depth of the table and guide the blade square to the table's plane. Where "
         "two creases cross cut the deeper one through and stop the other where it is marked. Check that each "
         "tape of the table lies in its cut without pulling."});
  if (spec.board.known())
    steps.push_back(
        {"Fix the board", "Cut and drill the board from its template, drive the inserts, then glue it under the foam." +
                              std::string(spec.board.wrap_under.known() ? " The cover is turned under it by " +
                                                                              mm_text(spec.board.wrap_under.value) + "."
                                                                        : "")});
  if (!spec.underside.empty())
    steps.push_back(
        {"Tape the underside", "Mark the tapes from the underside template, underside up, and glue them down."});
  return steps;
}

}  // namespace

void add_cut_parts(const Core& core, const Spec& spec, product::Product& p) {
  if (!core.cuts.creases.empty()) p.tables.push_back(crease_table(core));
  if (!core.cuts.pockets.empty()) p.tables.push_back(pocket_table(core));
  if (spec.board.known() || !spec.underside.empty()) p.tables.push_back(board_table(core, spec));
  auto at = std::find_if(p.steps.begin(), p.steps.end(), [](const product::Step& s) { return s.title == "Hand over"; });
  for (product::Step& s : steps_of(core, spec)) at = p.steps.insert(at, std::move(s)) + 1;
}

}  // namespace kerfkiln::cushion
