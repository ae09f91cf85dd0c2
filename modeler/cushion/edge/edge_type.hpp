// The edge profiles a cushion can have: how far the foam has dropped below its nominal height at each inset from the
// side. One file a type, one line in table.cpp.
//
// A profile lives in its own plane: x is the inset d from the side face (0 at the face, growing inward), y the drop
// below the nominal surface. It starts at (0, b) on the side face and ends at (a, 0) on the flat.
#pragma once
#include <array>
#include <memory>
#include <span>
#include <string_view>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// Families whose drop and derivatives are known in place (drop_kernel.hpp): fields ask for them by the million. Curves
// of any other kind go through the virtual functions below.
enum class DropFamily { other, straight, quarter_ellipse };

// A drop curve over 0 <= d <= a, never rising, from b to 0. Immutable. Below, "inset" d and "drop" t in mm.
class DropCurve {
 public:
  virtual ~DropCurve() = default;
  virtual std::string_view shape() const = 0;  // curves of equal shape, a and b are the same curve
  virtual double drop(double d) const = 0;     // 0 <= d <= a
  virtual double slope(double d) const = 0;    // d drop / d inset, <= 0, may be -infinity at the ends
  virtual double inset(double t) const = 0;    // inverse, 0 <= t <= b
  virtual DropFamily family() const { return DropFamily::other; }
  // Primitives that vanish at 0: of drop(d), d * drop(d), d^2 * drop(d) and drop(d)^2, d * drop(d)^2.
  struct Moments {
    double m0 = 0, m1 = 0, m2 = 0, s0 = 0, s1 = 0;
  };
  virtual Moments moments(double d) const = 0;
  // 0 <= u <= 1 along the curve from (0, b) to (a, 0), smooth and without crowding: where quadrature and sampling walk.
  virtual Vec2 point(double u) const = 0;
  virtual double parameter(double d) const = 0;  // inverse of point(u).x
  virtual double length() const = 0;             // of the curve
  virtual double distance(Vec2 p) const = 0;     // from a point of the profile plane to the curve
  // Pieces of equal parameter such that chords stay within `deviation_mm` of the curve; >= 1.
  virtual int pieces(double deviation_mm) const = 0;
  // The curve as an open path of lines and arcs within `deviation_mm` (exact for lines and circles); the bulge of the
  // last vertex means nothing.
  virtual plane::Loop path(double deviation_mm) const = 0;
};

// What the form works with. a = b = 0 (square) has no curve.
struct EdgeProfile {
  double inset = 0;  // a: how far in from the side the flat begins
  double drop = 0;   // b: how far the edge at the side face lies below the nominal surface
  std::shared_ptr<const DropCurve> curve;

  double drop_at(double d) const { return d >= inset || !curve ? 0.0 : d <= 0 ? drop : curve->drop(d); }
  double slope_at(double d) const { return d >= inset || !curve ? 0.0 : curve->slope(d < 0 ? 0.0 : d); }
  double inset_at(double t) const { return t >= drop || !curve ? 0.0 : t <= 0 ? inset : curve->inset(t); }
  bool square() const { return !curve; }
  double length() const { return curve ? curve->length() : 0.0; }
  friend bool operator==(const EdgeProfile& p, const EdgeProfile& q) {
    return p.inset == q.inset && p.drop == q.drop && (!p.curve) == (!q.curve) &&
           (!p.curve || p.curve->shape() == q.curve->shape());
  }
};

struct EdgeLength {
  std::string_view key, label, help;
  double low_mm, high_mm, default_mm;
};

struct EdgeType {
  std::string_view id;                  // as in the design file: "round"
  std::string_view label;               // a maker's words
  std::string_view help;                // one sentence
  std::span<const EdgeLength> lengths;  // in the order of the design file; empty: the bare word
  // Lengths (mm, as many as `lengths` and within its ranges) and the nominal height of the form. The profile of a
  // given height; square where both inset and drop come out as zero.
  EdgeProfile (*profile)(std::span<const double> lengths_mm, double height_mm);
};

std::span<const EdgeType* const> edge_types();
const EdgeType* find_edge_type(std::string_view id);  // nullptr: unknown
// Checks count and ranges of the lengths: "edge.type", "edge.lengths", "length.range"; paths relative to the edge.
Result<EdgeProfile> edge_profile(std::string_view type, std::span<const double> lengths_mm, double height_mm);

// The outline of the form's section at the side, as open path from the side face up and in over the flat: vertical
// line from (0, drop + below) to (0, drop), the profile, and level to (inset + beyond, 0). For gauges and sections.
plane::Loop section_path(const EdgeProfile&, double below_mm, double beyond_mm, double deviation_mm);

}  // namespace kerfkiln::cushion
