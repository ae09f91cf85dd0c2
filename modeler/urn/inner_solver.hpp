// The inside of a squared form: the nearest way into the balls about the outside, direction by direction. Internal to
// the wall, its measures and its mesh.
//
// A form without twist is symmetric in both planes and the nearest foot of a direction in the first quadrant lies in
// the first quadrant, so that everything here speaks of that quadrant alone. A twisted form has the half turn only; its
// directions are all those of the circle and its pieces go all round. Charts of the inside are (turn, height), the turn
// measured from the section's own x axis at that height, over one sector: a quadrant, or half a circle.
#pragma once
#include <limits>
#include <memory>
#include <optional>
#include <vector>

#include "modeler/urn/form.hpp"
#include "modeler/urn/wall_round.hpp"

namespace kerfkiln::urn {

// A point of the inside: its distance from the axis and the foot on the outside that it belongs to.
struct InnerPoint {
  double reach = 0;
  Vec3 normal;  // unit, into the clay
  int span = 0, piece = 0;
  double t = 0, v = 0;
};

// The unit vector of a turn in the first quadrant, exact on the axes.
Vec2 quarter_direction(double turn);

struct NarrowPlace {
  double reach = 0, z = 0;
};

// The normal offset as a map of the outside, with first derivatives.
struct OffsetJet {
  Vec3 at, normal, at_t, at_v, normal_t, normal_v;
};

// One band of an untrimmed inside, bottom up: the offset of a segment between corners, or the round about a corner or
// the lip.
struct Band {
  bool arc = false;
  int segment = 0;  // offset: this segment; arc: the one above it (the segment count for the lip, 0 for the foot)
};

// A height where the inside runs level: below a level place of the outside (above one that faces down). Where that is a
// stretch, the reach jumps there from the edge of a level ceiling (floor) to its middle; else its rate is infinite.
struct LevelBreak {
  double z = 0;
  bool jump = false;
  int span = 0;  // of the profile, level or ending level
};

class InnerSolver {
 public:
  InnerSolver(const Form&, double wall, double floor);
  // A regular one told at the size of `form`, of which this one's is a multiple.
  InnerSolver at_size(const Form& form, double wall, double floor) const;

  const Form& form() const { return *form_; }
  double wall() const { return wall_; }
  double floor() const { return floor_; }
  // The offset is untrimmed, and floor and lip each cut one band all round: bands() lists what lies between.
  bool regular() const { return regular_; }
  const std::vector<Band>& bands() const { return bands_; }

  // Sectors, and the direction of a turn of the chart; exact on the sector's edges.
  double sector() const;
  Vec2 direction(double turn, double z) const;

  // Global: turn from the x axis of space, radians; z between floor and lip.
  InnerPoint reach(double turn, double z) const;
  // Local: the branch that `from` belongs to, followed to another place.
  InnerPoint follow(const InnerPoint& from, Vec2 direction, double z) const { return follow(from, from, direction, z); }
  // The same from a guess of the foot; where no ball about the guess is met, from the known point.
  InnerPoint follow(const InnerPoint& guess, const InnerPoint& known, Vec2 direction, double z) const;
  InnerPoint solve(Vec2 direction, double z) const;  // reach, direction a unit vector (without twist of quadrant 1)

  // `inner_point` is the position alone.
  OffsetJet offset(int span, double t, const FormPlace&) const;
  OffsetJet offset(int span, double t, int piece, double v) const { return offset(span, t, form_->place(piece, v)); }
  Vec3 inner_point(int span, double t, int piece, double v) const;
  // Regular insides: the parameter in a band where the inside has height z, for place v. Offset: t; arc: the angle
  // fraction 0 ... 1 from the normal below to the normal above.
  double band_at(const Band&, const FormPlace&, double z) const;
  double band_at(const Band& b, int piece, double v, double z) const { return band_at(b, form_->place(piece, v), z); }
  // A point of a band; s is t or the angle fraction; derivatives along s and v.
  OffsetJet band_point(const Band&, const FormPlace&, double s) const;
  OffsetJet band_point(const Band& b, int piece, double v, double s) const {
    return band_point(b, form_->place(piece, v), s);
  }
  double band_begin(const Band&) const;
  double band_end(const Band&) const;

  // A kink between two points of the inside on the segment from (turn, z) `a` to `b`: where the branches of the two
  // ends tie, as the fraction of the way, with the feet of both branches. None where the surface between is smooth or
  // turns by so little that a chord across it stays within `tolerance`.
  struct At {
    double turn = 0, z = 0;
    InnerPoint point;
  };
  struct Kink {
    double fraction = 0;
    InnerPoint first, second;
  };
  std::optional<Kink> kink(const At& a, const At& b, double tolerance) const;

  // Between floor and lip, by rising height. `nudge()` above and below, the reach is what it tends to there.
  std::vector<LevelBreak> level_breaks() const;
  double nudge() const { return 2e-11 * wall_; }

  NarrowPlace narrowest() const;
  // Looks for kinks all over a trimmed inside and keeps them for trims() and upright_kinks().
  void find_trims();
  const std::vector<Trim>& trims() const { return trims_; }
  bool upright_kinks() const { return upright_kinks_; }

 private:
  void find_level_places();
  void sample();
  void judge();
  bool curvature_fits() const;
  bool heights_rise() const;
  bool corners_open() const;
  bool find_bands();
  bool arcs_fit() const;
  bool empty(int piece) const;
  SurfaceJet jet_near(int span, double t, const FormPlace&) const;
  std::optional<Kink> tie(const At& a, const At& b, bool& one) const;
  double thickness(Vec3 kink, const InnerPoint& a, const InnerPoint& b) const;
  void add_trim(Vec3 kink, const InnerPoint& a, const InnerPoint& b);
  void look_at_edge(const At& x, bool begin);
  struct LevelPlace {
    int span = 0;
    double t = 0, z = 0;
  };
  InnerPoint direct(Vec2 direction, double z) const;
  template <class F>
  void each_run_beside(std::size_t station, double turn, F&& f) const;
  struct Start {
    double e = std::numeric_limits<double>::infinity();  // reach that its ball leaves the ray
    std::size_t station = 0, place = 0;
    bool straight = false;  // not the place, but the station's point in the ray's direction
  };
  void find_starts(Vec2 direction, double z, std::vector<Start>& out) const;
  InnerPoint from_level_places(InnerPoint best, Vec2 direction, double z) const;
  InnerPoint from_beside(InnerPoint best, Vec2 direction, double z) const;
  InnerPoint straight(Vec2 direction, int span, double t, double fine) const;
  bool descend(InnerPoint& x, Vec3& foot, Vec2 direction, double z) const;
  bool meets(const InnerPoint& foot, Vec2 direction, double z) const;  // its ball
  InnerPoint settle(InnerPoint x, Vec2 direction, double z) const;

  std::shared_ptr<const Form> form_;
  double wall_, floor_;
  bool regular_ = false, upright_kinks_ = false;
  std::vector<Trim> trims_;
  std::vector<Band> bands_;
  // Samples of the outside: at each station (by rising height) all places.
  struct Station {
    double z = 0, t = 0;
    int span = 0, segment = 0;
    double spread = 0;  // of the turn within which its balls may close a ray in
    bool flat = false;  // the outside is nearly level here
  };
  struct Place {
    int piece = 0;
    double v = 0;
  };
  std::vector<Station> stations_;
  std::vector<Place> places_;
  std::vector<Vec2> samples_;
  std::vector<double> turns_;             // of the samples about the axis, rising at each station
  std::vector<LevelPlace> level_places_;  // of the outside
};

}  // namespace kerfkiln::urn
