// The family of horizontal sections of an urn. Every section is symmetric in both axes and, without bow, convex, so
// that one quadrant (x >= 0, y >= 0, from (half_width, 0) counter-clockwise to (0, half_depth)) says everything.
//
// A new section is one file that defines a SectionType and its line in table.cpp (and in the folder's CMake list).
#pragma once
#include <span>
#include <string_view>
#include <vector>

#include "modeler/base/vec.hpp"
#include "modeler/numeric/gauss.hpp"

namespace kerfkiln::urn {

// One section. `shape` is what the type says it is: superellipse: the exponent n >= 1; rounded rectangle and polygons:
// the radius of the corners in mm, 0 ... min(half_width, half_depth). `bow` (mm) crowns the flats outward, by
// bow x flatness in the middle of the flattest one, with the sag of a clamped strip, (1 - s^2)^2 over s = -1 ... 1
// across the flat: nothing at the corners, and no kink there. The half sizes are those without bow.
struct SectionSize {
  double half_width = 0, half_depth = 0, shape = 0, bow = 0;
};

// Position and derivatives of a section that changes along a parameter t, at place v of a piece.
struct SectionJet {
  Vec2 p, p_t, p_v, p_tt, p_tv, p_vv;
};

// A place of the quadrant with what evaluating it takes again and again: for grids that visit the same places on every
// ring. What the four numbers are is the type's own business.
struct SectionPlace {
  int piece = 0;
  double v = 0;
  double c = 0, s = 0, c_log = 0, s_log = 0;
};

struct SectionType {
  std::string_view id;         // value of the design key "section"
  std::string_view shape_key;  // design key of the shape parameter
  int pieces;                  // smooth pieces of the quadrant, each over v in 0 ... 1; may be empty (zero length)
  bool shape_is_length;        // the shape scales with the girth
  // 0: the half depth is free. Else the section is regular: half_depth = shape + depth_factor (half_width - shape).
  double depth_factor;
  double (*smallest_shape)(double half_width, double half_depth);
  double (*largest_shape)(double half_width, double half_depth);
  double (*default_shape)(double half_width, double half_depth);
  bool (*is_round)(const SectionSize&);     // exactly a circle
  double (*flatness)(const SectionSize&);   // 0: nothing flat (a circle, an ellipse) ... 1: flat from corner to corner
  double (*area)(const SectionSize&);       // mm2, whole section, closed form
  double (*perimeter)(const SectionSize&);  // mm, whole section, 1e-12 relative
  Vec2 (*point)(const SectionSize&, int piece, double v);
  // `rate` and `rate2` are the first and second derivatives of the size along t.
  SectionJet (*jet_at)(const SectionSize&, const SectionSize& rate, const SectionSize& rate2, const SectionPlace&);
  SectionPlace (*place)(int piece, double v);
  Vec2 (*point_at)(const SectionSize&, const SectionPlace&);
  // p, p_t and p_v alone.
  SectionJet (*slopes_at)(const SectionSize&, const SectionSize& rate, const SectionPlace&);
  // Quadrature over v on a piece for integrands made of jets; more points, more precise (10, 14, 20, 30).
  std::span<const GaussNode> (*rule)(int piece, int points);
  // Places v on a piece, 0 and 1 included, such that chords through them stay within `deviation` of every section
  // between `sizes` (a list of sections that must share the places).
  std::vector<double> (*places)(const SectionType&, std::span<const SectionSize> sizes, int piece, double deviation);

  SectionJet jet(const SectionSize& z, const SectionSize& rate, const SectionSize& rate2, int piece, double v) const {
    return jet_at(z, rate, rate2, place(piece, v));
  }
};

std::span<const SectionType* const> section_types();
const SectionType* find_section(std::string_view id);  // null: no such section

// Larger exponents are rectangles to the eye and to the plaster.
inline constexpr double kLargestSquareness = 40;

}  // namespace kerfkiln::urn
