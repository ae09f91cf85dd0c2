// What OCCT says of the same profile. Its headers stay in the .cpp.
#pragma once
#include "modeler/urn/profile.hpp"
#include "modeler/urn/wall.hpp"

namespace kerfkiln::urn::test {

struct PeerMeasure {
  double volume = 0, side_area = 0, centroid_z = 0;
};
PeerMeasure revolved(const Profile&);  // the outer solid, spans as exact cubic curves
// Solid between the outside and the profile's offset curve, cut by floor and lip: the ware of a smooth round form whose
// inside is untrimmed; t0, t1: the parameters where the offset meets floor and lip.
double revolved_wall_volume(const Profile&, double wall, double floor, double t0, double t1);

}  // namespace kerfkiln::urn::test
