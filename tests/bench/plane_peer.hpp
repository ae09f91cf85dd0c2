// The library that the offset is measured against, behind plain types: CGAL's headers cost half a minute to compile.
#pragma once
#include "modeler/plane/outline.hpp"

namespace kerfkiln::bench {

struct PeerInset {
  double area = 0;
  std::size_t parts = 0, vertices = 0;
};
// Inset of a polygon without arcs by CGAL's straight skeleton: mitred corners.
PeerInset skeleton_inset(const plane::Outline&, double distance_mm);

}  // namespace kerfkiln::bench
