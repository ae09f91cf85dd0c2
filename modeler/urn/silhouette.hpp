// The profile as a drawn curve: arcs and lines, tangent where the profile is smooth, broken where it has corners.
#pragma once
#include "modeler/plane/outline.hpp"
#include "modeler/urn/profile.hpp"
#include "modeler/urn/shrinkage.hpp"

namespace kerfkiln::urn {

// Open chain from foot to lip in (half width or half depth, height), each scaled, within `tolerance_mm` of the curve.
plane::Loop silhouette_chain(const Profile&, bool depth, Scale, double tolerance_mm);

}  // namespace kerfkiln::urn
