// DXF of release 2000 (AC1015), written by hand: what cutters, plotters and drawing programs read.
#pragma once
#include <string>
#include <vector>

#include "modeler/product/sketch.hpp"

namespace kerfkiln::output {

// The layer a line of that meaning lies on: "CUT", "SCRIBE", "FOLD", "SEW", "CENTRE", "HIDDEN", "VISIBLE", "SECTION",
// "CONSTRUCTION", "STATION". Text, dimensions and the scale bar lie on "NOTE", so that no knife follows them.
std::string dxf_layer(product::LineRole);

// A TEXT value: '^', "%%" and control characters escaped, non-ASCII as \U+XXXX (the code page is never relied upon);
// characters beyond U+FFFF and broken UTF-8 as '?'.
std::string dxf_text(const std::string& utf8);

// The drawing at 1:1 in millimetres ($INSUNITS 4, $MEASUREMENT 1, $EXTMIN/$EXTMAX of everything drawn). Each stroke is
// one LWPOLYLINE, arcs as bulges, closed by flag 70 and without the first vertex repeated; labels are TEXT; dimension
// lines are drawn with LINE and TEXT; fills are colour for sheets and are left out. `notes` are printed as lines below
// the drawing (title line, units) with a 100 mm scale bar. Decimal numbers without exponent, each reading back to the
// same double; CR LF line ends; same input, same bytes.
std::string dxf_bytes(const product::Sketch&, const std::vector<std::string>& notes);

}  // namespace kerfkiln::output
