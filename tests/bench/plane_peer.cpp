#include "plane_peer.hpp"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_2.h>
#include <CGAL/create_offset_polygons_2.h>

namespace kerfkiln::bench {

PeerInset skeleton_inset(const plane::Outline& outline, double distance_mm) {
  CGAL::Polygon_2<CGAL::Exact_predicates_inexact_constructions_kernel> polygon;
  for (const plane::Vertex& v : outline.outer) polygon.push_back({v.at.x, v.at.y});
  PeerInset out;
  for (const auto& p : CGAL::create_interior_skeleton_and_offset_polygons_2(distance_mm, polygon)) {
    out.area += p->area();
    out.vertices += p->size();
    ++out.parts;
  }
  return out;
}

}  // namespace kerfkiln::bench
