// How figures are put into words and units on the screen.
#pragma once
#include <string>
#include <vector>

#include "modeler/base/units.hpp"
#include "modeler/product/product.hpp"
#include "viewer/state/field.hpp"

namespace kerfkiln::viewer {

struct ShownFigure {
  std::string number, unit;
  std::string band;  // "3.52 to 3.71", empty without one
};
// In the user's units: millimetres or inches, litres or cubic inches, kilograms or pounds.
ShownFigure shown(const product::Figure&, Units);

// The figures a maker looks at first, at most `most`, in the order they are listed here; the first ones otherwise.
std::vector<const product::Figure*> leading_figures(const product::Product&, std::size_t most);

// "pieces/0/layers/1/thickness" -> "seat, Layers 2, Thickness": a place in the maker's words. A path that leads nowhere
// comes back as it is.
std::string spoken_path(const Field& tree, const std::string& path);

}  // namespace kerfkiln::viewer
