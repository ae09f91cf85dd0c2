// The throwing guide: diameters of the round that becomes the form, as a table, a drawing at full size and a rib.
#include <algorithm>
#include <cmath>

#include "modeler/product/sketch_tools.hpp"
#include "modeler/urn/message.hpp"
#include "modeler/urn/profile_board.hpp"
#include "modeler/urn/silhouette.hpp"
#include "modeler/urn/ware.hpp"

namespace kerfkiln::urn {
namespace {

using product::Anchor;
using product::LineRole;

constexpr double kFitMm = 0.02;
constexpr std::size_t kMostStations = 200;

std::string mm1(double v) { return format_number(v, 1); }

void both_sides(product::Sketch& sketch, const plane::Loop& right, LineRole role) {
  plane::Loop left = right;
  for (plane::Vertex& v : left) v.at.x = -v.at.x, v.bulge = -v.bulge;
  sketch.strokes.push_back(product::open(right, role));
  sketch.strokes.push_back(product::open(std::move(left), role));
}

// The round with the squared elevations over it.
product::Sketch overlay(const Throwing& throwing) {
  const Scale s = throwing.scale;
  const Form& form = throwing.form;
  const RoundProfile& round = throwing.round;
  product::Sketch sketch;
  const plane::Loop edge = round.chain(s, kFitMm);
  const double high = edge.back().at.y;
  both_sides(sketch, edge, LineRole::visible);
  for (const plane::Vertex& v : {edge.front(), edge.back()})
    sketch.strokes.push_back(product::line({-v.at.x, v.at.y}, {v.at.x, v.at.y}, LineRole::visible));
  if (!form.round()) {
    both_sides(sketch, silhouette_chain(form, false, s, kFitMm), LineRole::hidden);
    both_sides(sketch, silhouette_chain(form, true, s, kFitMm), LineRole::construction);
  }
  sketch.strokes.push_back(product::line({0, -8}, {0, high + 8}, LineRole::centre));
  return sketch;
}

}  // namespace

Findings check_throwing(const Spec& spec, double wet_height) {
  const double least = wet_height / static_cast<double>(kMostStations);
  if (spec.throwing.every.value >= least) return {};
  return {{Severity::error, "throwing.every", "throwing/every",
           "A station every " + mm(spec.throwing.every.value) + " makes more than " + std::to_string(kMostStations) +
               " of them on a wet height of " + mm(std::round(wet_height)),
           "Give " + mm(std::ceil(least * 10) / 10) + " or more; 20 mm is usual."}};
}

product::Table throwing_table(const Ware& w) {
  const Form& form = w.throwing->form;
  product::Table t{"throwing",
                   form.round() ? "Throwing guide, wet" : "Throwing guide: the round before it is squared, wet",
                   {"height mm", "diameter mm", "around mm", "then width mm", "depth mm", "fired height mm", "where"},
                   {true, true, true, true, true, true, false},
                   {}};
  const std::vector<ThrownStation>& all = w.throwing->stations;
  for (const ThrownStation& s : all) {
    std::string where = s.corner ? "corner" : "";
    if (&s == &all.front()) where = "foot";
    if (&s == &all.back()) where = "lip";
    t.rows.push_back({mm1(s.height), mm1(s.diameter), mm1(s.perimeter / w.throwing->stretch), mm1(s.width),
                      mm1(s.depth), mm1(s.fired_height), where});
  }
  return t;
}

void add_throwing(const Ware& w, FigureList& f) {
  const Form& form = w.throwing->form;
  const Scale s = w.throwing->scale;
  const RoundProfile& round = w.throwing->round;
  double most = 0;
  for (const ThrownStation& x : w.throwing->stations) most = std::max(most, x.diameter);
  f.add("thrown.max_diameter", "Largest diameter to throw, wet", std::max(most, 2 * round.widest() * s.girth), "mm",
        {"profile", "section", "throwing/stretch", "thrown.max_width"},
        "perimeter of the section / (pi x stretch), at the widest place");
  if (form.round()) return;
  f.add(
      "thrown.height_change", "Line of the wall, squared less round", mean_meridian(form, s) - round.meridian(s), "mm",
      {"profile", "section", "throwing/stretch"},
      "mean length of the squared wall from foot to lip - that of the round, wet; where it is positive the piece ends "
      "about that much lower than thrown");
}

std::vector<product::FlatPart> throwing_parts(const Ware& w) {
  const Form& form = w.throwing->form;
  const Scale s = w.throwing->scale;
  const RoundProfile& round = w.throwing->round;
  product::FlatPart guide;
  guide.id = "throwing-guide";
  guide.label = "Throwing guide, wet size";
  guide.material = "paper";
  guide.face_up = "printed face";
  guide.sketch = overlay(*w.throwing);
  const std::vector<ThrownStation>& all = w.throwing->stations;
  double last = -1e9;
  for (const ThrownStation& x : all) {
    const double half = x.diameter / 2;
    guide.sketch.strokes.push_back(product::line({-half, x.height}, {half, x.height}, LineRole::station));
    // Where two stations nearly meet only the first is written.
    const double size = std::min(4.0, 0.5 * (x.height - last));
    if (size < 1.6) continue;
    last = x.height;
    const double text = std::min(size, 4.0), base = x.height + 0.3 * text;
    guide.sketch.labels.push_back({{-3, base}, bare(mm1(x.height)) + " up", text, Anchor::right, 0});
    std::string words = "\u00d8 " + bare(mm1(x.diameter));
    if (!form.round()) words += " then " + bare(mm1(x.width)) + " x " + bare(mm1(x.depth));
    // What has no room inside stands outside.
    const bool inside = 0.62 * text * static_cast<double>(product::shown_size(words)) < half - 4;
    guide.sketch.labels.push_back({{inside ? 3 : half + 4, base}, words, text, Anchor::left, 0});
  }
  std::vector<product::FlatPart> out{std::move(guide)};
  if (form.round() && w.throwing->stretch == 1) return out;  // the gauge is the rib
  product::FlatPart rib;
  rib.id = "rib";
  rib.label = "Rib for the round, wet size";
  rib.material = "template board";
  rib.face_up = "either face";
  std::vector<BoardMark> marks;
  for (const ThrownStation& x : all)
    marks.push_back({x.diameter / 2, x.height, bare(mm1(x.height)) + " up, \u00d8 " + bare(mm1(x.diameter))});
  const plane::Loop edge = round.chain(s, kFitMm);
  rib.sketch = profile_board(edge, round.widest() * s.girth, marks,
                             {"Rib: the round as thrown, before it is squared",
                              "foot edge " + bare(shortest(edge.front().at.x, 1)) + " from the axis, height " +
                                  bare(shortest(edge.back().at.y, 1))});
  out.push_back(std::move(rib));
  return out;
}

product::View throwing_view(const Ware& w) {
  const Form& form = w.throwing->form;
  const Scale s = w.throwing->scale;
  const RoundProfile& round = w.throwing->round;
  product::View v;
  v.id = "throwing";
  v.caption =
      form.round() ? "To throw, wet" : "To throw, wet: the round (full line), squared width (dashed) and depth (thin)";
  v.sketch = overlay(*w.throwing);
  const double widest = round.widest() * s.girth, high = form.height() * s.height;
  v.sketch.dimensions.push_back({product::DimensionKind::vertical, {-widest, 0}, {-widest, high}, 9, {}, {}});
  // About eight diameters, so that they can be read at any scale.
  std::vector<ThrownStation> some = thrown_stations(form, s, w.throwing->stretch, high / 8);
  for (const ThrownStation& x : some) {
    const double half = x.diameter / 2;
    if (x.corner) continue;
    v.sketch.strokes.push_back(product::line({-half, x.height}, {half, x.height}, LineRole::station));
    v.sketch.dimensions.push_back({product::DimensionKind::leader,
                                   {half, x.height},
                                   {widest + 0.1 * high, x.height},
                                   0,
                                   "\u00d8 " + bare(mm1(x.diameter)) + " at " + bare(mm1(x.height)),
                                   {}});
  }
  return v;
}

}  // namespace kerfkiln::urn
