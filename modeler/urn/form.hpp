// The outside of an urn as a function: section type and profile. z = 0 is the foot, the axis is x = y = 0, the half
// width lies along x. A point of the side is P(t, piece, v).
#pragma once
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/urn/profile.hpp"
#include "modeler/urn/spec.hpp"

namespace kerfkiln::urn {

struct SurfaceJet {
  Vec3 p, p_t, p_v, p_tt, p_tv, p_vv;
};

class Form {
 public:
  // Findings at the paths of the design ("profile/2/half_width"): those of Profile::through and "section.unknown",
  // "profile.half_width", "profile.half_depth", "profile.squareness", "profile.corner_radius".
  static Result<Form> make(const Spec&);
  Form(const SectionType&, Profile);

  const SectionType& section() const { return *section_; }
  const Profile& profile() const { return profile_; }
  bool round() const { return round_; }  // a solid of revolution, exactly
  double low() const { return profile_.low(); }
  double high() const { return profile_.high(); }
  double height() const { return high() - low(); }
  double max_width() const { return 2 * profile_.max_half_width(); }  // mm over all, from the curve
  double max_depth() const { return 2 * profile_.max_half_depth(); }

  SectionSize size_at(double z) const;  // of the horizontal section at this height
  Vec3 point(double t, int piece, double v) const;
  SurfaceJet jet(const ProfileJet&, int piece, double v) const;

  // The same form at another size: girth in x and y, height in z (z = 0 stays).
  Form scaled(double girth, double height) const;

  // The silhouette x = half_width (or half_depth) against z, bottom up, within `deviation_mm` of the curve.
  std::vector<Vec2> silhouette(bool depth, double deviation_mm) const;
  // The closed horizontal section at z, counter-clockwise from (half_width, 0), first point not repeated.
  std::vector<Vec2> section_loop(double z, double deviation_mm) const;

 private:
  const SectionType* section_;
  Profile profile_;
  bool round_ = false;
};

}  // namespace kerfkiln::urn
