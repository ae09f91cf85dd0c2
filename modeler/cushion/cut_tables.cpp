#include <cmath>

#include "modeler/cushion/cut_parts.hpp"
#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {

product::Table crease_table(const Core& core) {
  product::Table t{
      "creases",
      "Creases and their tapes",
      {"Crease", "Cut", "Depth mm", "Width mm", "Tape mm", "Pieces of tape mm", "Together mm", "Least floor mm"},
      {false, false, true, true, true, false, true, true},
      {}};
  double sum = 0;
  for (std::size_t i = 0; i < core.cuts.creases.size(); ++i) {
    const Crease& c = core.cuts.creases[i];
    std::string pieces;
    for (const CreaseRun& r : c.runs) pieces += (pieces.empty() ? "" : " + ") + number_text(r.tape_mm, 1);
    sum += c.tape_mm();
    t.rows.push_back({std::to_string(i + 1) + (c.name.rfind("crease", 0) == 0 ? "" : ", " + c.name),
                      c.trench ? "trench, tape flat" : "slit, tape on edge", number_text(c.depth_mm, 1),
                      number_text(c.width_mm, 1), number_text(c.tape_width_mm, 1), pieces, number_text(c.tape_mm(), 1),
                      number_text(c.floor_min_mm, 1)});
  }
  t.rows.push_back({"all", "", "", "", "", "", number_text(sum, 1), ""});
  return t;
}

product::Table pocket_table(const Core& core) {
  product::Table t{
      "pockets",
      "Pockets",
      {"Pocket", "From", "Width mm", "Depth or height mm", "Cut mm deep", "Volume L", "Wall mm", "Floor mm", "Lid"},
      {false, false, true, true, true, true, true, true, false},
      {}};
  for (std::size_t i = 0; i < core.cuts.pockets.size(); ++i) {
    const Pocket& p = core.cuts.pockets[i];
    const plane::Box b = plane::bounds(p.outline);
    const std::string from = p.from == Pocket::From::top      ? "top"
                             : p.from == Pocket::From::bottom ? "underside"
                                                              : p.side_name;
    std::string lid = "none";
    if (p.lid)
      lid = mm_text(p.lid->board_mm) + " board, " + mm_text(p.lid->foam_mm) + " " + p.lid->foam + ", " +
            mm_text(p.lid->clearance_mm) + " clearance a side, holds " + number_text(p.lid->cavity_mm3 * 1e-6) + " L";
    t.rows.push_back({std::to_string(i + 1), from, number_text(b.width(), 1), number_text(b.depth(), 1),
                      number_text(p.depth_mm, 1), number_text(p.volume_mm3 * 1e-6, 3), number_text(p.wall_mm, 1),
                      number_text(p.floor_mm, 1), lid});
  }
  return t;
}

product::Table board_table(const Core& core, const Spec& spec) {
  product::Table t{"board", "Board and underside", {"Part", "Of", "Size"}, {false, false, false}, {}};
  if (spec.board.known())
    if (const Result<plane::Outline> o = board_outline(spec.board, core.outline())) {
      const plane::Box b = plane::bounds(*o);
      t.rows.push_back({"board", spec.board.material + " " + mm_text(spec.board.thickness.value),
                        number_text(b.width(), 1) + " x " + mm_text(b.depth()) + ", " +
                            std::to_string(spec.board.holes.size()) + " holes"});
      for (std::size_t i = 0; i < spec.board.holes.size(); ++i) {
        const BoardHoleSpec& h = spec.board.holes[i];
        t.rows.push_back({"hole " + std::to_string(i + 1), h.insert.empty() ? "plain" : h.insert,
                          "diameter " + mm_text(h.diameter.value) + " at (" + number_text(h.x.value, 1) + ", " +
                              number_text(h.y.value, 1) + ") mm"});
      }
      if (spec.board.wrap_under.known())
        t.rows.push_back({"wrap-under strip", "cover",
                          mm_text(plane::perimeter(plane::Outline{o->outer, {}, {}})) + " long, " +
                              mm_text(spec.board.wrap_under.value) + " wide"});
    }
  for (std::size_t i = 0; i < spec.underside.size(); ++i)
    t.rows.push_back({"underside tape " + std::to_string(i + 1), "tape " + mm_text(spec.underside[i].tape.value),
                      mm_text(tape_length(spec.underside[i])) + " long"});
  return t;
}

}  // namespace kerfkiln::cushion
