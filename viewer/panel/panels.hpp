// The regions of the window. Each draws into the child region that is current.
#pragma once
#include "viewer/panel/ui.hpp"

namespace kerfkiln::viewer {

void pieces_panel(Ui&);   // what is made, each with its count and whether something is wrong with it
void fields_panel(Ui&);   // every parameter of the selected piece, and those of the whole job
void figures_panel(Ui&);  // the leading figures large, all of them in a table
void findings_panel(Ui&);

}  // namespace kerfkiln::viewer
