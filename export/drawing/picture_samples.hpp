// What a picture is made from, sample by sample: facets seen by a camera, and the lines between them. For picture.cpp
// only.
#pragma once
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "modeler/product/sketch.hpp"
#include "modeler/solid/mesh.hpp"
#include "modeler/solid/shading.hpp"

namespace kerfkiln::output {

constexpr std::uint8_t kNobody = 255;

struct Body {
  solid::Mesh mesh;
  solid::Shading shading;
  product::Colour colour;
  std::string label;
};

// Right, up and towards the eye.
struct Camera {
  Vec3 right, up, eye;
  double scale = 1;  // samples a mm
  double x0 = 0, y0 = 0;
  Vec3 project(Vec3 p) const { return {x0 + scale * dot(p, right), y0 - scale * dot(p, up), scale * dot(p, eye)}; }
};

struct Samples {
  int wide, high;
  std::vector<float> depth;  // larger is nearer
  std::vector<float> nx, ny, nz;
  std::vector<std::uint8_t> body;
  Samples(int w, int h)
      : wide(w),
        high(h),
        depth(count(), -std::numeric_limits<float>::infinity()),
        nx(count()),
        ny(count()),
        nz(count()),
        body(count(), kNobody) {}
  std::size_t count() const { return static_cast<std::size_t>(wide) * static_cast<std::size_t>(high); }
  std::size_t at(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(wide) + static_cast<std::size_t>(x);
  }
};

// Twice the signed area of a, b and (x, y).
inline double edge(Vec3 a, Vec3 b, double x, double y) { return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x); }
// The samples whose centres may lie in a triangle.
struct Span {
  int x0, x1, y0, y1;
};
Span span(const Vec3 (&p)[3], int wide, int high);

void rasterise(const Body&, std::uint8_t id, const Camera&, Samples& out);

// Line marks on the samples: 2 where a body ends, 1 along creases and where a body hides itself by more than
// `self_hiding` of depth.
std::vector<std::uint8_t> line_marks(const Samples&, const std::vector<Body>&, const Camera&, int samples,
                                     double self_hiding);

}  // namespace kerfkiln::output
