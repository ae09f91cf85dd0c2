// Shaded pictures of a product without a graphics card: for the job sheet and the README.
#pragma once
#include <string>
#include <vector>

#include "modeler/product/product.hpp"

namespace kerfkiln::output {

// A pixel that shows a shape, on its lit side where it has one: where a number can stand, so that colour is never the
// only code.
struct PictureTag {
  std::string label;
  double x = 0, y = 0;
};
struct Picture {
  int wide = 0, high = 0;
  std::vector<unsigned char> rgb;  // row-major, 3 bytes a pixel
  std::vector<PictureTag> tags;    // of the shapes that can be seen, in the product's order
};
enum class PictureMode { solid, exploded };
struct PictureOptions {
  int wide = 900, high = 700;
  int samples = 3;  // a side of each pixel
  PictureMode mode = PictureMode::solid;
  double azimuth_deg = -57, elevation_deg = 27;  // where the eye stands: -90 looks at the front, 90 from above
  product::Colour ground{1, 1, 1};
  bool shadow = true;
};

// Parallel projection of the shown shapes (solid: the wholes; exploded: the components at their full explosion), meshed
// as coarsely as the pixels allow. Deterministic: same product, same bytes. Fails with the meshes' findings, or
// "picture.empty" if there is nothing of that mode to show.
Result<Picture> picture(const product::Product&, const PictureOptions&);
// Whether it is worth one: a single component taken apart shows nothing new.
bool has_picture(const product::Product&, PictureMode);
Result<std::string> png_bytes(const Picture&);

}  // namespace kerfkiln::output
