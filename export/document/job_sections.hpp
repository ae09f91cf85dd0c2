// The sections of a job sheet, each laid on a flow.
#pragma once
#include <string>
#include <vector>

#include "export/document/flow.hpp"
#include "export/document/job_info.hpp"

namespace kerfkiln::output {

void add_piece_head(Flow&, const product::Product&);
// Picture, picture apart, and the main figures, large enough to be read from a metre above the bench (capitals of 5 mm,
// 1/200 of the distance).
void add_lead(Flow&, const product::Product&, job::Units);
void add_figure_tiles(Flow&, const std::vector<product::Figure>&, job::Units);
void add_findings(Flow&, const Findings&);
void add_views(Flow&, const product::Product&, job::Units, const std::string& title = "Views and sections");
double least_views_height(const product::Product&, double width_mm, job::Units);  // to begin them on a page; 0: none
void add_part_list(Flow&, const product::Product&, job::Units);
void add_steps(Flow&, const product::Product&);
// Each caution once, with the pieces that it concerns where there are several.
void add_cautions(Flow&, const std::vector<product::Product>&);
void add_quantities(Flow&, const std::string& title, const std::vector<product::Figure>&, job::Units);
void add_origins(Flow&, const std::string& title, const std::vector<product::Figure>&, job::Units);

// The figures that lead a piece's page, at most eight, by key; the first ones of the list where none is known.
std::vector<product::Figure> main_figures(const product::Product&);

}  // namespace kerfkiln::output
