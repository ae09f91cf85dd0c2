// The solids of a core with creases and pockets.
#pragma once
#include <span>

#include "modeler/cushion/core.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

// Meshes the core, or one of its layers, at a deviation; any thread may ask.
using MeshOf = std::function<Result<solid::Mesh>(double deviation_mm)>;
struct CutMesh {
  MeshOf mesh;
  std::function<int()> shells;  // how many closed ones it has; 1 where it cannot be meshed
};
struct CutMeshes {
  CutMesh core;
  std::vector<CutMesh> layers;              // of a layer with zones: what they leave
  std::vector<std::vector<CutMesh>> zones;  // of each layer
};
CutMeshes cut_meshes(const Core&, std::vector<double> levels_mm);

}  // namespace kerfkiln::cushion
