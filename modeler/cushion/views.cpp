#include "modeler/cushion/views.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/hollow.hpp"
#include "modeler/cushion/profile_curve.hpp"
#include "modeler/cushion/region_rays.hpp"
#include "modeler/cushion/section_cut.hpp"
#include "modeler/cushion/section_place.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/lengths.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {

namespace {

using product::Anchor;
using product::DimensionKind;
using product::LineRole;
using product::Sketch;

constexpr double kViewWidthMm = 150;  // what a view is laid out for; the sheet scales it to fit
constexpr double kTextMm = 3.2;

// Fields of overall sizes can be edited on the drawing only where the drawing shows the surface they describe.
bool sizes_are_given(const Core& core) { return core.skins.side_mm == 0 && core.skins.top_mm == 0; }
std::string field_of(const Core& core, const Spec& spec, const char* key) {
  const bool rectangle = std::holds_alternative<RectangleSpec>(spec.outline);
  return rectangle && sizes_are_given(core) ? std::string("outline/rectangle/") + key : std::string();
}

void dimension(Sketch& s, DimensionKind kind, Vec2 a, Vec2 b, double away, std::string text = {},
               std::string field = {}) {
  s.dimensions.push_back({kind, a, b, away, std::move(text), std::move(field)});
}

// One radius for each distinct corner of the outer loop, dimensioned where it stands nearest to the back left: width
// and depth are dimensioned at the front and the right.
void add_corner_radii(Sketch& sketch, const Core& core, const Spec& spec) {
  struct Rounding {
    double radius, reach;
    Vec2 centre, on;
  };
  std::vector<Rounding> distinct;
  const plane::Loop& loop = core.outline().outer;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const plane::Segment s = plane::segment(loop, i);
    if (s.is_line() || loop[i].side >= 0) continue;
    const Vec2 on = s.point(0.5);
    const Rounding r{s.radius(), on.y - on.x, s.centre(), on};
    const auto equal = std::find_if(distinct.begin(), distinct.end(),
                                    [&](const Rounding& x) { return std::abs(x.radius - r.radius) < 0.005; });
    if (equal == distinct.end())
      distinct.push_back(r);
    else if (r.reach > equal->reach)
      *equal = r;
  }
  constexpr std::size_t kMost = 4;  // more would crowd the view
  for (std::size_t k = 0; k < std::min(kMost, distinct.size()); ++k)
    dimension(sketch, DimensionKind::radius, distinct[k].centre, distinct[k].on, 8, {},
              field_of(core, spec, "corner_radius"));
}

void add_side_names(Sketch& sketch, const Core& core, double unit_mm) {
  for (std::size_t k = 0; k < core.plan.shown.size(); ++k) {
    plane::Segment best{{0, 0}, {0, 0}, 0};
    double length = 0;
    for (std::size_t i = 0; i < core.outline().outer.size(); ++i) {
      const plane::Segment s = plane::segment(core.outline().outer, i);
      if (core.outline().outer[i].side == static_cast<int>(k) && s.length() > length) {
        best = s;
        length = s.length();
      }
    }
    if (length < 12 * unit_mm) continue;
    // A third along, clear of the section marks in the middle, and clear of the line where the edge begins.
    const double run = core.form.edges(Sheet::top).of(static_cast<int>(k)).inset;
    const Vec2 in = best.inward(0.32), along = best.tangent(0.32);
    const bool upright = std::abs(along.y) > std::abs(along.x);
    const double near = 6 * unit_mm, text = kTextMm * unit_mm;
    const double away = run > near - text && run < near + text ? run + 1.5 * text : near;
    const double turn = upright ? 1.5707963267948966 : 0;
    const Vec2 up = upright ? Vec2{-1, 0} : Vec2{0, 1};
    sketch.labels.push_back(
        {best.point(0.32) + away * in - text / 2 * up, core.plan.shown[k], kTextMm, Anchor::centre, turn});
  }
}

void add_section_mark(Sketch& sketch, Vec2 end, Vec2 outward, const char* letter, double unit_mm) {
  sketch.strokes.push_back(product::line(end + 2 * unit_mm * outward, end + 9 * unit_mm * outward, LineRole::section));
  const Vec2 beside = outward.x != 0 ? Vec2{0, 1} : Vec2{1, 0};
  const Vec2 at = end + 6 * unit_mm * outward + (outward.x != 0 ? 3 : 5) * unit_mm * beside;
  sketch.labels.push_back({at - Vec2{0, outward.x != 0 ? 0 : 2 * unit_mm}, letter, 4, Anchor::centre, 0});
}

// Zones lie under the top, or show only where their layer does: hidden lines, named by layer and zone.
void add_zones(Sketch& sketch, const Core& core, double unit_mm) {
  for (std::size_t i = 0; i < core.layers.size(); ++i)
    for (std::size_t k = 0; k < core.layers[i].zones.size(); ++k) {
      const LayerZone& z = core.layers[i].zones[k];
      for (const plane::Outline& o : z.plan.region) product::add_outline(sketch, o, LineRole::hidden);
      if (z.plan.region.empty()) continue;
      const plane::Box b = plane::bounds(z.plan.region.front());
      // Off the centre lines.
      const Vec2 at{b.low.x + 0.25 * b.width(), b.low.y + 0.62 * b.depth()};
      sketch.labels.push_back({at, "layer " + std::to_string(i + 1) + ", zone " + std::to_string(k + 1) + ": " + z.foam,
                               std::min(2.6, b.width() / unit_mm / 16), Anchor::centre, 0});
    }
}

// Level lines of the risen top, edges apart: polylines over a grid, at a round step.
void add_level_lines(Sketch& s, const Core& core) {
  const Form::RiseRange& range = core.form.rise_range(Sheet::top);
  const double span = range.high - range.low;
  if (span < 1) return;
  double step = 1;
  for (const double wish : {1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0}) {
    step = wish;
    if (span / wish <= 8) break;
  }
  const plane::Box box = plane::bounds(core.outline());
  constexpr int kCells = 64;
  const auto at = [&](int i, int j) {
    return Vec2{box.low.x + box.width() * i / kCells, box.low.y + box.depth() * j / kCells};
  };
  const Rise& rise = core.form.rise(Sheet::top);
  std::vector<double> value(static_cast<std::size_t>((kCells + 1) * (kCells + 1)));
  std::vector<char> inside(value.size());
  const auto of = [](int i, int j) { return static_cast<std::size_t>(j * (kCells + 1) + i); };
  for (int j = 0; j <= kCells; ++j)
    for (int i = 0; i <= kCells; ++i) {
      value[of(i, j)] = rise.value(at(i, j));
      inside[of(i, j)] = plane::contains(core.outline(), at(i, j));
    }
  const auto triangle = [&](const std::array<std::pair<int, int>, 3>& t, double level) {
    std::vector<Vec2> ends;
    for (std::size_t k = 0; k < 3; ++k) {
      const auto [i0, j0] = t[k];
      const auto [i1, j1] = t[(k + 1) % 3];
      const double a = value[of(i0, j0)] - level, b = value[of(i1, j1)] - level;
      if ((a < 0) == (b < 0)) continue;
      ends.push_back(at(i0, j0) + a / (a - b) * (at(i1, j1) - at(i0, j0)));
    }
    if (ends.size() == 2) s.strokes.push_back(product::line(ends[0], ends[1], LineRole::construction));
  };
  for (double level = std::ceil(range.low / step + 0.01) * step; level < range.high - 0.01 * step; level += step)
    for (int j = 0; j < kCells; ++j)
      for (int i = 0; i < kCells; ++i) {
        if (!inside[of(i, j)] || !inside[of(i + 1, j)] || !inside[of(i, j + 1)] || !inside[of(i + 1, j + 1)]) continue;
        triangle({{{i, j}, {i + 1, j}, {i + 1, j + 1}}}, level);
        triangle({{{i, j}, {i + 1, j + 1}, {i, j + 1}}}, level);
      }
  s.labels.push_back(
      {{box.low.x, box.high.y + 0.02 * box.depth()}, "level lines every " + mm_text(step), 2.5, Anchor::left, 0});
}

product::View plan_view(const Core& core, const Spec& spec) {
  product::View view{"plan", "Plan of the core, from above", {}};
  Sketch& s = view.sketch;
  const plane::Box box = plane::bounds(core.outline());
  const Vec2 c = 0.5 * (box.low + box.high);
  const double unit_mm = std::max(box.width(), box.depth()) / kViewWidthMm;
  product::add_outline(s, core.outline(), LineRole::visible);
  if (core.form.inset(Sheet::top) > 0)
    for (const plane::Outline& o : core.flat_top) product::add_outline(s, o, LineRole::construction);
  s.strokes.push_back(product::line({box.low.x, c.y}, {box.high.x, c.y}, LineRole::centre));
  s.strokes.push_back(product::line({c.x, box.low.y}, {c.x, box.high.y}, LineRole::centre));
  const double across = section_place(core, true).at_mm, along = section_place(core, false).at_mm;
  add_section_mark(s, {box.low.x, across}, {-1, 0}, "A", unit_mm);
  add_section_mark(s, {box.high.x, across}, {1, 0}, "A", unit_mm);
  add_section_mark(s, {along, box.low.y}, {0, -1}, "B", unit_mm);
  add_section_mark(s, {along, box.high.y}, {0, 1}, "B", unit_mm);
  if (core.form.risen()) add_level_lines(s, core);
  add_zones(s, core, unit_mm);
  // What is cut from above shows; from below and from a side it is hidden.
  for (const Cut& cut : core.cuts.cuts)
    product::add_outline(s, core.cuts.regions[cut.region],
                         cut.kind == Cut::Kind::roof ? LineRole::hidden : LineRole::visible);
  for (const Pocket& p : core.cuts.pockets)
    if (p.from == Pocket::From::side) product::add_outline(s, footprint(p), LineRole::hidden);
  add_side_names(s, core, unit_mm);
  add_corner_radii(s, core, spec);
  dimension(s, DimensionKind::horizontal, {box.high.x, box.low.y}, {box.low.x, box.low.y}, 16, {},
            field_of(core, spec, "width"));
  dimension(s, DimensionKind::vertical, {box.high.x, box.high.y}, {box.high.x, box.low.y}, 16, {},
            field_of(core, spec, "depth"));
  return view;
}

struct EdgeMark {
  const SideEdge* edge;
  const EdgeProfile* profile;
  bool top, at_low;
};

// Leaders into the free paper above and below the section.
void add_edge_mark(Sketch& s, const Core& core, const Section& section, const EdgeMark& mark, bool across, double place,
                   double unit_mm) {
  if (mark.profile->square()) return;
  const double height = core.height();
  const Vec2 on = mark.profile->curve->point(0.5);  // (inset, drop)
  Vec2 at{mark.at_low ? section.low + on.x : section.high - on.x, mark.top ? height - on.y : on.y};
  const double rise =
      core.form.rise(mark.top ? Sheet::top : Sheet::bottom).value(across ? Vec2{at.x, place} : Vec2{place, at.x});
  at.y += mark.top ? rise : -rise;
  const double inward = mark.at_low ? 1 : -1;
  // Leaders of both sides of a narrow piece must not meet.
  const double reach = std::min(12 * unit_mm, 0.2 * (section.high - section.low));
  const Vec2 text{at.x + inward * reach, mark.top ? height + 8 * unit_mm : -8 * unit_mm};
  const bool unchanged = sizes_are_given(core);
  dimension(s, DimensionKind::leader, at, text, 0, edge_words(mark.edge->core, height),
            unchanged ? length_field(*mark.edge, 0) : std::string());
}

// How high a risen top stands where the section passes its highest place.
void add_crest(Sketch& s, const Core& core, const Section& section, bool across, double place, double unit_mm) {
  if (core.form.rise(Sheet::top).flat()) return;
  constexpr int kPlaces = 200;
  Vec2 crest{0, -INFINITY};
  for (int i = 1; i < kPlaces; ++i) {
    const double at = section.low + (section.high - section.low) * i / kPlaces;
    const double z = core.form.z_top(across ? Vec2{at, place} : Vec2{place, at});
    if (z > crest.y + 1e-6) crest = {at, z};
  }
  // Away from the middle, where lines of the section and its names run.
  const Vec2 text{crest.x + 10 * unit_mm, std::max(crest.y, core.height()) + 15 * unit_mm};
  dimension(s, DimensionKind::leader, crest, text, 0,
            "top " + product::bare_length(number_text(crest.y, 1)) + " high here");
}

// Where the line of a section runs through a region.
std::vector<RegionRays::Part> ranges_of(std::span<const plane::Outline> region, const plane::Box& box, bool across,
                                        double place) {
  std::vector<RegionRays::Part> parts;
  std::uint64_t label = 0;
  const double low = across ? box.low.x : box.low.y, high = across ? box.high.x : box.high.y;
  const Vec2 from = across ? Vec2{low - 1, place} : Vec2{place, low - 1}, along = across ? Vec2{1, 0} : Vec2{0, 1};
  RegionRays(region).along(from, along, high - low + 2, parts, label);
  for (RegionRays::Part& p : parts) p = {p.from + low - 1, p.to + low - 1};
  return parts;
}
std::vector<RegionRays::Part> zone_ranges(const LayerZone& z, const plane::Box& box, bool across, double place) {
  return ranges_of(z.plan.region, box, across, place);
}

// Where words stand in a region of a section: level with `wish` and as near to it as the words' room allows, else in
// the widest place at that height or above or below it.
Vec2 place_for_words(const plane::Region& region, Vec2 wish, double room, double height) {
  if (region.empty()) return wish;
  plane::Box box = plane::bounds(region.front());
  for (const plane::Outline& o : region) {
    const plane::Box b = plane::bounds(o);
    box = {{std::min(box.low.x, b.low.x), std::min(box.low.y, b.low.y)},
           {std::max(box.high.x, b.high.x), std::max(box.high.y, b.high.y)}};
  }
  const RegionRays rays(region);
  const auto parts_at = [&](double y) {
    std::vector<RegionRays::Part> parts;
    std::uint64_t label = 0;
    rays.along({box.low.x - 1, y}, {1, 0}, box.width() + 2, parts, label);
    for (RegionRays::Part& p : parts) p = {p.from + box.low.x - 1, p.to + box.low.x - 1};
    return parts;
  };
  Vec2 best = wish;
  double most = 0;
  for (const double share : {0.0, -0.25, 0.25, -0.35, 0.35}) {
    const double y = wish.y + share * height;
    for (const RegionRays::Part& p : parts_at(y)) {
      if (p.to - p.from >= room && p.from + room / 2 <= wish.x && wish.x <= p.to - room / 2) return {wish.x, y};
      if (p.to - p.from <= most + 1e-6) continue;
      most = p.to - p.from;
      best = {(p.from + p.to) / 2, y};
    }
    if (most >= room) break;
  }
  return best;
}

// Moves what lies in the ranges from `rest` to fills of its own.
void add_zone_cut(Sketch& s, const Layer& l, std::size_t k, const std::vector<RegionRays::Part>& ranges,
                  plane::Region& rest, std::size_t layer, double unit_mm) {
  const LayerZone& z = l.zones[k];
  for (const RegionRays::Part& r : ranges) {
    const double low = -kLargestSizeMm, high = kLargestSizeMm;
    const plane::Outline band{
        {{{r.from, low}, 0, -1}, {{r.to, low}, 0, -1}, {{r.to, high}, 0, -1}, {{r.from, high}, 0, -1}}, {}, {}};
    Result<plane::Region> inside = plane::intersected(rest, {band}), left = plane::subtracted(rest, {band});
    if (!inside || !left) continue;
    for (const plane::Outline& o : *inside) {
      s.fills.push_back({o, z.colour, z.hatch});
      product::add_outline(s, o, LineRole::section);
    }
    rest = std::move(*left);
    const std::string words = std::to_string(layer + 1) + "." + std::to_string(k + 1) + "  " + z.foam;
    const double text = std::min({kTextMm, l.thickness() / unit_mm * 0.8,
                                  (r.to - r.from) / unit_mm / (0.7 * static_cast<double>(words.size()))});
    const double room = 0.7 * text * unit_mm * static_cast<double>(words.size());
    const Vec2 at = place_for_words(*inside, {(r.from + r.to) / 2, (l.low_mm + l.high_mm) / 2}, room, l.thickness());
    if (text >= 1.5) s.labels.push_back({at - Vec2{0, text * unit_mm * 0.35}, words, text, Anchor::centre, 0});
  }
}

product::View section_view(const Core& core, const Spec& spec, bool across) {
  const SectionPlace where = section_place(core, across);
  const double place = where.at_mm;
  product::View view{across ? "section-width" : "section-depth",
                     (across ? "Section A-A, across the width, " : "Section B-B, front to back, ") + where.words,
                     {}};
  Sketch& s = view.sketch;
  const plane::Box box = plane::bounds(core.outline());
  const double unit_mm = std::max(box.width(), box.depth()) / kViewWidthMm, height = core.height();
  const Section section = section_cut(core, across, place);
  const std::vector<plane::Outline> empty = hollow_in(core.form, core.cuts, across, place);
  std::vector<plane::Region> own(core.layers.size());  // of each layer, in its own foam
  for (const LayerCut& cut : section.cuts) {
    const Layer& l = core.layers[cut.layer];
    plane::Region rest{plane::Outline{cut.loop, {}, {}}};
    for (const plane::Outline& hollow : empty)
      if (Result<plane::Region> left = plane::subtracted(rest, {hollow})) rest = std::move(*left);
    for (std::size_t k = 0; k < l.zones.size(); ++k)
      add_zone_cut(s, l, k, zone_ranges(l.zones[k], box, across, place), rest, cut.layer, unit_mm);
    for (const plane::Outline& o : rest) {
      s.fills.push_back({o, l.colour, l.hatch});
      product::add_outline(s, o, LineRole::section);
      own[cut.layer].push_back(o);
    }
  }
  const double middle = (section.low + section.high) / 2;
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    const double text = std::min(kTextMm, l.thickness() / unit_mm * 0.8);
    const std::string words = std::to_string(i + 1) + "  " + l.foam;
    const double room = 0.7 * text * unit_mm * static_cast<double>(words.size());
    const Vec2 at = place_for_words(own[i], {middle, (l.low_mm + l.high_mm) / 2}, room, l.thickness());
    s.labels.push_back({at - Vec2{0, text * unit_mm * 0.35}, words, text, Anchor::centre, 0});
    dimension(s, DimensionKind::vertical, {section.high, l.high_mm}, {section.high, l.low_mm}, 8, {},
              "layers/" + std::to_string(i) + "/thickness");
  }
  dimension(s, DimensionKind::vertical, {section.low, 0}, {section.low, height}, 8);
  dimension(s, DimensionKind::horizontal, {section.high, 0}, {section.low, 0}, 15, {},
            field_of(core, spec, across ? "width" : "depth"));
  const auto mark = [&](int side, bool at_low) {
    if (side < 0) return;
    const auto k = static_cast<std::size_t>(side);
    add_edge_mark(s, core, section, {&core.edges.top[k], &core.form.edges(Sheet::top).of(side), true, at_low}, across,
                  place, unit_mm);
    add_edge_mark(s, core, section, {&core.edges.bottom[k], &core.form.edges(Sheet::bottom).of(side), false, at_low},
                  across, place, unit_mm);
  };
  add_crest(s, core, section, across, place, unit_mm);
  mark(section.low_side, true);
  mark(section.high_side, false);
  return view;
}

}  // namespace

std::vector<product::View> views_of(const Core& core, const Spec& spec) {
  return {plan_view(core, spec), section_view(core, spec, true), section_view(core, spec, false)};
}

namespace {

// A grip on each edge that the design names: from the side face to where its flat begins.
void add_edge_handles(std::vector<product::Handle>& handles, const Core& core, Sheet sheet) {
  const std::vector<SideEdge>& edges = sheet == Sheet::top ? core.edges.top : core.edges.bottom;
  std::vector<std::string> done;
  for (std::size_t i = 0; i < core.outline().outer.size(); ++i) {
    const int side = core.outline().outer[i].side;
    if (side < 0) continue;
    const SideEdge& e = edges[static_cast<std::size_t>(side)];
    const EdgeProfile& p = core.form.edges(sheet).of(side);
    const std::string field = length_field(e, 0);
    if (field.empty() || p.square() || std::find(done.begin(), done.end(), field) != done.end()) continue;
    done.push_back(field);
    const plane::Segment s = plane::segment(core.outline().outer, i);
    const Vec2 foot = s.point(0.5), flat = foot + p.inset * s.inward(0.5);
    const double edge_z = sheet == Sheet::top ? core.height() - p.drop : p.drop;
    const double flat_z = sheet == Sheet::top ? core.height() : 0;
    handles.push_back({field, {foot.x, foot.y, edge_z}, {flat.x, flat.y, flat_z}, field});
  }
}

}  // namespace

std::vector<product::Handle> handles_of(const Core& core, const Spec& spec) {
  std::vector<product::Handle> handles;
  const plane::Box box = plane::bounds(core.outline());
  if (std::holds_alternative<RectangleSpec>(spec.outline)) {
    const std::string path = "outline/rectangle/";
    handles.push_back({path + "width", {box.low.x, box.low.y, 0}, {box.high.x, box.low.y, 0}, path + "width"});
    handles.push_back({path + "depth", {box.high.x, box.low.y, 0}, {box.high.x, box.high.y, 0}, path + "depth"});
    for (std::size_t i = 0; i < core.outline().outer.size(); ++i) {
      const plane::Segment s = plane::segment(core.outline().outer, i);
      if (s.is_line()) continue;
      const Vec2 m = s.centre(), on = s.point(0.5);
      handles.push_back(
          {path + "corner_radius", {m.x, m.y, core.height()}, {on.x, on.y, core.height()}, path + "corner_radius"});
      break;
    }
  }
  for (std::size_t i = 0; i < core.layers.size(); ++i) {
    const Layer& l = core.layers[i];
    const std::string field = "layers/" + std::to_string(i) + "/thickness";
    handles.push_back({field, {box.high.x, box.low.y, l.low_mm}, {box.high.x, box.low.y, l.high_mm}, field});
  }
  add_edge_handles(handles, core, Sheet::top);
  add_edge_handles(handles, core, Sheet::bottom);
  return handles;
}

}  // namespace kerfkiln::cushion
