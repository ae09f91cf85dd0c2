// Starting values, every one the maker's to overwrite with the supplier's data or their own measurements.
#include "modeler/material/spec.hpp"

namespace kerfkiln::material {
namespace {

constexpr double kPoundForceN = 4.4482216152605;

Foam foam(double kg_m3, const char* colour, const char* hatch, double lbf_25, double support) {
  Foam f;
  f.density = kg_m3;
  f.colour = colour;
  f.hatch = hatch;
  f.hardness.indentation_25 = lbf_25 * kPoundForceN;
  f.hardness.support_factor = support;
  f.hardness.method = "typical of the grade, not tested";
  f.hardness.sample_thickness = 100;   // ISO 2439, ASTM D3574 B1
  f.hardness.indentation_ratio = 1.3;  // 1.2 to 1.6 (from memory)
  f.set = 0.05;                        // below 10 % is called good (joint foam standards 1994)
  f.hardness_loss = 0.22;              // limit of class V seats, ISO 5999 (from memory)
  return f;
}
Body body(double drying, double firing, double kg_m3, double ignition) {
  Body b;
  b.stages = {{"drying", drying, {}, {}}, {"firing", firing, {}, {}}};
  b.fired_density = kg_m3;
  b.loss_on_ignition = ignition;
  b.slip.specific_gravity = 1.75;  // common practice: 1.70 to 1.80
  b.slip.dry_specific_gravity = 2.60;
  b.slip.cast_water = 0.19;  // from memory: 17 to 22 % of the wet mass, cast in plaster
  return b;
}
Plaster plaster(double consistency, double expansion) {
  Plaster p;
  p.consistency = consistency;
  p.specific_gravity = 2.70;  // reproduces published wet densities within 1 %
  p.setting_expansion = expansion;
  return p;
}
Adhesive adhesive(double kg_m2, int faces, double waiting_s) {
  Adhesive a;
  a.coverage = kg_m2;
  a.faces = faces;
  a.loss = 0.10;  // common practice
  a.waiting_time = waiting_s;
  a.open_time = 1200;  // 20 min and more for contact adhesives, less in dry air (common practice)
  return a;
}
Glaze glaze(double kg_m2, double mm, double kg_m3) {
  Glaze g;
  g.dry_coat = kg_m2;
  g.fired_coat = mm;
  g.slop_dry_content = kg_m3;
  return g;
}
Model model(double shrinkage) {
  Model m;
  m.shrinkage = shrinkage;
  return m;
}
Cover cover(double mm) {
  Cover c;
  c.thickness = mm;
  return c;
}
Barrier barrier(double mm, double kg_m2) {
  Barrier b;
  b.thickness = mm;
  b.mass_per_area = kg_m2;
  return b;
}
Board board(double kg_m3) {
  Board b;
  b.density = kg_m3;
  return b;
}
Batting batting(double kg_m2, double loft_mm) {
  Batting b;
  b.mass_per_area = kg_m2;
  b.loft = loft_mm;
  b.compressed_to = 0.5;  // common practice: 40 to 60 % under a cover
  return b;
}

Library make() {
  Library l;
  // Densities by use: seat foam 29 to 51 kg/m3, comfort topper 35 to 50, contract base 45 to 65 (trade tables of
  // furniture foam, common practice). Density says nothing of hardness; the names are the maker's habit of speech.
  // Hardness by use: comfort layers 10 to 24 lbf, seats 30 to 45, contract bases 50 to 80; support factors 1.5 to 2.6
  // (trade tables of furniture foam, encyclopaedia articles on indentation hardness, common practice).
  l.foams = {{"soft", foam(35, "#e9c46a", "dots", 20, 2.0)},
             {"medium", foam(40, "#9ec5ab", "lines", 35, 2.2)},
             {"firm", foam(50, "#7d98b8", "cross", 50, 2.4)},
             {"extra firm", foam(65, "#b58a9c", "waves", 70, 2.6)}};
  // 80 g/m2 a face on both faces, 10 minutes to flash off (common practice; water-based glues 40 to 100 g/m2).
  l.adhesives = {{"contact", adhesive(0.080, 2, 600)}, {"one-sided", adhesive(0.120, 1, 180)}};
  // Furniture leather 0.8 to 2.0 mm (leather trade, from memory); upholstery cloth (common practice).
  l.covers = {{"hide", cover(1.2)}, {"cloth", cover(0.8)}};
  // 3/4 and 1 1/4 oz/ft2 are trade weights; loft about 25 mm for each oz/ft2 (common practice).
  l.battings = {{"standard", batting(0.2289, 19)}, {"heavy", batting(0.3814, 32)}};
  l.barriers = {{"woven", barrier(0.3, 0.15)}, {"knitted", barrier(0.8, 0.25)}};  // common practice
  // Birch ply 640 to 700 kg/m3, medium-density fibreboard 700 to 800, chipboard 600 to 700 (common practice).
  l.boards = {{"ply", board(680)}, {"mdf", board(750)}, {"chipboard", board(650)}};
  // Drying 3 %, firing 9 % of the dry size: middle of the stoneware casting slips (from memory); earthenware likewise.
  l.bodies = {{"stoneware", body(0.03, 0.09, 2180, 0.07)},
              {"earthenware", body(0.03, 0.035, 1900, 0.08)},
              {"porcelain", body(0.03, 0.098, 2350, 0.06)}};
  l.models = {{"clay, leather-hard", model(0.045)}, {"plaster", model(0)}, {"printed", model(0)}};
  // Maximum linear expansion of pottery plaster at consistency 70: 0.20 to 0.21 % (published property lists).
  l.plasters = {{"pottery", plaster(70, 0.002)}};
  // A dry coat of 0.41 mm that fires to 0.20 mm was measured by a studio potter (page); slop of specific gravity 1.50
  // holds 812.5 g of dry matter of 2.6 in a litre (Brongniart's formula).
  l.glazes = {{"clear", glaze(0.5, 0.2, 812.5)}};
  return l;
}

template <class T>
void complete(Named<T>& to, const Named<T>& from) {
  for (const auto& entry : from)
    if (find(to, entry.first) == nullptr) to.push_back(entry);
}

}  // namespace

const Library& built_in() {
  static const Library library = make();
  return library;
}

Library completed(const Library& own) {
  const Library& b = built_in();
  Library l = own;
  complete(l.foams, b.foams);
  complete(l.adhesives, b.adhesives);
  complete(l.covers, b.covers);
  complete(l.battings, b.battings);
  complete(l.barriers, b.barriers);
  complete(l.boards, b.boards);
  complete(l.bodies, b.bodies);
  complete(l.models, b.models);
  complete(l.plasters, b.plasters);
  complete(l.glazes, b.glazes);
  return l;
}

}  // namespace kerfkiln::material
