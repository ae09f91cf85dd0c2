#include <algorithm>
#include <cmath>

#include "modeler/cushion/crease_strip.hpp"
#include "modeler/cushion/cut_parts.hpp"
#include "modeler/cushion/figure_list.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/offset.hpp"

namespace kerfkiln::cushion {
namespace {

void add_crease(Figures& f, const Crease& c, std::size_t i) {
  const std::string key = "crease." + std::to_string(i + 1) + ".", name = "Crease " + std::to_string(i + 1) + " ";
  const std::vector<std::string> from{c.field, "outline", "given_at", "edges", "crown", "contour"};
  const std::string called = c.name == "crease " + std::to_string(i + 1) ? "" : " (" + c.name + ")";
  add(f, key + "tape_length", name + "tape length" + called, c.tape_mm(), "mm", from,
      c.trench ? "length of the trench's middle line on its floor, " + std::to_string(c.runs.size()) + " stretches"
               : "length of the longer wall of the slit at mid-tape depth, the floor being the surface moved down; " +
                     std::to_string(c.runs.size()) + (c.runs.size() == 1 ? " stretch" : " stretches"));
  add(f, key + "floor_min", name + "least floor" + called, c.floor_min_mm, "mm", from,
      "least of top surface - depth - lower surface along the crease");
  add(f, key + "width", name + "width of the cut" + called, c.width_mm, "mm",
      c.trench ? std::vector<std::string>{c.field + "/tape", "topper/thickness", "cover/material"}
               : std::vector<std::string>{c.field + "/kerf"},
      c.trench ? "tape + 3 mm + 2 x (0.4 x topper + cover)" : "kerf");
  add(f, key + "volume", name + "volume" + called, c.volume_mm3 * 1e-6, "L", from,
      "depth x area of the cut within the core's outline");
}

void add_pocket(Figures& f, const Pocket& p, std::size_t i) {
  const std::string key = "pocket." + std::to_string(i + 1) + ".", name = "Pocket " + std::to_string(i + 1) + " ";
  add(f, key + "volume", name + "volume", p.volume_mm3 * 1e-6, "L", {p.field, "outline", "edges"},
      p.lid ? "foam taken out: seat of the lid + cavity" : "foam taken out, integrated over the pocket's outline");
  add(f, key + "wall", name + "least wall", p.wall_mm, "mm", {p.field, "outline", "given_at"},
      "least distance from the pocket to the outside of the core");
  add(f, key + "floor", name + "least floor", p.floor_mm, "mm", {p.field, "layers"},
      "least foam between the pocket and the face opposite");
  if (!p.lid) return;
  add(f, key + "capacity", name + "capacity", p.lid->cavity_mm3 * 1e-6, "L", {p.field},
      "area of the outline x (depth - lid)");
  add(f, key + "lid_clearance", name + "lid clearance a side", p.lid->clearance_mm, "mm", {"cover/material"},
      "2 x cover thickness + 2 mm");
}

}  // namespace

CreaseSkins crease_skins_of(const Skins& skins) {
  CreaseSkins s;
  for (const Skin& k : skins.layers) {
    if (k.name == "topper") s.topper_mm = k.thickness_mm;
    if (k.name == "cover") s.cover_mm = k.thickness_mm;
  }
  return s;
}

Result<plane::Outline> board_outline(const BoardSpec& b, const plane::Outline& core) {
  const double inset = b.inset.known() ? b.inset.value : 0;
  if (inset == 0) return core;
  Result<std::vector<plane::Outline>> inside = plane::offset(core, -inset);
  if (inside && inside->size() == 1) return std::move(inside->front());
  double low = 0, high = inset;
  for (int step = 0; step < 16; ++step) {
    const double middle = (low + high) / 2;
    const Result<std::vector<plane::Outline>> tried = plane::offset(core, -middle);
    (tried && tried->size() == 1 ? low : high) = middle;
  }
  return error("board.inset", "board/inset",
               "an inset of " + mm_text(inset) + " leaves no board of one piece; permitted is 0 mm to less than " +
                   mm_text(std::floor(high * 10) / 10),
               "make the inset smaller");
}

Findings check_underside(const Spec& spec, const plane::Outline& core) {
  Findings out;
  if (spec.board.known()) {
    const Result<plane::Outline> board = board_outline(spec.board, core);
    if (!board) append(out, board.findings());
    for (std::size_t i = 0; board && i < spec.board.holes.size(); ++i) {
      const BoardHoleSpec& h = spec.board.holes[i];
      if (!h.x.known() || !h.y.known() || !h.diameter.known()) {
        out.push_back(error("board.hole", "board/holes/" + std::to_string(i), "the hole has no place or no diameter",
                            "give \"at\": [across, back] and \"diameter\""));
        continue;
      }
      Vec2 at{h.x.value, h.y.value};
      const plane::Box box = plane::bounds(core);
      if (spec.mirrored) at.x = box.low.x + box.high.x - at.x;
      const double room = plane::contains(*board, at) ? plane::nearest(*board, at).distance : 0;
      if (room >= h.diameter.value / 2 + kSmallestWebMm) continue;
      out.push_back(error("board.hole", "board/holes/" + std::to_string(i),
                          "a hole of " + mm_text(h.diameter.value) + " at (" + number_text(at.x, 1) + ", " +
                              number_text(at.y, 1) + ") mm leaves less than " + mm_text(kSmallestWebMm) +
                              " of board beside it; permitted is a middle " +
                              mm_text(h.diameter.value / 2 + kSmallestWebMm) + " or more inside the board's edge",
                          "move the hole inward or make it smaller"));
    }
  }
  for (std::size_t i = 0; i < spec.underside.size(); ++i) {
    const UndersideSpec& u = spec.underside[i];
    const std::string path = "underside/" + std::to_string(i) + "/path";
    for (std::size_t k = 0; k < u.path.size(); ++k) {
      Vec2 at{u.path[k].x.value, u.path[k].y.value};
      const plane::Box box = plane::bounds(core);
      if (spec.mirrored) at.x = box.low.x + box.high.x - at.x;
      if (plane::contains(core, at)) continue;
      out.push_back(
          error("underside.path", path + "/" + std::to_string(k),
                "the tape leaves the underside at (" + number_text(at.x, 1) + ", " + number_text(at.y, 1) + ") mm",
                "keep its path within the core's outline"));
    }
    if (u.path.size() < 2)
      out.push_back(error("underside.path", path, "a tape needs two points or more", "add points to the path"));
  }
  return out;
}

double tape_length(const UndersideSpec& u) {
  double sum = 0;
  for (std::size_t k = 0; k + 1 < u.path.size(); ++k)
    sum += norm(Vec2{u.path[k + 1].x.value - u.path[k].x.value, u.path[k + 1].y.value - u.path[k].y.value});
  return sum;
}

void add_cut_figures(const Core& core, const Spec& spec, Figures& f) {
  for (std::size_t i = 0; i < core.cuts.creases.size(); ++i) add_crease(f, core.cuts.creases[i], i);
  for (std::size_t i = 0; i < core.cuts.pockets.size(); ++i) add_pocket(f, core.cuts.pockets[i], i);
  if (core.board) {
    add(f, "board.area", "Board area", core.board->area_mm2 * 1e-6, "m2", {"outline", "given_at", "board"},
        "core's outline less the inset, holes taken off");
    if (core.board->kg() > 0)
      add(f, "board.mass", "Board mass", core.board->kg(), "kg",
          {"board.area", "board/thickness",
           spec.board.density.known() ? std::string("board/density")
                                      : "materials/boards/" + core.board->material + "/density"},
          "area x thickness x density");
  }
  for (std::size_t i = 0; i < spec.underside.size(); ++i)
    add(f, "underside." + std::to_string(i + 1) + ".tape_length", "Underside tape " + std::to_string(i + 1),
        tape_length(spec.underside[i]), "mm", {"underside/" + std::to_string(i) + "/path"}, "length of its path");
}

}  // namespace kerfkiln::cushion
