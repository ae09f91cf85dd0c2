// drop(p) = max over boundary points q of drop_q(|p - q|) for one sheet (top or bottom) of a form.
#pragma once
#include <vector>

#include "modeler/cushion/blended_piece.hpp"
#include "modeler/cushion/boundary.hpp"
#include "modeler/cushion/form.hpp"

namespace kerfkiln::cushion {

class DropField {
 public:
  DropField(const Boundary&, const EdgeProfiles&);

  // The strongest source at p. Within a region of constant label the drop is a smooth function of p.
  struct Hit {
    double drop = 0;
    double distance = 0;  // to the source's nearest point (plain sources)
    double slope = 0;  // blended sources: of the drop with the distance from the point that rules, minus the gradient
    int element = -1;  // -1: flat
    int label = -1;
  };
  double drop(Vec2 p) const { return strongest(p).drop; }
  // close: how well the largest drop of a blend is found, mm.
  Hit strongest(Vec2 p, double close = 1e-9) const;
  bool exceeds(Vec2 p, double floor) const;  // drop(p) > floor >= 0, without looking for the strongest

  // The drop an element itself gives at p: for blended elements the maximum along it.
  bool blended(int element) const { return blend_of_[static_cast<std::size_t>(element)] >= 0; }
  const EdgeProfile& profile(int element) const {  // of plain elements; square where it has none
    return profiles_[static_cast<std::size_t>(profile_of_[static_cast<std::size_t>(element)])];
  }
  struct Blend {
    int element = 0, from = 0, to = 0;  // indices of profiles
    double g0 = 0, g1 = 1;              // fractions of the run's length at the element's ends
    double reach = 0;
  };
  const Blend& blend(int element) const {
    return blends_[static_cast<std::size_t>(blend_of_[static_cast<std::size_t>(element)])];
  }
  const std::vector<EdgeProfile>& profiles() const { return profiles_; }

  bool plain() const { return blends_.empty(); }  // no element blends
  bool uniform() const { return uniform_; }
  double inset_max() const { return inset_max_; }
  double drop_max() const { return drop_max_; }
  double reach(int element) const;  // beyond this distance the element has no influence
  const Boundary& boundary() const { return *boundary_; }

 private:
  // All elements of one profile: the nearest of them is the strongest.
  struct Group {
    int profile = 0;
    std::vector<Element> elements;
    std::vector<int> ids;
    std::vector<plane::Box> boxes, tree;
  };
  int profile_index(const EdgeProfile&);
  void assign_runs(const EdgeProfiles&);
  void cut_blends();
  void look_at_blends(Vec2 p, double close, Hit& best) const;
  Hit strongest_blend(std::size_t piece, Vec2 p, double close, Hit best) const;

  const Boundary* boundary_;
  std::vector<EdgeProfile> profiles_;  // [0] square
  std::vector<int> profile_of_, blend_of_;
  std::vector<Group> groups_;
  std::vector<Blend> blends_;
  std::vector<BlendedPiece> pieces_;  // of the blends, in their order
  std::vector<int> blend_of_piece_;
  std::vector<plane::Box> blend_tree_;
  bool uniform_ = false;
  double inset_max_ = 0, drop_max_ = 0;
};

}  // namespace kerfkiln::cushion
