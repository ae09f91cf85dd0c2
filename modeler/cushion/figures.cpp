// The figures of a cushion (design section 15), each with its origin.
#include <algorithm>
#include <cmath>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/figure_list.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/product/lengths.hpp"

namespace kerfkiln::cushion {

namespace {

std::vector<std::string> for_layers(const Core& core, const std::string& before, const std::string& after,
                                    std::size_t base) {
  std::vector<std::string> keys;
  for (std::size_t i = 0; i < core.layers.size(); ++i) keys.push_back(before + std::to_string(i + base) + after);
  return keys;
}

void add_zone(Figures& f, const Core& core, std::size_t i, std::size_t k) {
  const LayerZone& z = core.layers[i].zones[k];
  const std::string n = std::to_string(i + 1), m = std::to_string(k + 1), key = "layer." + n + ".zone." + m + ".",
                    name = "Layer " + n + ", zone " + m + " (" + z.foam + ") ",
                    path = "layers/" + std::to_string(i) + "/zones/" + std::to_string(k);
  add(f, key + "volume", name + "volume", z.volume_mm3 * 1e-6, "L", {"outline", "edges", path},
      "the part of the layer over the zone's region, integrated over the exact form, less cuts");
  add(f, key + "mass", name + "mass", z.mass_kg(), "kg", {key + "volume", "materials/foams/" + z.foam + "/density"},
      "volume x density");
  double area = 0;
  for (const plane::Outline& o : z.plan.region) area += plane::area(o);
  add(f, key + "area", name + "area", area, "mm2", {"outline", "given_at", path},
      "area of the zone in plan, cut off at the core's outline");
}

void add_layer(Figures& f, const Core& core, std::size_t i) {
  const Layer& l = core.layers[i];
  const std::string n = std::to_string(i + 1), key = "layer." + n + ".", name = "Layer " + n + " (" + l.foam + ") ";
  const std::string path = "layers/" + std::to_string(i);
  add(f, key + "volume", name + "volume", l.volume_mm3 * 1e-6, "L", {"outline", "edges", path + "/thickness"},
      "the part of the core between " + number_text(l.low_mm) + " and " + mm_text(l.high_mm) +
          " above the underside, integrated over the exact form");
  std::vector<std::string> mass_from{key + "volume", "materials/foams/" + l.foam + "/density"};
  for (const LayerZone& z : l.zones) mass_from.push_back("materials/foams/" + z.foam + "/density");
  add(f, key + "mass", name + "mass", l.mass_kg(), "kg", mass_from,
      l.zones.empty() ? "volume x density" : "volume x density of each zone and of the rest");
  const std::vector<std::string> plan_from{"outline", "given_at", "trim"};
  plane::Box box = plane::bounds(core.outline());
  if (!l.rest.empty()) {
    box = plane::bounds(l.rest.front());
    for (const plane::Outline& o : l.rest) {
      const plane::Box b = plane::bounds(o);
      box = {{std::min(box.low.x, b.low.x), std::min(box.low.y, b.low.y)},
             {std::max(box.high.x, b.high.x), std::max(box.high.y, b.high.y)}};
    }
  }
  const std::string of = l.zones.empty() ? "core's outline" : "rest of the layer";
  add(f, key + "blank.width", name + "blank width", box.width() + 2 * core.trim_mm, "mm", plan_from,
      "overall width of the " + of + " + trim on both sides");
  add(f, key + "blank.depth", name + "blank depth", box.depth() + 2 * core.trim_mm, "mm", plan_from,
      "overall depth of the " + of + " + trim on both sides");
  add(f, key + "blank.thickness", name + "blank thickness", core.blank_thickness(i), "mm", {path + "/thickness"},
      "thickness of the layer + what crown and contour add to an outermost one");
  for (std::size_t k = 0; k < l.zones.size(); ++k) add_zone(f, core, i, k);
}

void add_lid(Figures& f, const Core& core, const LidFoam& lid) {
  const std::string n = std::to_string(lid.pocket + 1), key = "pocket." + n + ".lid.",
                    name = "Lid of pocket " + n + " (" + lid.foam + ") ",
                    path = core.cuts.pockets[lid.pocket].field + "/lid";
  add(f, key + "volume", name + "foam", lid.volume_mm3 * 1e-6, "L",
      {core.cuts.pockets[lid.pocket].field + "/outline", path, "cover/material"},
      "area of the lid's piece x thickness of its foam");
  add(f, key + "mass", name + "foam mass", lid.mass_kg(), "kg",
      {key + "volume", "materials/foams/" + lid.foam + "/density"}, "volume x density; the board not included");
  if (lid.board_kg > 0)
    add(f, key + "board_mass", name + "board mass", lid.board_kg, "kg",
        {path + "/board_thickness", "materials/boards/" + lid.board + "/density"},
        "area of the lid's piece x thickness of its board x density");
}

void append_keys(std::vector<std::string>& to, const std::vector<std::string>& more) {
  to.insert(to.end(), more.begin(), more.end());
}

// Of base board and lids together; NaN where one of them is not known.
struct BoardSums {
  bool any = false;
  double kg = 0, cost = 0;
  std::vector<std::string> masses, prices;  // where they come from
};
BoardSums boards_of(const Core& core) {
  BoardSums b;
  const auto add_one = [&](std::string mass, const std::string& material, double kg, double blank_mm2, double price) {
    b.any = true;
    b.kg += kg;
    b.cost += blank_mm2 * 1e-6 * price;
    b.masses.push_back(std::move(mass));
    if (!std::isnan(price)) b.prices.push_back("materials/boards/" + material + "/price");
  };
  if (core.board)
    add_one("board.mass", core.board->material, core.board->kg(), core.board->blank_mm2, core.board->price_m2);
  for (const LidFoam& lid : core.lids)
    add_one("pocket." + std::to_string(lid.pocket + 1) + ".lid.board_mass", lid.board, lid.board_kg,
            lid.board_blank_mm2, lid.board_price_m2);
  return b;
}

// Only where every foam has a price: a sum of some would pass for the whole.
void add_cost(Figures& f, const Core& core) {
  double foam = 0;
  std::vector<std::string> from{"trim"};
  for (const product::Blank& b : foam_blanks(core)) {
    foam += b.count * b.width_mm * b.depth_mm * b.thickness_mm * 1e-9 * b.price_m3;
    const std::string path = "materials/foams/" + b.material + "/price";
    if (std::find(from.begin(), from.end(), path) == from.end()) from.push_back(path);
  }
  if (std::isnan(foam)) return;
  double glue = 0;
  if (core.glue.price_kg > 0) {
    glue = core.glue_kg(core.glue.loss) * core.glue.price_kg;
    from.push_back("glue.mass");
    from.push_back("materials/adhesives/" + core.glue.name + "/price");
  }
  const BoardSums boards = boards_of(core);
  append_keys(from, boards.prices);
  const bool priced = boards.any && !std::isnan(boards.cost);
  add(f, "total.cost", priced ? "Cost of foam, boards and adhesive" : "Cost of foam and adhesive",
      foam + glue + (priced ? boards.cost : 0), "", from,
      std::string("foam blanks, trim included, x price of a cubic metre") +
          (priced ? " + rectangles around the boards x price of a square metre" : "") +
          (glue > 0 ? " + adhesive x price of a kilogram" : "; the adhesive has no price") + "; " +
          (boards.any && !priced ? "boards (one has no price), " : "") +
          "batting, barrier, cover and labour not included");
}

void add_rises(Figures& f, const Core& core) {
  if (!core.form.risen()) return;
  const Rises& r = core.rises;
  if (r.crown_top_mm > 0)
    add(f, "crown.top.height", "Crown of the top", r.crown_top_mm, "mm", {"crown/top"},
        "how far the middle of the top stands above its rim, as given");
  if (r.crown_bottom_mm > 0)
    add(f, "crown.bottom.height", "Crown of the underside", r.crown_bottom_mm, "mm", {"crown/bottom"},
        "how far the middle of the underside bulges downward, as given");
  const Form::RiseRange &top = core.form.rise_range(Sheet::top), &bottom = core.form.rise_range(Sheet::bottom);
  const std::vector<std::string> from{"core.height", "crown", "contour"};
  const auto place = [](Vec2 p) {
    return "at " + product::bare_length(number_text(p.x, 0)) + ", " + number_text(p.y, 0) + " mm in plan";
  };
  add(f, "height.max", "Highest place of the core", core.height() + top.high, "mm", from,
      "core height + the largest rise of crown and contour, edges apart; " + place(top.high_at));
  add(f, "height.min", "Lowest place of the core's top", core.height() + top.low, "mm", from,
      "core height + the smallest rise of crown and contour, edges apart; " + place(top.low_at));
  if (!core.form.rise(Sheet::bottom).flat())
    add(f, "height.overall", "Overall height of the core", core.height() + top.high + bottom.high, "mm", from,
        "from the lowest place of the underside to the highest of the top");
}

}  // namespace

void add_outline_figures(const Plan& plan, Figures& f) {
  add(f, "outline.area", "Outline area, as given", plane::area(plan.outline), "mm2", {"outline"},
      "area enclosed by the outline as given, holes taken off");
  add(f, "outline.perimeter", "Outline perimeter, as given", plane::perimeter(plan.outline), "mm", {"outline"},
      "length of the outline as given, holes included");
}

Figures figures_of(const Core& core) {
  Figures f;
  add_outline_figures(core.plan, f);
  std::vector<std::string> form_from{"outline", "given_at", "edges"};
  for (const std::string& p : for_layers(core, "layers/", "/thickness", 0)) form_from.push_back(p);
  const plane::Box box = plane::bounds(core.outline());
  add(f, "core.width", "Core width", box.width(), "mm", {"outline", "given_at"},
      "width as given - skins on both sides");
  add(f, "core.depth", "Core depth", box.depth(), "mm", {"outline", "given_at"},
      "depth as given - skins on both sides");
  add(f, "core.height", "Core height", core.height(), "mm", for_layers(core, "layers/", "/thickness", 0),
      "sum of the layers");
  add_rises(f, core);
  add(f, "core.volume", "Core volume", core.volume_mm3 * 1e-6, "L", form_from,
      "height between lower and upper surface, integrated over the plan");
  f.back().low = (core.volume_mm3 - core.volume_error_mm3) * 1e-6;
  f.back().high = (core.volume_mm3 + core.volume_error_mm3) * 1e-6;
  if (core.volume_error_mm3 == 0) f.back().low = f.back().high = std::nullopt;
  const char* axes[] = {"x", "y", "z"};
  const double centre[] = {core.centroid.x, core.centroid.y, core.centroid.z};
  for (int i = 0; i < 3; ++i)
    add(f, std::string("core.centroid.") + axes[i], std::string("Centre of the core, ") + axes[i], centre[i], "mm",
        {"core.volume"},
        core.cuts.none() ? "first moment of the volume over the volume"
                         : "first moment of the uncut volume less those of creases and pockets, over the volume");
  add(f, "core.mass", "Core mass", core.foam_kg(), "kg", for_layers(core, "layer.", ".mass", 1), "sum of the layers");
  for (std::size_t i = 0; i < core.layers.size(); ++i) add_layer(f, core, i);
  for (const LidFoam& lid : core.lids) add_lid(f, core, lid);
  std::vector<std::string> joint_from = form_from;
  if (!core.cuts.creases.empty()) joint_from.push_back("creases");
  if (!core.cuts.pockets.empty()) joint_from.push_back("pockets");
  std::string glued = "finished faces between neighbouring layers and upright faces of zones, each joint counted once";
  if (!core.cuts.none()) glued += ", less what creases and pockets cut out of them";
  if (!core.lids.empty()) glued += "; lids on their boards";
  if (core.board) {
    joint_from.push_back("board");
    glued += "; the base board on the level part of the underside";
  }
  if (topper_glue_mm2(core) > 0) {
    append_keys(joint_from, {"topper.area", "topper/thickness"});
    glued += "; the topper's flat area and, as high as it is thick, the edges that meet in it";
  }
  add(f, "glue.area", "Glue area", core.glue_area_mm2() * 1e-6, "m2", joint_from, glued);
  add(f, "glue.mass", "Adhesive", core.glue_kg(core.glue.loss), "kg",
      {"glue.area", "adhesive", "materials/adhesives/" + core.glue.name},
      "glue area x coverage a face x " + std::to_string(core.glue.faces) + (core.glue.faces == 1 ? " face" : " faces") +
          " x (1 + loss)");
  const double n = static_cast<double>(core.layers.size());
  add(f, "stack.tolerance", "Tolerance of the stack as delivered", kSheetToleranceMm * std::sqrt(n), "mm",
      for_layers(core, "layers/", "/thickness", 0),
      "1/16 in a sheet, root of the sum of squares; at worst " + number_text(kSheetToleranceMm * n, 2) + " mm");
  add_cost(f, core);
  std::vector<std::string> total_from{"core.mass", "glue.area", "adhesive"};
  for (const LidFoam& lid : core.lids) total_from.push_back("pocket." + std::to_string(lid.pocket + 1) + ".lid.mass");
  const WrappedMass skins = wrapped_mass(core);
  append_keys(total_from, skins.from);
  const BoardSums boards = boards_of(core);
  const bool weighed = boards.any && !std::isnan(boards.kg);
  if (weighed) append_keys(total_from, boards.masses);
  add(f, "total.mass", "Total mass",
      core.foam_kg() + core.lids_kg() + core.glue_kg(0) + skins.kg + (weighed ? boards.kg : 0), "kg", total_from,
      std::string(core.lids.empty() ? "foam" : "foam, lids included,") + skins.with + (weighed ? " + boards" : "") +
          " + adhesive as coated, without its loss; " + (boards.any && !weighed ? "boards (density not known), " : "") +
          skins.without + " not included");
  return f;
}

}  // namespace kerfkiln::cushion
