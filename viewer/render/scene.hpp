// The picture of the piece: drawn into a texture, and only when something about it changed.
#pragma once
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "modeler/product/sketch.hpp"
#include "viewer/render/camera.hpp"
#include "viewer/state/picture.hpp"

namespace kerfkiln::viewer {

struct SceneItem {
  std::shared_ptr<const Picture> picture;
  product::Colour colour;
  Vec3 move;  // mm
};
struct Cut {  // everything on the positive side of normal . p = at is taken away
  bool on = false;
  Vec3 normal{0, -1, 0};
  double at = 0;
};
struct SceneLook {
  product::Colour above, below;  // of the background, top and bottom
  product::Colour ink;           // feature edges
  product::Colour grid;
  bool edges = true, floor = true;
  bool faded = false;  // an outdated picture
  double floor_z = 0;  // mm
  Vec3 middle;         // of the pieces: the floor fades out around it
  double reach = 500;  // mm
};

// All calls on the thread that owns the current OpenGL 3.3 context; destroyed there too.
class Scene {
 public:
  // Null with `trouble` set where the driver refuses the shaders.
  static std::unique_ptr<Scene> create(std::string& trouble);
  ~Scene();
  Scene(const Scene&) = delete;
  Scene& operator=(const Scene&) = delete;

  // Uploads pictures not seen before, forgets those no longer used.
  void set_items(const std::vector<SceneItem>&);
  // Draws if anything differs from the last call. `still`: nothing moves, so spend samples on smooth edges.
  // Returns the texture, rows from the bottom up.
  unsigned texture(int width, int height, const Camera&, const Cut&, const SceneLook&, bool still);
  double last_draw_ms() const;  // of the last redrawing, to completion
  std::uint64_t redraws() const;
  // RGB rows from the top, of the last picture.
  std::vector<unsigned char> pixels() const;

 private:
  Scene();
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace kerfkiln::viewer
