#include "tests/support/random_formed_urn.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "modeler/urn/lid_describe.hpp"
#include "modeler/urn/section/section_type.hpp"
#include "tests/support/random_design.hpp"

namespace kerfkiln::test {
namespace {

using urn::ProfilePoint;
using urn::SectionType;

double halves(double mm) { return std::round(mm * 2) / 2; }

class Maker {
 public:
  explicit Maker(std::uint64_t seed) : r_(seed * 0x9e3779b97f4a7c15u + 11) {}

  urn::Spec make() {
    choose_section();
    draw_profile();
    if (r_.chance(0.3)) round_off();
    if (n_ > 3 && r_.chance(0.35)) level_somewhere();
    for (std::size_t i = 0; i < points().size(); ++i) points()[i].corner = points()[i].corner || r_.chance(0.15);
    if (family_ != Family::round && r_.chance(0.35)) twist();
    if (family_ != Family::round && r_.chance(0.3)) s_.bow.flats = halves(r_.between(0.5, 3));
    build_base();
    if (r_.chance(0.3)) add_lid();
    s_.fill_below_lip = r_.chance(0.7) ? halves(r_.between(0, 20)) : 0.0;
    return s_;
  }

 private:
  enum class Family { round, elliptic, superellipse, rectangle, polygon };
  std::vector<ProfilePoint>& points() { return s_.profile; }
  double shape_at(double half) {
    if (family_ == Family::superellipse) return r_.chance(0.1) ? r_.between(1, 2) : r_.between(2, harsh_ ? 16 : 7);
    if (harsh_ && r_.chance(0.2)) return 0;
    return half * r_.between(harsh_ ? 0.02 : 0.08, 0.5);
  }

  void choose_section() {
    harsh_ = r_.chance(0.25);
    static constexpr Family kFamilies[] = {Family::round,        Family::elliptic,  Family::superellipse,
                                           Family::superellipse, Family::rectangle, Family::rectangle,
                                           Family::polygon,      Family::polygon};
    family_ = kFamilies[r_.below(8)];
    s_.section = "superellipse";
    if (family_ == Family::rectangle) s_.section = "rounded rectangle";
    if (family_ != Family::polygon) return;
    std::vector<std::string> regular;
    for (const SectionType* t : urn::section_types())
      if (t->depth_factor != 0) regular.emplace_back(t->id);
    s_.section = regular[static_cast<std::size_t>(r_.below(static_cast<int>(regular.size())))];
  }

  void draw_profile() {
    n_ = static_cast<std::size_t>((harsh_ ? 2 : 3) + r_.below(5));
    s_.wall = harsh_ ? std::exp(r_.between(0, std::log(15))) : halves(r_.between(3, 9));
    const double depth = family_ == Family::round ? 1 : r_.between(harsh_ ? 0.6 : 0.75, harsh_ ? 1.2 : 1);
    const double slope = harsh_ ? 1.2 : 0.7, thinnest = harsh_ ? 24 : 42;
    double height = 0, half = r_.between(harsh_ ? 30 : 50, 80);
    for (std::size_t i = 0; i < n_; ++i) {
      ProfilePoint p;
      p.height = halves(height), p.half_width = halves(half);
      if (family_ != Family::round && family_ != Family::polygon) p.half_depth = halves(half * depth);
      if (family_ == Family::superellipse) p.squareness = shape_at(half);
      if (family_ == Family::rectangle) p.corner_radius = shape_at(half * std::min(1.0, depth));
      if (family_ == Family::polygon) p.corner_radius = shape_at(half);
      points().push_back(p);
      const double step = r_.between(harsh_ ? 15 : 30, 70);
      height += step;
      half = std::clamp(half + step * r_.between(-slope, slope), thinnest, 130.0);
    }
  }

  // Squared forms that stand on a round foot or end in a round mouth.
  void round_off() {
    if (family_ == Family::round || family_ == Family::elliptic) return;
    ProfilePoint& p = r_.chance(0.5) ? points().front() : points().back();
    if (family_ == Family::superellipse)
      p.squareness = 2.0;
    else
      p.corner_radius =
          family_ == Family::rectangle ? std::min(p.half_width.value, p.half_depth.value) : p.half_width.value;
    if (family_ != Family::polygon && r_.chance(0.5)) {
      p.half_depth = p.half_width;
      if (family_ == Family::rectangle) p.corner_radius = p.half_width.value;
    }
  }

  // A level tangent, a flat shoulder or ledge, or one that rises by a hair.
  void level_somewhere() {
    const auto i = 1 + static_cast<std::size_t>(r_.below(static_cast<int>(n_) - 2));
    ProfilePoint &p = points()[i], &next = points()[i + 1];
    const double grown = r_.chance(0.75) ? r_.between(0.6, 0.85) : r_.between(1.15, 1.4);
    const double factor = grown * p.half_width.value / next.half_width.value;
    const int kind = r_.below(4);
    for (std::size_t k = i + 1; k < n_; ++k) {
      points()[k].half_width.value *= factor;
      if (points()[k].half_depth.known()) points()[k].half_depth.value *= factor;
      if (points()[k].corner_radius.known()) points()[k].corner_radius.value *= factor;
    }
    if (kind == 0) {
      (r_.chance(0.5) ? p : next).tangent = "level";
      return;
    }
    const double drop = next.height.value - p.height.value - (kind == 3 ? r_.between(0.1, 4) : 0);
    for (std::size_t k = i + 1; k < n_; ++k) points()[k].height.value -= drop;
    if (r_.chance(0.6)) p.corner = true;
    if (r_.chance(0.6)) next.corner = true;
  }

  void twist() {
    const double whole = r_.between(-1.6, 1.6) * (harsh_ ? 1.5 : 1);
    points().front().twist = r_.chance(0.5) ? 0.0 : r_.between(-0.5, 0.5);
    points().back().twist = points().front().twist.value + whole;
    for (std::size_t i = 1; i + 1 < n_; ++i)
      if (r_.chance(0.3))
        points()[i].twist = points().front().twist.value +
                            whole * r_.between(0.2, 1.1) * static_cast<double>(i) / static_cast<double>(n_);
  }

  void build_base() {
    const int made = r_.below(4);
    s_.base.made = made == 0 ? "drain-cast" : made == 1 ? "added" : "solid";
    if (made != 0 && r_.chance(0.6)) s_.base.thickness = halves(r_.between(4, 12));
    if (r_.chance(0.5)) {
      s_.base.foot_width = halves(r_.between(harsh_ ? 3 : 6, 18));
      s_.base.recess = halves(r_.between(1, 5));
    }
  }

  void add_lid() {
    s_.lid.style = r_.chance(0.6) ? "cap" : "inset";
    s_.lid.clearance = halves(r_.between(1, 3));
    s_.lid.flange = halves(r_.between(8, 16));
    if (r_.chance(0.5))
      s_.lid.knob.diameter = halves(r_.between(14, 26)), s_.lid.knob.height = halves(r_.between(12, 24));
    if (s_.lid.style == "inset") s_.lid.gallery.width = halves(r_.between(4, 7));
  }

  Random r_;
  urn::Spec s_;
  Family family_ = Family::round;
  bool harsh_ = false;
  std::size_t n_ = 0;
};

}  // namespace

urn::Spec random_formed_urn(std::uint64_t seed) {
  urn::Spec s = Maker(seed).make();
  s.name = "urn " + std::to_string(seed);
  return s;
}

urn::Spec enlarged(urn::Spec s, double k) {
  const auto grow = [k](Length& q) {
    if (q.known()) q.value *= k;
  };
  for (urn::ProfilePoint& p : s.profile)
    for (Length* q : {&p.height, &p.half_width, &p.half_depth, &p.corner_radius}) grow(*q);
  for (Length* q : {&s.wall, &s.base.thickness, &s.base.foot_width, &s.base.recess, &s.bow.flats, &s.fill_below_lip})
    grow(*q);
  return s;
}

}  // namespace kerfkiln::test
