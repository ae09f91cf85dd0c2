// Seeded urns of every form that a design can name: round to sixteen-sided and rhombic sections, squared forms that
// grow out of a round, twist, level and nearly level shoulders and ledges, corners anywhere, drain-cast, added and
// solid bases, foot rings, bowed flats, lids. Most can be made; what cannot has a finding that says why.
#pragma once
#include <cstdint>

#include "modeler/urn/spec.hpp"

namespace kerfkiln::test {

// The same seed gives the same urn on any machine. Capacity: no target and no person.
urn::Spec random_formed_urn(std::uint64_t seed);
// Everything that has a length, times k: profile, radii, wall, base, foot ring, fill line, bow, lid.
urn::Spec enlarged(urn::Spec, double k);

}  // namespace kerfkiln::test
