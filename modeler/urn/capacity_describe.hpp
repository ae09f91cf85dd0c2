// The parameter tables of capacity and throwing.
#pragma once
#include "modeler/base/parameter.hpp"
#include "modeler/urn/spec.hpp"

namespace kerfkiln::urn {

void describe_capacity(Visitor&, Spec&);          // the members of "capacity"
void describe_throwing(Visitor&, ThrowingSpec&);  // the members of "throwing"

}  // namespace kerfkiln::urn
