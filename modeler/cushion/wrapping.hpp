// What is wrapped round the core, as flat pieces: topper, batting, barrier.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "modeler/cushion/barrier.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/cushion/wrap_apart.hpp"
#include "modeler/cushion/wrap_pattern.hpp"
#include "modeler/cushion/wrap_pieces.hpp"
#include "modeler/cushion/wrap_unroll.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct Core;

struct WrappedLayer {
  std::string material;
  WrapLayer layer;
  std::vector<plane::Outline> faces;  // on the core
  std::vector<WrapPiece> pieces;
  std::vector<FlatPattern> patterns;  // one a piece
  std::vector<plane::Outline> lids;   // of pockets, as their lid pieces
  std::vector<WrapStrip> strips;
  Unrolled unrolled;
  double area_mm2 = 0;  // of all of these, inserts included
  double mass_kg = 0;
  // Topper only.
  material::Foam foam;
  // Batting only: the band along its free edges that is thinned out.
  double loft_mm = 0, feather_mm = 0;
};

struct Wrapping {
  std::optional<WrappedLayer> topper, batting;
  std::optional<BarrierBag> barrier;
};

inline constexpr double kFeatherOfLoft = 2;  // width of the feathered edge (common practice)

// Findings, paths below the piece: errors topper.down_to, batting.inner_radius; warnings topper.strain (skin stretched
// by more than half: relief cuts are drawn), topper.flat and batting.flat (flaps overlap in the flat: no pattern),
// topper.develop (a rising top that the topper follows only when stretched by more than 5 %); notes topper.step,
// topper.strips and batting.strips (flaps cut apart), topper.develop from 0.5 % on.
Wrapping wrapping_of(const Core&, const Spec&, const material::Library&, Findings&);

DownTo down_to_of(const Spec&);

std::vector<product::FlatPart> wrapping_parts(const Core&, int count);
std::vector<product::Table> wrapping_tables(const Core&, int count);
void add_wrapping_figures(const Core&, std::vector<product::Figure>&);
std::vector<product::Step> wrapping_steps(const Core&);
// Of the topper's foam, one for each pattern.
std::vector<product::Blank> topper_blanks(const Core&);
// Those of the core and of the topper.
std::vector<product::Blank> foam_blanks(const Core&);

// The topper's flat area and the edges of its notches, wedges and inserts, each as high as it is thick; 0 without a
// topper or where a piece has no pattern.
double topper_glue_mm2(const Core&);

struct WrappedMass {
  double kg = 0;
  std::vector<std::string> from;  // keys of the figures in it
  std::string with, without;      // " + topper", "batting, barrier and cover"
};
WrappedMass wrapped_mass(const Core&);

}  // namespace kerfkiln::cushion
