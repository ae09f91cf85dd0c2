// The parameter table of "materials": the only place that names its keys.
#pragma once
#include "modeler/base/parameter.hpp"
#include "modeler/material/spec.hpp"

namespace kerfkiln::material {

void describe(Visitor&, Library&);  // the members of "materials"
void describe(Visitor&, Hardness&);
void describe(Visitor&, Foam&);
void describe(Visitor&, Adhesive&);
void describe(Visitor&, Cover&);
void describe(Visitor&, Batting&);
void describe(Visitor&, Barrier&);
void describe(Visitor&, Board&);
void describe(Visitor&, Bar&);
void describe(Visitor&, ShrinkageStage&);
void describe(Visitor&, Body&);
void describe(Visitor&, Model&);
void describe(Visitor&, Plaster&);
void describe(Visitor&, Glaze&);

}  // namespace kerfkiln::material
