// The shaped foam as a function of the plan: the form is exact, meshes are its picture.
//
//   z_top(p) = H + rise_top(p) - drop_top(p),   z_bottom(p) = drop_bottom(p) - rise_bottom(p),   p in the outline, mm
//   drop(p) = max over boundary points q of drop_q(|p - q|)
//
// Rises (rise.hpp) are crowns, contours and wedges; a crown of the bottom bulges downward. Drops are measured from the
// risen surface, so an edge keeps its profile wherever it stands, and the line where it begins is the same rise or not.
//
// Every side has its profile for the top and for the bottom edge. Where segments without a side (corner arcs) join two
// sides, the drop of q is that of the two sides blended by smoothstep of the fraction of the arc length: drop_q(d) =
// (1 - w) drop_A(d) + w drop_B(d). The drop is continuous, has a ridge where two parts of the boundary are equally
// strong (past the medial axis, on the mitre of a corner without an arc) and handles radii larger than the corner
// radius or than half the width.
#pragma once
#include <memory>
#include <span>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/edge/edge_type.hpp"
#include "modeler/cushion/rise.hpp"
#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

enum class Sheet { top, bottom };

// by_side[i] belongs to Outline::sides[i]; `other` to a loop none of whose segments has a side, and to sides beyond
// the end of by_side.
struct EdgeProfiles {
  std::vector<EdgeProfile> by_side;
  EdgeProfile other;
  const EdgeProfile& of(int side) const {
    return side >= 0 && side < static_cast<int>(by_side.size()) ? by_side[static_cast<std::size_t>(side)] : other;
  }
};

class DropField;  // drop.hpp
struct Relief;    // relief.hpp

class Form {
 public:
  // Precondition: the outline is simple (plane::check_outline). Findings, paths relative to the piece:
  //   edges.height   the top and bottom drop of one side exceed the height ("edges/top/front")
  //   edges.overlap  drops from different sides exceed the height somewhere; the place is named
  //   form.thickness  with a rise: nothing is left between the faces somewhere; place and value are named
  static Result<Form> make(plane::Outline, double height_mm, EdgeProfiles top, EdgeProfiles bottom, Rise on_top = {},
                           Rise on_bottom = {});

  const plane::Outline& outline() const;
  double height() const;  // nominal: of the layers, without rises
  const EdgeProfiles& edges(Sheet) const;

  const Rise& rise(Sheet) const;
  bool risen() const { return !(rise(Sheet::top).flat() && rise(Sheet::bottom).flat()); }
  // Smallest and largest rise over the outline, to 1e-3 mm, and where; zero where there is none.
  struct RiseRange {
    double low = 0, high = 0;
    Vec2 low_at, high_at;
  };
  const RiseRange& rise_range(Sheet) const;

  // Exact to rounding. p anywhere; outside the outline the distance to it counts as it does inside.
  double drop(Sheet, Vec2 p) const;
  double z_top(Vec2 p) const { return height() + rise(Sheet::top).value(p) - drop(Sheet::top, p); }
  double z_bottom(Vec2 p) const { return drop(Sheet::bottom, p) - rise(Sheet::bottom).value(p); }

  bool uniform(Sheet) const;     // one profile all round: drop(p) depends on the distance to the outline alone
  double inset(Sheet) const;     // the largest inset of all profiles: farther inside all is flat
  double drop_max(Sheet) const;  // the largest drop of all profiles
  const DropField& field(Sheet) const;

  // This face over a flat and level other one; the form itself where that has no thickness somewhere. Made once.
  Form alone(Sheet) const;
  // A relief at a deviation that goes with the form, found once (relief.cpp knows how); any thread may ask.
  using ReliefKept = Result<std::shared_ptr<const Relief>>;
  ReliefKept kept_relief(double deviation_mm, ReliefKept (*found)(const Form&, double deviation_mm)) const;

  Form(const Form&);
  Form(Form&&) noexcept;
  Form& operator=(const Form&);
  Form& operator=(Form&&) noexcept;
  ~Form();

 private:
  struct State;
  explicit Form(std::shared_ptr<const State>);
  std::shared_ptr<const State> state_;  // immutable: copies share it
};

}  // namespace kerfkiln::cushion
