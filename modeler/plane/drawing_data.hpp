// What a drawing file comes down to between reading and outline: placed primitives in the file's own unit.
#pragma once
#include <cstdint>
#include <map>
#include <string>
#include <variant>
#include <vector>

#include "modeler/plane/drawing.hpp"

namespace kerfkiln::plane {

struct DrawnLine {
  Vec2 a, b;
};
// c + u cos t + v sin t, t from t0 to t1; a circular arc where u and v are perpendicular and of one length.
struct DrawnConic {
  Vec2 c, u, v;
  double t0 = 0, t1 = 0;
};
// Non-uniform rational B-spline; without knots the points are to be passed through.
struct DrawnSpline {
  int degree = 3;
  std::vector<double> knots, weights;
  std::vector<Vec2> points;
};
struct DrawnCurve {
  std::variant<DrawnLine, DrawnConic, DrawnSpline> shape;
  int layer = 0;   // index into DrawingData::layers
  int entity = 0;  // curves of one drawn entity share it; straight and curved parts of a polyline do not
};

struct DrawingData {
  double unit_mm = 0;
  int unit_code = 0;  // $INSUNITS as written
  std::uint64_t digest = 0;
  std::vector<DrawingLayer> layers;
  std::vector<DrawnCurve> curves;
  std::map<std::string, int> left_out;  // entity types that bound nothing, with their count
  int tilted = 0, raised = 0;           // entities not seen from above; not at height 0
};

}  // namespace kerfkiln::plane
