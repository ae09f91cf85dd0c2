// The inside of an urn: the points at least the wall away from the finite outer side surface (foot ring to lip ring),
// below the lip plane and above the floor. Convex corners of the outside come out mitred, concave ones round.
//
// Why a radius per direction is enough. The outside is a graph over each horizontal direction u, its balls of radius
// `wall` cover an unbroken stretch of every horizontal ray up to the outside, so the inside is star-shaped about the
// axis at each height, with
//   r_in(u, z) = min over q of the side: q.u - sqrt(wall^2 - |q_perp|^2), q_perp the part of q - (0, 0, z) normal to u.
// A regular minimiser is the normal offset of q. For a round form minimisers rise with z, and the offset is untrimmed
// exactly where its height rises along the curve.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/urn/form.hpp"

namespace kerfkiln::urn {

enum class BaseMade { solid, drain_cast, added };

struct WallSize {
  double wall = 0;            // along the normal
  double base_thickness = 0;  // floor above the recess
  double foot_width = 0;      // of the foot ring; 0: flat foot
  double recess = 0;          // depth inside the foot ring
  BaseMade made = BaseMade::solid;
  static WallSize of(const Spec&);  // unknown base thickness: the wall
};

// One stretch of the inside of a round form, by rising z.
struct InnerPiece {
  enum class Kind { offset, arc } kind = Kind::offset;
  int span = 0;              // offset: within this profile span,
  double t0 = 0, t1 = 0;     // between these parameters; arc: t0 == t1
  Vec2 centre;               // arc: (r, z) of the corner or end it turns about
  double z0 = 0, z1 = 0;     // heights of its ends
  bool kink_before = false;  // a mitre between the piece before and this one
};

class InnerSolver;  // squared forms

class Wall {
 public:
  // Errors (no wall): "wall.range", "wall.closes_neck", "wall.closes_inside" (each with the walls that would do),
  // "base.thickness", "base.recess", "base.foot". Notes and warnings are kept in findings(): "wall.pools" where the
  // wall is thicker than the curvature of the outside allows (clay pools there, the inside is trimmed), with the place;
  // "wall.mitred" behind a corner; "base.flat" (a foot ring without a recess); "base.drain_cast" (a drain-cast base of
  // another thickness than the wall), "base.casts_hollow" (foot ring wider than two walls). Paths as in the design.
  // explain: false: an opening that closes is refused without the wall that would do, which takes a search.
  static Result<Wall> make(const Form&, const WallSize&, bool explain = true);

  const Form& form() const { return form_; }
  const WallSize& size() const { return size_; }
  const Findings& findings() const { return findings_; }
  double floor() const { return form_.low() + size_.recess + size_.base_thickness; }  // z of the inner floor
  double lip() const { return form_.high(); }
  bool trimmed() const { return trimmed_; }
  double recess_inset() const { return size_.foot_width; }  // the recess is the foot outline inset by the ring's width

  // Distance of the inside from the axis in the direction `turn` (radians from x), floor() <= z <= lip().
  double inner_reach(double turn, double z) const;
  // Unit normal of the inside there, pointing into the clay.
  Vec3 inner_normal(double turn, double z) const;
  // The inside in the plane y = 0 (or x = 0): distance from the axis against z, floor to lip.
  std::vector<Vec2> inner_silhouette(bool depth, double deviation_mm) const;
  // The recess: outline of the foot inset by the ring's width, counter-clockwise; empty without a recess.
  std::vector<Vec2> recess_loop(double deviation_mm) const;

  const std::vector<InnerPiece>& pieces() const { return pieces_; }  // round forms
  const InnerSolver* solver() const { return solver_.get(); }        // squared forms, else null
  // The lengths of solver() are in this many mm: 1, or the wall where the inside is trimmed. A trimmed inside takes
  // many decisions (which branch, which panel is halved); in walls, and on a grid (Profile::in_units), a form and its
  // enlargement take the same ones.
  double solver_unit() const { return unit_; }
  double in_units(double mm) const;  // on the solver's grid

 private:
  Wall(Form f, WallSize s) : form_(std::move(f)), size_(s) {}
  Form form_;
  WallSize size_;
  Findings findings_;
  bool trimmed_ = false;
  std::vector<InnerPiece> pieces_;
  std::shared_ptr<const InnerSolver> solver_;
  double unit_ = 1;
};

}  // namespace kerfkiln::urn
