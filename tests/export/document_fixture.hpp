// An invented product with everything a document can meet: it stands for no design, only for the shapes of the data.
#pragma once
#include <cmath>
#include <numbers>
#include <string>

#include "export/document/job_info.hpp"

namespace kerfkiln::fixture {

inline solid::Mesh box_mesh(Vec3 low, Vec3 high) {
  solid::Mesh m;
  for (int i = 0; i < 8; ++i)
    m.points.push_back({i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z});
  m.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                 {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return m;
}

// A round ware: a solid of revolution with a straight taper, closed by fans.
inline solid::Mesh cone_mesh(double foot, double lip, double height, int around) {
  solid::Mesh m;
  for (const auto& [r, z] : {std::pair{foot, 0.0}, std::pair{lip, height}})
    for (int i = 0; i < around; ++i) {
      const double a = 2 * std::numbers::pi * i / around;
      m.points.push_back({r * std::cos(a), r * std::sin(a), z});
    }
  m.points.push_back({0, 0, 0});
  m.points.push_back({0, 0, height});
  const auto n = static_cast<std::uint32_t>(around);
  for (std::uint32_t i = 0; i < n; ++i) {
    const std::uint32_t j = (i + 1) % n;
    m.triangles.push_back({i, j, n + j});
    m.triangles.push_back({i, n + j, n + i});
    m.triangles.push_back({2 * n, j, i});
    m.triangles.push_back({2 * n + 1, n + i, n + j});
  }
  return m;
}

inline product::Shape box_shape(std::string id, std::string label, Vec3 low, Vec3 high, product::Colour colour,
                                bool whole, Vec3 explode) {
  product::Shape s;
  s.id = std::move(id);
  s.label = std::move(label);
  s.colour = colour;
  s.whole = whole;
  s.explode = explode;
  s.volume_mm3 = (high.x - low.x) * (high.y - low.y) * (high.z - low.z);
  s.mesh = [low, high](double) -> Result<solid::Mesh> { return box_mesh(low, high); };
  return s;
}

inline product::Stroke stroke(plane::Loop path, product::LineRole role, bool closed = true) {
  return {std::move(path), closed, role};
}

inline product::Sketch plan_sketch(double w, double d) {
  product::Sketch s;
  const plane::Outline o = plane::rectangle(w, d, std::min(w, d) / 12);
  s.strokes.push_back(stroke(o.outer, product::LineRole::cut));
  s.strokes.push_back(stroke({{{w / 2, -15}}, {{w / 2, d + 15}}}, product::LineRole::centre, false));
  s.strokes.push_back(stroke({{{0, 60}}, {{w, 60}}}, product::LineRole::scribe, false));
  s.labels.push_back({{w / 2, d * 0.7}, "top face up — Ø ± ç", 5});
  return s;
}

inline product::Product cushion() {
  using product::DimensionKind;
  product::Product p;
  p.name = "test block";
  p.kind = "cushion";
  p.count = 2;
  const product::Colour colours[] = {{0.79, 0.70, 0.35}, {0.45, 0.58, 0.62}, {0.80, 0.52, 0.42}};
  const product::Hatch hatches[] = {product::Hatch::lines, product::Hatch::dots, product::Hatch::waves};
  p.shapes.push_back(box_shape("core", "Core", {0, 0, 0}, {500, 400, 120}, colours[0], true, {}));
  product::View section;
  section.id = "section";
  section.caption = "Section through the middle, seen from the right";
  for (int i = 0; i < 3; ++i) {
    const double z = 40.0 * i;
    p.shapes.push_back(box_shape("layer-" + std::to_string(i + 1), "Layer", {0, 0, z}, {500, 400, z + 40}, colours[i],
                                 false, {0, 0, 70.0 * i}));
    plane::Outline slab = plane::moved(plane::rectangle(400, 40, 0), {0, z});
    section.sketch.fills.push_back({slab, colours[i], hatches[i]});
    section.sketch.strokes.push_back(stroke(slab.outer, product::LineRole::section));
    section.sketch.labels.push_back({{200, z + 20}, "layer " + std::to_string(i + 1) + ", foam", 3.2});
    section.sketch.dimensions.push_back({DimensionKind::vertical, {400, z}, {400, z + 40}, -8, "", ""});
  }
  section.sketch.dimensions.push_back({DimensionKind::horizontal, {0, 0}, {400, 0}, -8, "", "outline/rectangle/depth"});
  section.sketch.dimensions.push_back({DimensionKind::vertical, {400, 0}, {400, 120}, -20, "", ""});
  product::View plan;
  plan.id = "plan";
  plan.caption = "Plan of the core";
  plan.sketch = plan_sketch(500, 400);
  plan.sketch.dimensions = {{DimensionKind::horizontal, {0, 0}, {500, 0}, -9, "", ""},
                            {DimensionKind::vertical, {0, 0}, {0, 400}, 9, "", ""},
                            {DimensionKind::radius, {33.333333, 366.666667}, {9.763107, 390.236893}, 8, "", ""},
                            {DimensionKind::linear, {60, 120}, {62, 120}, 6, "", ""},
                            {DimensionKind::leader, {250, 60}, {330, 110}, 8, "scribe line", ""}};
  p.views = {plan, section};
  product::FlatPart large{"plan", "Plan template", "template board", "left", "top face up", 2, plan_sketch(500, 400)};
  product::FlatPart small{"gauge-front",       "Gauge of the front edge", "template board", "", "text side up", 1,
                          plan_sketch(120, 90)};
  p.parts = {large, small};
  product::Table cuts{"cut-list",
                      "Cut list",
                      {"layer", "foam", "width mm", "depth mm", "thickness mm", "note"},
                      {false, false, true, true, true, false},
                      {}};
  for (int i = 0; i < 3; ++i)
    cuts.rows.push_back({std::to_string(i + 1), "firm foam", "520", "420", "40", "10 mm trim on each side"});
  product::Table chain{"compensation",
                       "From the dressed size to the sawn size",
                       {"stage", "width mm", "depth mm", "height mm"},
                       {false, true, true, true},
                       {}};
  chain.rows = {
      {"dressed (as given)", "506", "406", "126"}, {"less cover", "503", "403", "123"}, {"core", "500", "400", "120"}};
  p.tables = {cuts, chain};
  p.steps = {{"Saw the blanks",
              "Saw each layer 10 mm larger all round than the template, grain of the block noted on the face."},
             {"Laminate",
              "Spray both faces, wait until the adhesive no longer strings, join from the middle outwards and press."},
             {"Trace and saw", "Trace the plan template, saw along the line with the kerf outside it."}};
  p.cautions = {
      "Solvent adhesives: ventilate, keep flames and sparks away, wear what the adhesive's data sheet asks for.",
      "Foam burns: store it away from heat; what a seat must withstand is for the local code to say."};
  p.figures = {
      {"outline.area", "area of the outline", 199046.0, "mm2", {}, {}, {"outline"}, "area of the outline as given"},
      {"core.volume",
       "volume of the core",
       23.8855,
       "L",
       {},
       {},
       {"outline.area", "layers"},
       "integral of the height over the outline"},
      {"core.mass",
       "mass of the core",
       0.9554,
       "kg",
       0.86,
       1.05,
       {"core.volume", "layers/0/foam"},
       "sum of volume times density of the layers"},
      {"layer.1.blank.width",
       "width of blank 1",
       520.0,
       "mm",
       {},
       {},
       {"outline", "trim"},
       "extent of the outline plus twice the trim"},
      {"glue.area", "area to be glued", 0.39809, "m2", {}, {}, {"outline.area"}, "each glue line once"},
      {"total.mass", "mass of one piece", 1.1, "kg", 1.0, 1.2, {"core.mass"}, "core and all that is put on it"}};
  p.findings = {{Severity::warning, "layer.stock", "layers/2/thickness",
                 "the layer is 40 mm thick where the crown needs 52 mm", "choose stock of 52 mm or more"},
                {Severity::note, "field.unused", "crown", "\"crown\" is kept but not yet computed", ""}};
  return p;
}

inline product::Product urn() {
  product::Product p;
  p.name = "test vessel";
  p.kind = "urn";
  product::Shape s;
  s.id = "urn";
  s.label = "Fired urn";
  s.colour = {0.72, 0.62, 0.52};
  s.volume_mm3 = 3.0e6;
  s.mesh = [](double) -> Result<solid::Mesh> { return cone_mesh(60, 90, 200, 96); };
  p.shapes.push_back(s);
  p.figures = {{"fired.height", "height, fired", 200, "mm", {}, {}, {"profile"}, "as given"}};
  return p;
}

inline output::Job job() {
  output::Job j;
  j.info.title = "Test block and vessel";
  j.info.hash = "0123456789abcdef";
  j.info.order = {"test order", "TB-001", "B", "2031-04-02", "maker", ""};
  j.info.program = "kerfkiln test";
  j.products = {cushion(), urn()};
  j.totals = {
      {"total.mass", "mass of all pieces", 4.2, "kg", {}, {}, {"pieces/0/total.mass"}, "sum over pieces and counts"}};
  return j;
}

}  // namespace kerfkiln::fixture
