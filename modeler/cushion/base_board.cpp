#include "modeler/cushion/base_board.hpp"

#include <cmath>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/cut_parts.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {
namespace {

plane::Outline disc(Vec2 at, double diameter) {
  const double r = diameter / 2;
  plane::Outline o;
  o.outer = {{{at.x - r, at.y}, 1, -1}, {{at.x + r, at.y}, 1, -1}};
  return o;
}

}  // namespace

Result<std::optional<BaseBoard>> base_board_of(const Core& core, const Spec& spec, const material::Library& materials) {
  if (!spec.board.known()) return std::optional<BaseBoard>{};
  const Result<plane::Outline> outline = board_outline(spec.board, core.outline());
  if (!outline) return outline.findings();
  BaseBoard b;
  b.material = spec.board.material;
  b.thickness_mm = spec.board.thickness.value;
  const material::Board* known = material::find(materials.boards, b.material);
  b.density_kg_m3 = spec.board.density.known() ? spec.board.density.value : known ? known->density.value : std::nan("");
  b.price_m2 = known && known->price.known() ? known->price.value : std::nan("");
  const plane::Box box = plane::bounds(*outline);
  b.blank_mm2 = box.width() * box.depth();

  plane::Region board{*outline};
  Findings problems;
  const auto less = [&](plane::Region& from, const plane::Outline& what) {
    Result<plane::Region> left = plane::subtracted(from, {what});
    if (left)
      from = std::move(*left);
    else
      append(problems, left.findings());
  };
  for (const BoardHoleSpec& h : spec.board.holes) {
    Vec2 at{h.x.value, h.y.value};
    const plane::Box whole = plane::bounds(core.outline());
    if (spec.mirrored) at.x = whole.low.x + whole.high.x - at.x;
    less(board, disc(at, h.diameter.value));
  }
  b.area_mm2 = plane::area(board);
  Result<plane::Region> face = plane::intersected(board, core.flat_bottom);
  if (!face) return face.findings();
  for (const Pocket& p : core.cuts.pockets)
    if (p.from == Pocket::From::bottom) less(*face, p.outline);
  b.glue_mm2 = plane::area(*face);
  if (!problems.empty()) return problems;
  return std::optional(std::move(b));
}

}  // namespace kerfkiln::cushion
