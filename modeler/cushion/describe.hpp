// The parameter table of a cushion: the only place that names its keys.
#pragma once
#include "modeler/base/parameter.hpp"
#include "modeler/cushion/spec.hpp"

namespace kerfkiln::cushion {

void describe(Visitor&, Spec&);  // the members of the piece, but for "kind"
void describe(Visitor&, RectangleSpec&);
void describe(Visitor&, VertexSpec&);
void describe(Visitor&, LayerSpec&);
void describe(Visitor&, const FieldInfo&, EdgeSpec&);  // one value; its forms are those of edge_types()

}  // namespace kerfkiln::cushion
