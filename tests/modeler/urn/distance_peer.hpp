// Distance of points from a triangle mesh by CGAL's tree of boxes. Its headers stay in the .cpp.
#pragma once
#include <vector>

#include "modeler/solid/mesh.hpp"

namespace kerfkiln::urn::test {

std::vector<double> distances(const std::vector<Vec3>& points, const solid::Mesh& mesh);

}  // namespace kerfkiln::urn::test
