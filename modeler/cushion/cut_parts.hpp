// What creases, pockets, board and underside tapes add to the product: figures, tables, flat parts, a section, steps.
#pragma once
#include "modeler/cushion/core.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

CreaseSkins crease_skins_of(const Skins&);

// The board's outline: the core's, smaller by its inset. Findings board.inset, board.hole, board.material.
Result<plane::Outline> board_outline(const BoardSpec&, const plane::Outline& core);
// Of board and underside tapes: board.*, underside.path.
Findings check_underside(const Spec&, const plane::Outline& core);

void add_cut_figures(const Core&, const Spec&, std::vector<product::Figure>&);
inline constexpr double kSmallestWebMm = 3;  // of board beside a hole
double tape_length(const UndersideSpec&);    // of its path, mm

product::Table crease_table(const Core&);
product::Table pocket_table(const Core&);
product::Table board_table(const Core&, const Spec&);

// Marks on the plan template; templates of their own.
void mark_cuts(const Core&, product::FlatPart& plan);
std::vector<product::FlatPart> cut_templates(const Core&, const Spec&);
product::View crease_section(const Core&);  // precondition: a crease

// Tables, and the steps of the work.
void add_cut_parts(const Core&, const Spec&, product::Product&);

}  // namespace kerfkiln::cushion
