// The views of a piece.
#pragma once
#include <string>

#include "modeler/product/drawn.hpp"
#include "modeler/product/sketch.hpp"

namespace kerfkiln::product {

// A view to be drawn at whatever scale fits the sheet.
struct View {
  std::string id, caption;
  Sketch sketch;
};
using Views = Drawn<View>;

}  // namespace kerfkiln::product
