// The outside of an urn as a function: section type and profile. z = 0 is the foot, the axis is x = y = 0, the half
// width lies along x (turned by the twist). A point of the side is P(t, piece, v).
//
// Without twist the form is symmetric in both planes and pieces are those of the first quadrant. A twisted form has
// only the half turn about the axis: pieces 0 ... 4 n - 1 then go round the whole section, counter-clockwise from its
// own x axis, quadrants 1 and 3 mirrored and walked backwards.
#pragma once
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/urn/profile.hpp"
#include "modeler/urn/spec.hpp"

namespace kerfkiln::urn {

struct SurfaceJet {
  Vec3 p, p_t, p_v, p_tt, p_tv, p_vv;
};

// A place of a piece, prepared for grids that visit it on every ring.
struct FormPlace {
  int quadrant = 0;  // 0 unless the form is twisted
  SectionPlace at;
};

class Form {
 public:
  // Findings at the paths of the design ("profile/2/half_width"): those of Profile::through and "section.unknown",
  // "profile.half_width", "profile.half_depth" (a regular section has its own), "profile.squareness",
  // "profile.corner_radius", "profile.level" (a level place where the outline stands still), "profile.twist" (more than
  // a whole turn, or turning too fast for its height). notes(): "profile.twist_round" (no effect on a round form).
  static Result<Form> make(const Spec&);
  Form(const SectionType&, Profile);

  const SectionType& section() const { return *section_; }
  const Profile& profile() const { return profile_; }
  const Findings& notes() const { return notes_; }
  bool round() const { return round_; }  // a solid of revolution, exactly
  bool twisted() const { return profile_.twisted() && !round_; }
  // The pieces of one sector, and how many copies of it make the form: four quadrants, or two halves when twisted.
  int sector_pieces() const { return (twisted() ? 2 : 1) * section_->pieces; }
  int copies() const { return twisted() ? 2 : 4; }
  int pieces() const { return (twisted() ? 4 : 1) * section_->pieces; }  // that P() knows
  double low() const { return profile_.low(); }
  double high() const { return profile_.high(); }
  double height() const { return high() - low(); }
  // Largest width and depth of the sections, mm, from the curve; across the turned section where there is twist.
  double max_width() const { return 2 * max_half(false); }
  double max_depth() const { return 2 * max_half(true); }
  // How far the form reaches along x (along y) at this height, and at its farthest: its outline seen from the front
  // (the side). Without twist that is half the width (depth).
  double half_extent(double z, bool depth) const;
  double half_extent(const ProfileJet&, bool depth) const;
  double max_half_extent(bool depth) const;

  SectionSize size_at(double z) const;  // of the horizontal section at this height
  Vec3 point(double t, int piece, double v) const;
  SurfaceJet jet(const ProfileJet& j, int piece, double v) const { return jet_at(j, place(piece, v)); }
  FormPlace place(int piece, double v) const;
  SurfaceJet jet_at(const ProfileJet&, const FormPlace&) const;
  Vec3 point_at(const ProfileJet&, const FormPlace&) const;
  SurfaceJet slopes_at(const ProfileJet&, const FormPlace&) const;  // p, p_t and p_v alone
  // Distance of the outside from the axis in a direction (unit vector, any quadrant).
  double outer_reach(Vec2 direction, double z) const;
  double outer_reach(Vec2 direction, const ProfileJet&) const;
  // Calls f(piece, v, weight) for a quadrature over one sector (10, 20 or 30 points a panel).
  template <class F>
  void each_node(int points, F&& f) const {
    for (int k = 0; k < sector_pieces(); ++k) {
      const bool back = k >= section_->pieces;
      const int own = back ? 2 * section_->pieces - 1 - k : k;
      for (const GaussNode& g : section_->rule(own, points)) f(k, back ? 1 - g.at : g.at, g.weight);
    }
  }

  // The same form at another size: girth in x and y, height in z (z = 0 stays).
  Form scaled(double girth, double height) const;
  // Profile::in_units.
  Form in_units(double unit) const;
  // The same form with its flats crowned outward, so that they dry and fire flat: `flats` mm at the largest, nothing at
  // foot, lip, corners and round sections (SectionSize, Profile::crowned). 0, or a form without flats: unchanged.
  Form crowned(double flats) const;
  double crown() const { return crown_; }  // mm, at the largest
  // The height where the crown is largest and how wide the flat is there, mm; 0, 0 for a form without flats.
  struct FlatPlace {
    double z = 0, width = 0, flatness = 0;
  };
  FlatPlace flattest() const;

  // The outline x = half_width (or half_depth), crown included, against z, bottom up, within `deviation_mm` of the
  // curve; across the turned section where there is twist.
  std::vector<Vec2> silhouette(bool depth, double deviation_mm) const;
  // The closed horizontal section at z, counter-clockwise from (half_width, 0), first point not repeated.
  std::vector<Vec2> section_loop(double z, double deviation_mm) const;

 private:
  double max_half(bool depth) const;
  const SectionType* section_;
  Profile profile_;
  bool round_ = false;
  double crown_ = 0;
  Findings notes_;
};

}  // namespace kerfkiln::urn
