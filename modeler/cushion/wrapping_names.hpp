// How the layers that are wrapped round the core are called on parts and in tables.
#pragma once
#include <string>

#include "modeler/cushion/wrapping.hpp"

namespace kerfkiln::cushion {

// What one layer is called and made of.
struct Naming {
  std::string id, label, material;  // "topper", "Topper", "foam soft 15 mm"
};
Naming topper_naming(const WrappedLayer&);
Naming batting_naming(const WrappedLayer&);

// Every piece has a flat pattern.
bool whole(const WrappedLayer&);

}  // namespace kerfkiln::cushion
