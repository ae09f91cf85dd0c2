// Drawings of a lid: on its urn, by itself at the sizes of the bench, the resist line, and gauges for its prototype.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/plane/fit.hpp"
#include "modeler/product/sketch_tools.hpp"
#include "modeler/urn/lid_size.hpp"
#include "modeler/urn/lid_work.hpp"
#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

using plane::Loop;
using plane::Vertex;
using product::DimensionKind;
using product::LineRole;

constexpr double kDrawnMm = 0.02;
constexpr double kPi = std::numbers::pi;
constexpr product::Colour kLidClay{0.86, 0.72, 0.55}, kUrnClay{0.80, 0.66, 0.52}, kRing{0.90, 0.80, 0.68};

// Segments of a loop at another size; arcs stay arcs where girth and height shrink alike.
Loop sized(const Loop& in, bool closed, Scale s, double shift, double drop) {
  Loop out;
  const std::size_t n = in.size();
  const auto place = [&](Vec2 p) { return Vec2{(p.x + shift) * s.girth, (p.y - drop) * s.height}; };
  for (std::size_t i = 0; i < n; ++i) {
    const Vertex v = in[i];
    if ((!closed && i + 1 == n) || v.bulge == 0 || std::abs(s.girth - s.height) < 1e-12) {
      out.push_back({place(v.at), !closed && i + 1 == n ? 0 : v.bulge, 0});
      continue;
    }
    const plane::Segment arc = plane::segment(in, i);
    Loop piece = plane::fitted(
        [&](double t) -> plane::CurvePoint {
          const Vec2 d = arc.tangent(t);
          return {place(arc.point(t)), {d.x * s.girth, d.y * s.height}};
        },
        0, 1, kDrawnMm);
    piece.pop_back();
    out.insert(out.end(), piece.begin(), piece.end());
  }
  return out;
}

// The lid's cut seen from the front or the side: what is carried around stands nearer to the axis from the side, what
// is turned does not.
Loop cut(const Lid& lid, bool depth) {
  Loop out = lid.meridian;
  const double shift = depth ? lid.outline.half_depth() - lid.outline.half_width() : 0;
  for (Vertex& v : out)
    if (v.side != static_cast<int>(LidFace::turned) && v.at.x > 1e-9) v.at.x += shift;
  return out;
}
// Its outside from the rim up: for gauges and elevations.
Loop outside(const Lid& lid, bool depth, bool knob) {
  const Loop all = cut(lid, depth);
  const std::size_t rim = lid.size.style == LidStyle::inset ? lid.inside_end - 2 : lid.inside_end;
  Loop out;
  for (std::size_t i = rim; i < all.size(); ++i) {
    out.push_back(all[i]);
    if (!knob && all[i].side == static_cast<int>(LidFace::turned)) break;
  }
  if (!knob && out.back().at.x < 1e-9 && out.size() > 1 &&
      out[out.size() - 2].side == static_cast<int>(LidFace::panel) && lid.panel > 1e-9)
    out.pop_back();
  out.back().bulge = 0;
  return out;
}

Loop mirror(Loop in) {
  for (Vertex& v : in) {
    v.at.x = -v.at.x;
    v.bulge = -v.bulge;
  }
  return in;
}

void draw_lid(product::Sketch& k, const Lid& lid, bool depth, Scale s, double drop) {
  const Loop section = sized(cut(lid, depth), true, s, 0, drop);
  k.fills.push_back({{section, {}, {}}, kLidClay, product::Hatch::cross});
  k.strokes.push_back(product::closed(section, LineRole::section));
  k.strokes.push_back(product::open(mirror(sized(outside(lid, depth, true), false, s, 0, drop)), LineRole::visible));
  const double rim = (lid.measure.low - drop) * s.height;
  const Loop edge = sized(outside(lid, depth, true), false, s, 0, drop);
  k.strokes.push_back(product::line({-edge.front().at.x, rim}, {0, rim}, LineRole::visible));
}

void draw_gallery(product::Sketch& k, const Ware& w, const Lid& lid, bool depth) {
  if (!lid.gallery) return;
  const LidGallery& g = *lid.gallery;
  const double half = depth ? lid.outline.half_depth() : lid.outline.half_width();
  const double turn = lip_turn(w.form()) + (depth ? kPi / 2 : 0);
  Loop ring{{{half + g.inner, g.low}, 0, 0}};
  for (int i = 0; i <= 12; ++i) {
    const double z = g.low + (g.top - g.low) * i / 12;
    ring.push_back({{w.wall.inner_reach(turn, z), z}, 0, 0});
  }
  ring.push_back({{half + g.inner, g.top}, 0, 0});
  k.fills.push_back({{ring, {}, {}}, kRing, product::Hatch::dots});
  k.strokes.push_back(product::closed(ring, LineRole::section));
}

double outer_half(const Ware& w, bool depth, double z) {
  if (w.form().twisted()) {
    const double turn = lip_turn(w.form()) + (depth ? kPi / 2 : 0);
    return w.form().outer_reach({std::cos(turn), std::sin(turn)}, z);
  }
  const SectionSize s = w.form().size_at(z);
  return depth ? s.half_depth : s.half_width;
}

// A point in the middle of the lid's wall, about `x` from the axis.
Vec2 in_the_wall(const Lid& lid, double x) {
  for (std::size_t i = lid.inside_end; i < lid.meridian.size(); ++i) {
    const plane::Segment s = plane::segment(lid.meridian, i);
    if (lid.meridian[i].side > static_cast<int>(LidFace::panel) || s.b.x > x) continue;
    const double t = s.a.x > s.b.x ? std::clamp((s.a.x - x) / (s.a.x - s.b.x), 0.0, 1.0) : 0;
    return s.point(t) + 0.5 * lid.size.wall * s.inward(t);
  }
  return {0, lid.seat_z + lid.size.height - 0.5 * lid.size.wall};
}

// Lid and neck together, cut on the right.
product::View on_urn(const Ware& w, const LidWork& x, bool depth) {
  const Lid& lid = x.lid;
  product::View v;
  v.id = depth ? "lid-on-urn-side" : "lid-on-urn";
  v.caption = std::string("Lid on its urn") + (depth ? ", from the side" : "") + ", fired; left outside, right section";
  product::Sketch& k = v.sketch;
  const double lip = w.wall.lip(),
               low = std::max(w.wall.floor(), std::min(lid.measure.low, lid.gallery ? lid.gallery->low : lip) - 12);
  const double turn = lip_turn(w.form()) + (depth ? kPi / 2 : 0);
  constexpr int kSteps = 80;
  Loop clay, left;
  for (int i = 0; i <= kSteps; ++i) {
    const double z = low + (lip - low) * i / kSteps, r = outer_half(w, depth, z);
    clay.push_back({{r, z}, 0, 0});
    left.push_back({{-r, z}, 0, 0});
  }
  for (int i = kSteps; i >= 0; --i) {
    const double z = low + (lip - low) * i / kSteps;
    clay.push_back({{w.wall.inner_reach(turn, z), z}, 0, 0});
  }
  k.fills.push_back({{clay, {}, {}}, kUrnClay, product::Hatch::lines});
  k.strokes.push_back(product::closed(clay, LineRole::section));
  // Hidden behind the skirt of a cap.
  Loop seen, hidden;
  for (const Vertex& p : left)
    (lid.size.style == LidStyle::cap && p.at.y > lid.measure.low ? hidden : seen).push_back(p);
  if (seen.size() > 1) k.strokes.push_back(product::open(seen, LineRole::visible));
  if (hidden.size() > 1) k.strokes.push_back(product::open(hidden, LineRole::hidden));
  draw_gallery(k, w, lid, depth);
  const Loop section = cut(lid, depth);
  k.fills.push_back({{section, {}, {}}, kLidClay, product::Hatch::cross});
  k.strokes.push_back(product::closed(section, LineRole::section));
  Loop shown = mirror(outside(lid, depth, true)), drop;
  if (lid.size.style == LidStyle::inset) {
    // What hangs in the mouth is hidden.
    drop.assign(shown.begin(), shown.begin() + 3);
    shown.erase(shown.begin(), shown.begin() + 2);
    drop.back().bulge = 0;
    k.strokes.push_back(product::open(drop, LineRole::hidden));
  }
  k.strokes.push_back(product::open(shown, LineRole::visible));
  k.strokes.push_back(product::line({0, low - 4}, {0, lid.measure.high + 6}, LineRole::centre));

  const double half = depth ? lid.outline.half_depth() : lid.outline.half_width();
  const double seat_in = half + lid.seat_from, seat_out = half + lid.seat_to, shift = half - lid.outline.half_width();
  k.strokes.push_back(product::line({seat_in, lid.seat_z}, {seat_out, lid.seat_z}, LineRole::cut));
  auto& d = k.dimensions;
  const double most = std::max(depth ? lid.measure.half_depth : lid.measure.half_width, outer_half(w, depth, low));
  const double top = lid.measure.high, span = top - low, column = most + 0.12 * span;
  d.push_back({DimensionKind::vertical, {-most, lid.measure.low}, {-most, lid.measure.high}, 18, {}, {}});
  d.push_back({DimensionKind::vertical, {-most, lid.measure.low}, {-most, lid.seat_z}, 9, {}, "lid/flange"});
  const double wide = depth ? lid.measure.half_depth : lid.measure.half_width;
  d.push_back({DimensionKind::horizontal, {-wide, lid.measure.high}, {wide, lid.measure.high}, 9, {}, {}});
  const auto note = [&](Vec2 at, double z, std::string text, std::string field) {
    d.push_back({DimensionKind::leader, at, {column, z}, 0, std::move(text), std::move(field)});
  };
  // Lines of text at any scale that a page is likely to get.
  const double step = std::max(0.13 * span, 0.19 * most), from = top + 0.5 * step;
  int line = 0;
  const auto next = [&] { return from - step * line++; };
  if (lid.size.knob())
    note({0.4 * lid.size.knob_diameter, top - 0.3 * lid.size.knob_height}, next(),
         "knob " + bare(shortest(lid.size.knob_diameter, 1)) + " x " + bare(shortest(lid.size.knob_height, 1)),
         "lid/knob/diameter");
  note(in_the_wall(lid, 0.55 * lid.outline.half_width()) + Vec2{shift, 0}, next(),
       "wall " + bare(shortest(lid.size.wall)) + ", " + bare(shortest(lid.size.height, 1)) + " over the seat",
       "lid/wall");
  note({0.5 * (seat_in + seat_out), lid.seat_z}, next(), "seat " + bare(shortest(lid.size.seat, 1)) + ", no glaze",
       "lid/seat");
  const double gap_z = lid.size.style == LidStyle::cap ? 0.5 * (lid.measure.low + lid.seat_z)
                       : lid.gallery ? 0.5 * (std::max(lid.gallery->low, lid.measure.low) + lid.gallery->top)
                                     : 0.5 * (lid.measure.low + lid.seat_z);
  note({0.5 * (lid.guide_urn + lid.guide_lid) + shift, gap_z}, next(),
       "gap " + bare(shortest(lid.size.clearance, 2)) + ", " + bare(format_number(x.fit.net, 2)) + " net",
       "lid/clearance");
  if (lid.gallery)
    note({half + lid.gallery->inner + 1, lid.gallery->low + 1}, next(),
         "gallery " + bare(shortest(lid.size.gallery_width, 1)) + ", " + bare(shortest(lid.size.gallery_depth, 1)) +
             " down",
         "lid/gallery/width");
  return v;
}

product::View alone(const Ware& w, const LidWork& x, const char* state, bool depth) {
  const Lid& lid = x.lid;
  const State& st = w.chain.state(state);
  const Scale s = st.over_fired;
  product::View v;
  v.id = std::string("lid-") + state + (depth ? "-side" : "");
  v.caption = "Lid: " + st.label + (depth ? ", from the side" : "") + "; left outside, right section";
  product::Sketch& k = v.sketch;
  const double drop = lid.measure.low;
  draw_lid(k, lid, depth, s, drop);
  const double high = (lid.measure.high - drop) * s.height, seat = (lid.seat_z - drop) * s.height;
  const double wide = (depth ? lid.measure.half_depth : lid.measure.half_width) * s.girth;
  const double shift = depth ? lid.outline.half_depth() - lid.outline.half_width() : 0;
  k.strokes.push_back(product::line({0, -4}, {0, high + 5}, LineRole::centre));
  auto& d = k.dimensions;
  d.push_back({DimensionKind::horizontal, {-wide, high}, {wide, high}, 9, {}, {}});
  d.push_back({DimensionKind::vertical, {-wide, 0}, {-wide, high}, 18, {}, {}});
  d.push_back(
      {DimensionKind::vertical, {-wide, 0}, {-wide, seat}, 9, {}, std::string(state) == "fired" ? "lid/flange" : ""});
  // A skirt's inside at its end, a flange's outside.
  const double guide =
      ((lid.size.style == LidStyle::cap ? lid.meridian[lid.inside_end - 1].at.x : lid.guide_lid) + shift) * s.girth;
  d.push_back({DimensionKind::horizontal, {guide, 0}, {-guide, 0}, 9, {}, {}});
  const double body = (lid.seat_z + lid.size.height - drop) * s.height;
  d.push_back({DimensionKind::vertical, {wide, body}, {wide, 0}, 9, {}, {}});
  if (lid.size.knob()) {
    const double knob = lid.size.knob_diameter / 2 * s.girth;
    d.push_back({DimensionKind::leader,
                 {knob * 0.8, high - 0.25 * lid.size.knob_height * s.height},
                 {wide + 0.1 * high, high},
                 0,
                 "knob " + bare(shortest(2 * knob, 1)) + ", neck " + bare(shortest(lid.size.knob_neck * s.girth, 1)),
                 std::string(state) == "fired" ? "lid/knob/diameter" : ""});
  }
  return v;
}

// The contact seen from above.
product::View resist(const Lid& lid) {
  product::View v;
  v.id = "lid-resist";
  v.caption = "Contact of lid and urn from above, fired: no glaze between the heavy lines";
  const auto ring = [&](double distance) {
    Loop loop;
    for (const LidOutline::Place& p : lid.outline.places(distance, std::max(distance, 0.0), 0, kDrawnMm))
      loop.push_back({p.at + distance * p.normal, 0, 0});
    return loop;
  };
  const Loop inner = ring(lid.seat_from), outer = ring(lid.seat_to), middle = ring(0.5 * (lid.seat_from + lid.seat_to));
  product::Sketch& k = v.sketch;
  plane::Outline face{outer, {plane::reversed(inner)}, {}};
  k.fills.push_back({face, {0.93, 0.90, 0.86}, product::Hatch::dots});
  k.strokes.push_back(product::closed(inner, LineRole::cut));
  k.strokes.push_back(product::closed(outer, LineRole::cut));
  k.strokes.push_back(product::closed(middle, LineRole::sew));
  const double d = lid.measure.half_width - lid.outline.half_width();
  k.strokes.push_back(product::closed(ring(d), LineRole::visible));
  const double half = lid.outline.half_width(), deep = lid.outline.half_depth();
  k.strokes.push_back(product::line({-half - d - 6, 0}, {half + d + 6, 0}, LineRole::centre));
  k.strokes.push_back(product::line({0, -deep - d - 6}, {0, deep + d + 6}, LineRole::centre));
  auto& dim = k.dimensions;
  const double in = half + lid.seat_from, out = half + lid.seat_to;
  dim.push_back({DimensionKind::horizontal, {in, -deep - d}, {-in, -deep - d}, 9, {}, {}});
  dim.push_back({DimensionKind::horizontal, {out, -deep - d}, {-out, -deep - d}, 18, {}, {}});
  const double corner = 0.5 * (in + out) * std::sqrt(0.5);
  dim.push_back({DimensionKind::leader,
                 {corner, 0.5 * (in + out) > 0 ? corner * deep / half : corner},
                 {half + d + 0.2 * half, 0.7 * deep},
                 0,
                 "resist line " + format_number(lid.measure.seat_length, 0) + " mm around",
                 {}});
  return v;
}

constexpr double kBoardMm = 55;  // stiff in 4 mm sheet and comfortable to hold; common practice

// The board right of the lid, standing on the bat beside its rim.
product::FlatPart gauge(const Ware& w, const LidWork& x, bool depth) {
  const Lid& lid = x.lid;
  const Scale s = w.chain.state("thrown").over_fired;
  const Loop edge = sized(outside(lid, depth, false), false, s, 0, lid.measure.low);
  double widest = 0, high = 0;
  for (const Vertex& v : edge) widest = std::max(widest, v.at.x), high = std::max(high, v.at.y);
  product::FlatPart part;
  part.id = depth ? "lid-gauge-depth" : lid.outline.round() ? "lid-gauge" : "lid-gauge-width";
  part.label = lid.outline.round() ? "Lid gauge" : depth ? "Lid gauge, depth" : "Lid gauge, width";
  part.material = "template board";
  part.face_up = "either face";
  const double back = widest + kBoardMm, top = high + 28;
  Loop board{{{back, 0}, 0, 0}, {{back, top}, 0, 0}, {{edge.back().at.x, top}, 0, 0}};
  for (std::size_t i = edge.size(); i-- > 0;) board.push_back({edge[i].at, i > 0 ? -edge[i - 1].bulge : 0, 0});
  product::Sketch& k = part.sketch;
  k.strokes.push_back(product::closed(board, LineRole::cut));
  k.strokes.push_back(product::circle({back - 12, top - 12}, 4, LineRole::cut));
  const double seat = (lid.seat_z - lid.measure.low) * s.height;
  k.strokes.push_back(product::line({widest + 2, seat}, {widest + 14, seat}, LineRole::scribe));
  k.labels.push_back({{widest + 16, seat - 1}, "seat", 2.8, product::Anchor::left, 0});
  const double text_x = edge.back().at.x + 3;
  const double room = back - 26 - text_x;
  const auto write = [&](double y, const std::string& text, double size) {
    const double fitting = room / (0.6 * static_cast<double>(product::shown_size(text)));
    k.labels.push_back({{text_x, y}, text, std::min(size, fitting), product::Anchor::left, 0});
  };
  write(top - 9, part.label + " of the prototype, wet size, without knob", 4);
  write(top - 16,
        "rim " + bare(shortest(edge.front().at.x, 1)) + " from the axis, height " + bare(shortest(high, 1)) +
            ", this edge " + bare(shortest(edge.back().at.x, 1)) + " from the axis",
        3.2);
  return part;
}

// The rib that forms a pressed lid's inside: half of the hollow, its straight edge on the axis.
product::FlatPart rib(const Ware& w, const LidWork& x, bool depth) {
  const Lid& lid = x.lid;
  const Scale s = w.chain.state("thrown").over_fired;
  const Loop all = cut(lid, depth);
  const std::size_t end = lid.size.style == LidStyle::inset ? lid.inside_end - 2 : lid.inside_end;
  const Loop edge =
      sized(Loop(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(end)), false, s, 0, lid.measure.low);
  product::FlatPart part;
  part.id = depth ? "lid-rib-depth" : lid.outline.round() ? "lid-rib" : "lid-rib-width";
  part.label = lid.outline.round() ? "Lid rib, inside" : depth ? "Lid rib, inside, depth" : "Lid rib, inside, width";
  part.material = "template board";
  part.face_up = "either face";
  // From the ceiling's middle out and down to the rim, and back along rim and axis.
  Loop board;
  for (std::size_t i = edge.size(); i-- > 0;) board.push_back({edge[i].at, i > 0 ? -edge[i - 1].bulge : 0, 0});
  board.insert(board.begin(), Vertex{{0, edge.back().at.y}, 0, 0});
  product::Sketch& k = part.sketch;
  k.strokes.push_back(product::closed(board, LineRole::cut));
  const double high = edge.front().at.y, wide = edge.back().at.x;
  k.strokes.push_back(product::line({0, 0}, {0, high}, LineRole::centre));
  const auto write = [&](double y, const std::string& text, double size) {
    const double fitting = 0.72 * wide / (0.6 * static_cast<double>(product::shown_size(text)));
    k.labels.push_back({{4, y}, text, std::min(size, fitting), product::Anchor::left, 0});
  };
  write(0.32 * high, part.label + ", wet size", 3.5);
  write(0.32 * high - 5,
        "straight edge on the axis; " + bare(shortest(wide, 1)) + " out, " + bare(shortest(high, 1)) + " deep", 2.8);
  return part;
}

}  // namespace

std::vector<product::View> lid_views(const Ware& w, const LidWork& x) {
  const bool round = x.lid.outline.round();
  std::vector<product::View> out{on_urn(w, x, false)};
  if (!round) out.push_back(on_urn(w, x, true));
  for (const char* state : {"fired", "cavity", "thrown"}) {
    out.push_back(alone(w, x, state, false));
    if (!round) out.push_back(alone(w, x, state, true));
  }
  out.push_back(resist(x.lid));
  return out;
}

std::vector<product::FlatPart> lid_parts(const Ware& w, const LidWork& x) {
  std::vector<product::FlatPart> out{gauge(w, x, false)};
  const bool round = x.lid.outline.round();
  if (!round) out.push_back(gauge(w, x, true));
  if (!x.lid.size.drained) {
    out.push_back(rib(w, x, false));
    if (!round) out.push_back(rib(w, x, true));
  }
  return out;
}

}  // namespace kerfkiln::urn
