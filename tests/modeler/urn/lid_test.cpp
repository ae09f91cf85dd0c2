// The lid's form: closed forms of solids of revolution, OCCT, the wall rule, the mesh, and six hundred random lids.
#include "modeler/urn/lid.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "lid_peer.hpp"
#include "lid_shapes.hpp"
#include "modeler/solid/solid.hpp"
#include "modeler/urn/lid_mesh.hpp"
#include "modeler/urn/measure.hpp"
#include "modeler/urn/ware_mesh.hpp"

namespace kerfkiln::urn {
namespace {

using test::kPi, test::collared, test::squared_collar, test::wall_for;

Lid lid_of(const Spec& s) {
  const Result<Lid> lid = make_lid(s, wall_for(s));
  EXPECT_TRUE(lid.has_value()) << (lid ? "" : lid.findings().front().message);
  return *lid;
}
solid::Mesh meshed(const Lid& lid, double deviation) {
  solid::Mesh m;
  mesh_lid(lid, deviation, m);
  return m;
}
double cylinder(double r, double h) { return kPi * r * r * h; }
// Pappus: the outer edge of a disc of radius R rounded with r loses the square less the quarter circle, whose centroid
// lies r (10 - 3 pi) / (12 - 3 pi) from the corner (urn reference 2.4, GE-11; centroid of a spandrel, from memory).
double rounded_edge(double big, double r) {
  const double area = (1 - kPi / 4) * r * r, from_corner = r * (10 - 3 * kPi) / (12 - 3 * kPi);
  return 2 * kPi * (big - from_corner) * area;
}
// GE-10: spherical cap.
double cap(double radius, double h) { return kPi * h * h * (3 * radius - h) / 3; }

// A flat cap on a straight neck: disc, tube and a rounded edge.
TEST(Lid, FlatCapIsADiscAndATube) {
  Spec s = collared(45, 24);
  s.lid.clearance = 1.5, s.lid.flange = 14, s.lid.wall = 5, s.lid.height = 5;
  const Lid lid = lid_of(s);
  const double in = 46.5, out = 51.5;
  EXPECT_NEAR(lid.measure.volume, cylinder(out, 19) - cylinder(in, 14) - rounded_edge(out, 2),
              1e-9 * lid.measure.volume);
  EXPECT_DOUBLE_EQ(lid.measure.half_width, out);
  EXPECT_DOUBLE_EQ(lid.seat_z, 224);
  EXPECT_NEAR(lid.measure.low, 210, 1e-12);
  EXPECT_NEAR(lid.measure.high, 229, 1e-12);
  EXPECT_EQ(lid.displaced, 0);
  EXPECT_NEAR(lid.gap_least, 1.5, 1e-12);
  EXPECT_NEAR(lid.gap_most, 1.5, 1e-9);
  // The under side: disc, tube's inside and its level end.
  EXPECT_NEAR(lid.measure.inside_area, kPi * in * in + 2 * kPi * in * 14 + kPi * (out * out - in * in), 1e-8 * 1e4);
  // Contact from the lip's edge inward over the seat (the wall, 5 mm).
  EXPECT_NEAR(lid.measure.seat_length, 2 * kPi * 42.5, 1e-9);
  EXPECT_NEAR(lid.measure.seat_area, kPi * (45 * 45 - 40 * 40), 1e-8);
}

// A domed inset lid without a knob: spherical caps of the outside and of the hollow, both about one centre (wall rule),
// disc and tube.
TEST(Lid, DomedInsetIsMadeOfSphericalCaps) {
  Spec s = collared(50, 24);
  s.lid.style = "inset";
  s.lid.clearance = 2, s.lid.flange = 12, s.lid.wall = 4, s.lid.height = 20;
  const Lid lid = lid_of(s);
  // Mouth 44, flange 42 outside and 38 inside, rim flush with the lip at 50; dome from 42, 4 over the seat, 16 high.
  const double run = 42, rise = 16, big = (run * run + rise * rise) / (2 * rise), small = big - 4;
  const double under = 38, sag = small - std::sqrt(small * small - under * under);
  const double hollow = cylinder(under, 12 + 20 - 4 - sag) + cap(small, sag);
  const double expected = cap(big, rise) + cylinder(50, 4) - rounded_edge(50, 1.6) + cylinder(42, 12) - hollow;
  EXPECT_NEAR(lid.measure.volume, expected, 1e-9 * expected);
  EXPECT_NEAR(lid.measure.high - lid.seat_z, 20, 1e-9);
  EXPECT_NEAR(lid.displaced, cylinder(42, 12) - cylinder(38, 12), 1e-9 * lid.displaced);
  EXPECT_DOUBLE_EQ(lid_displaced(s, wall_for(s)), lid.displaced);
  EXPECT_NEAR(2 * lid.guide_urn, 88, 1e-9);
  EXPECT_NEAR(2 * lid.guide_lid, 84, 1e-9);
}

// A gallery in a straight neck is a plain ring (GE-11: ring by Pappus).
TEST(Lid, GalleryIsARingAndTheSunkLidTakesTheNeckAboveIt) {
  Spec s = collared(50, 30);
  s.lid.style = "inset";
  s.lid.clearance = 1.5, s.lid.flange = 8, s.lid.wall = 4;
  s.lid.gallery.width = 6, s.lid.gallery.depth = 5, s.lid.gallery.height = 7;
  const Lid lid = lid_of(s);
  ASSERT_TRUE(lid.gallery.has_value());
  const double ring = 2 * kPi * 41 * 6 * 7;  // mean radius x section
  EXPECT_NEAR(lid.gallery->volume, ring, 1e-9 * ring);
  EXPECT_NEAR(lid.gallery->centroid_z, 230 - 5 - 3.5, 1e-9);
  const double flange = cylinder(36.5, 8) - cylinder(32.5, 8);
  EXPECT_NEAR(lid.displaced, ring + flange + cylinder(44, 5), 1e-9 * lid.displaced);
  EXPECT_NEAR(lid.guide_urn - lid.guide_lid, 1.5, 1e-12);
  solid::Mesh m;
  mesh_gallery(lid, wall_for(s), 0.05, m);
  const Result<solid::Solid> checked = solid::Solid::checked(m);
  ASSERT_TRUE(checked.has_value()) << checked.findings().front().message;
  EXPECT_NEAR(checked->volume(), ring, 3e-3 * ring);
}

// OCCT turns the same lines and arcs about the axis (Gauss-Kronrod volumes).
TEST(Lid, RoundLidsAgreeWithOcct) {
  for (const char* style : {"cap", "inset"})
    for (double knob : {0.0, 24.0}) {
      if (knob > 0 && style[0] == 'i') continue;
      Spec s = collared(47, 26);
      s.lid.style = style;
      s.lid.height = 26;
      if (knob > 0) s.lid.knob.diameter = knob;
      const Lid lid = lid_of(s);
      const test::TurnedSolid peer = test::turned(lid.meridian);
      EXPECT_NEAR(lid.measure.volume, peer.volume, 1e-8 * peer.volume) << style << knob;
      EXPECT_NEAR(lid.measure.centroid_z, peer.centroid_z, 1e-6) << style << knob;
      EXPECT_NEAR(lid.measure.outside_area + lid.measure.inside_area, peer.area, 1e-6 * peer.area) << style << knob;
    }
}

// Steiner's formula on a rounded rectangle (urn reference 2.3): the flat cap around 50 x 40, r 20, is a disc and a tube
// of rounded rectangles with parallel outlines.
TEST(Lid, SquaredFlatCapByRoundedRectangles) {
  Spec s = squared_collar("rounded rectangle", 50, 40, 20, 24);
  s.lid.clearance = 1.5, s.lid.flange = 14, s.lid.wall = 5, s.lid.height = 5;
  const Lid lid = lid_of(s);
  const auto section = [](double d) {
    const double a = 50 + d, b = 40 + d, r = 20 + d;
    return 4 * a * b - (4 - kPi) * r * r;
  };
  const auto length = [](double d) { return 4 * (90 + 2 * d) - (8 - 2 * kPi) * (20 + d); };
  // The rounded edge along straight flats is a prism, and four quarters of it make a turned one at the corners.
  const double flats = length(0) - 2 * kPi * 20;
  const double edge = (1 - kPi / 4) * 2 * 2 * flats + rounded_edge(26.5, 2);
  const double expected = section(6.5) * 19 - section(1.5) * 14 - edge;
  EXPECT_NEAR(lid.measure.volume, expected, 1e-9 * expected);
  EXPECT_NEAR(lid.measure.seat_length, length(-2.5), 1e-9 * length(0));
}

std::vector<std::pair<const char*, Spec>> examples() {
  std::vector<std::pair<const char*, Spec>> list;
  const auto add = [&](const char* name, Spec s, const char* style, double knob, double height) {
    s.lid.style = style;
    if (knob > 0) s.lid.knob.diameter = knob;
    if (height > 0) s.lid.height = height;
    list.emplace_back(name, s);
  };
  add("round cap", collared(45, 24), "cap", 22, 22);
  add("round cap, high", collared(45, 24), "cap", 22, 60);
  add("round inset", collared(45, 24), "inset", 22, 0);
  add("round, no knob", collared(45, 24), "cap", 0, 18);
  add("superellipse cap", squared_collar("superellipse", 48, 43, 3, 24), "cap", 22, 0);
  add("superellipse inset", squared_collar("superellipse", 58, 52, 2.6, 24), "inset", 24, 0);
  add("ellipse cap", squared_collar("superellipse", 55, 45, 2, 24), "cap", 20, 24);
  add("rectangle cap", squared_collar("rounded rectangle", 52, 44, 22, 24), "cap", 20, 16);
  add("rectangle inset", squared_collar("rounded rectangle", 60, 55, 32, 24), "inset", 26, 18);
  Spec own = collared(48, 24);
  own.lid.profile = {{6, 42, true}, {16, 36, false}, {22, 20, false}, {24, 12, false}};
  add("own profile", own, "cap", 20, 0);
  Spec gallery = collared(52, 30);
  gallery.lid.gallery.width = 6;
  add("gallery", gallery, "inset", 22, 0);
  Spec six;
  six.section = "hexagon", six.wall = 6, six.base.thickness = 7;
  for (const test::RoundPoint& at : {test::RoundPoint{0, 62}, {120, 95}, {200, 55}, {226, 54}}) {
    ProfilePoint q;
    q.height = at.height, q.half_width = at.half, q.corner_radius = 30, q.corner = at.height >= 200;
    six.profile.push_back(q);
  }
  add("hexagon cap", six, "cap", 22, 16);
  add("hexagon inset", six, "inset", 20, 14);
  Spec turning = squared_collar("superellipse", 56, 50, 2.6, 26);
  turning.profile[0].twist = 0, turning.profile[3].twist = 0.5, turning.profile[4].twist = 0.55;
  add("twisted cap", turning, "cap", 22, 14);
  add("twisted inset", turning, "inset", 22, 12);
  return list;
}

// Between the outside above the rim and the hollow nothing is thinner than the wall, and the dome has it everywhere.
TEST(Lid, WallHoldsAlongTheNormal) {
  for (const auto& [name, s] : examples()) {
    const Lid lid = lid_of(s);
    const double wall = lid.size.wall;
    // Upper side of the body: knob left out, and the panel under it drawn on to the axis.
    plane::Loop body;
    for (std::size_t i = lid.inside_end; i < lid.meridian.size(); ++i) {
      body.push_back(lid.meridian[i]);
      if (lid.meridian[i].side == static_cast<int>(LidFace::turned)) break;
    }
    const double level = body.back().at.y;
    body.push_back({{0, level}, 0, 0});
    body[body.size() - 2].bulge = 0;
    double least = INFINITY, most_level = 0;
    for (std::size_t i = 0; i + 1 < lid.inside_end; ++i) {
      const plane::Segment in = plane::segment(lid.meridian, i);
      if (in.a.y <= lid.measure.low + 1e-9 || in.b.y <= lid.measure.low + 1e-9) continue;
      for (double t : {0.0, 0.25, 0.5, 0.75, 1.0}) {
        const Vec2 p = in.point(t);
        double d = INFINITY;
        for (std::size_t k = 0; k + 1 < body.size(); ++k)
          d = std::min(d, plane::nearest(plane::segment(body, k), p).distance);
        if (p.y > lid.seat_z + 1e-6) least = std::min(least, d);
        if (p.y > lid.seat_z + wall) most_level = std::max(most_level, d);
      }
    }
    EXPECT_GE(least, wall - 1e-6) << name;
    if (lid.size.style == LidStyle::cap) {
      EXPECT_LE(most_level, wall + 1e-6) << name;
    }
  }
}

// In space too: why the plane of the meridian is enough. From points of the hollow under the dome to the upper side, by
// brute force over a fine grid of it.
TEST(Lid, WallHoldsInSpace) {
  for (const auto& [name, s] : examples()) {
    const Lid lid = lid_of(s);
    const double a = lid.outline.half_width();
    const auto places = lid.outline.places(lid.panel - a, lid.measure.half_width - a, 0, 0.003);
    const auto at = [&](const LidOutline::Place& p, Vec2 m) {
      const Vec2 q = p.at + (m.x - a) * p.normal;
      return Vec3{q.x, q.y, m.y};
    };
    std::vector<Vec3> upper;
    for (std::size_t i = lid.inside_end; i < lid.meridian.size(); ++i) {
      if (lid.meridian[i].side != static_cast<int>(LidFace::moulding)) break;
      const plane::Segment m = plane::segment(lid.meridian, i);
      const int n = std::max(1, static_cast<int>(m.length() / 0.3));
      for (int k = 0; k <= n; ++k)
        for (std::size_t j = 0; j < places.size() / 4; ++j)
          upper.push_back(at(places[j], m.point(static_cast<double>(k) / n)));
    }
    double most = 0;
    for (std::size_t i = 1; i < lid.inside_end; ++i) {
      const plane::Segment in = plane::segment(lid.meridian, i);
      const Vec2 m = in.point(0.5);
      if (m.y < lid.seat_z + lid.size.wall || lid.meridian[i].side != static_cast<int>(LidFace::moulding)) continue;
      for (std::size_t j = 3; j < places.size() / 4; j += 7) {
        double least = INFINITY;
        for (const Vec3 q : upper) least = std::min(least, norm(at(places[j], m) - q));
        EXPECT_GE(least, lid.size.wall - 1e-6) << name;
        most = std::max(most, least);
      }
    }
    if (most > 0 && lid.size.style == LidStyle::cap) {
      EXPECT_LE(most, lid.size.wall + 0.02) << name;
    }
  }
}

TEST(Lid, MeshIsAClosedSolidThatTendsToTheVolume) {
  for (const auto& [name, s] : examples()) {
    const Lid lid = lid_of(s);
    double first = 0;
    for (double deviation : {0.4, 0.1, 0.025}) {
      const solid::Mesh m = meshed(lid, deviation);
      const Result<solid::Solid> checked = solid::Solid::checked(m);
      ASSERT_TRUE(checked.has_value()) << name << ": " << checked.findings().front().message;
      const double error = std::abs(checked->volume() - lid.measure.volume);
      EXPECT_LE(error, deviation * (lid.measure.outside_area + lid.measure.inside_area)) << name;
      if (deviation == 0.4) first = error;
      if (deviation == 0.025) {
        EXPECT_LT(error, 0.2 * first) << name;
      }
    }
    EXPECT_NEAR(solid::centroid(meshed(lid, 0.025)).z, lid.measure.centroid_z, 0.05) << name;
    EXPECT_NEAR(solid::area(meshed(lid, 0.025)) / (lid.measure.outside_area + lid.measure.inside_area), 1, 2e-3)
        << name;
    const solid::Box3 box = solid::bounds(meshed(lid, 0.025));
    if (lid.turn == 0) {
      EXPECT_NEAR(box.high.x, lid.measure.half_width, 1e-9) << name;
      EXPECT_NEAR(box.high.y, lid.measure.half_depth, 1e-9) << name;
    }
    EXPECT_NEAR(box.high.z, lid.measure.high, 1e-9) << name;
    EXPECT_NEAR(box.low.z, lid.measure.low, 1e-9) << name;
  }
}

// Everything twice as large: eight times the volume.
TEST(Lid, CubeLaw) {
  const auto scaled = [](const Spec& from, double k) {
    Spec s = from;
    for (ProfilePoint& p : s.profile) {
      p.height = p.height.value * k, p.half_width = p.half_width.value * k;
      if (p.half_depth.known()) p.half_depth = p.half_depth.value * k;
      if (p.corner_radius.known()) p.corner_radius = p.corner_radius.value * k;
    }
    s.wall = s.wall.value * k, s.base.thickness = s.base.thickness.value * k;
    LidSpec& l = s.lid;
    l.clearance = 1.5 * k, l.flange = 14 * k;
    if (l.height.known()) l.height = l.height.value * k;
    if (l.knob.diameter.known()) l.knob.diameter = l.knob.diameter.value * k;
    if (l.gallery.width.known()) l.gallery.width = l.gallery.width.value * k, l.gallery.depth = 4 * k;
    for (LidPoint& p : l.profile) p.height = p.height.value * k, p.half_width = p.half_width.value * k;
    return s;
  };
  for (const auto& [name, s] : examples()) {
    if (!s.lid.height.known() && s.lid.profile.empty()) continue;  // a default may hold absolute room
    const Lid one = lid_of(scaled(s, 1)), two = lid_of(scaled(s, 2));
    const double tolerance = s.lid.profile.empty() && s.lid.height.value < 30 ? 1e-6 : 1e-4;  // arcs fitted to 0.002 mm
    EXPECT_NEAR(two.measure.volume / one.measure.volume, 8, 8 * tolerance) << name;
    EXPECT_NEAR(two.displaced, 8 * one.displaced, 1e-6 * two.displaced) << name;
  }
}

// Least distance between the lid below its seat and the urn beside it, by brute force over close samples.
double gap_between(const Lid& lid, const Wall& w) {
  std::vector<Vec3> urn;
  const double low = lid.measure.low - 6;
  constexpr int kTurns = 120;
  if (lid.size.style == LidStyle::cap) {
    for (double z = lid.seat_z; z >= low; z -= 0.5)
      for (const Vec2 p : w.form().section_loop(z, 0.02)) urn.push_back({p.x, p.y, z});
  } else if (!lid.gallery) {
    for (double z = lid.seat_z; z >= low; z -= 1)
      for (int i = 0; i < kTurns; ++i) {
        const double a = 2 * kPi * i / kTurns, r = w.inner_reach(a, z);
        urn.push_back({r * std::cos(a), r * std::sin(a), z});
      }
  } else {
    for (double z = lid.gallery->top; z >= lid.gallery->low; z -= 0.5)
      for (const auto& p : lid.outline.places(lid.gallery->inner, 0, 0, 0.02)) {
        const Vec2 q = p.at + lid.gallery->inner * p.normal;
        const double c = std::cos(lid.turn), s = std::sin(lid.turn);
        urn.push_back({c * q.x - s * q.y, s * q.x + c * q.y, z});
      }
  }
  double least = INFINITY;
  const auto places = lid.outline.places(-5, 5, 0, 0.2);
  for (std::size_t i = 0; i < lid.meridian.size(); ++i) {
    const plane::Segment s = plane::segment(lid.meridian, i);
    if (std::min(s.a.y, s.b.y) >= lid.seat_z - 1e-9) continue;
    const int n = std::max(1, static_cast<int>(s.length() / 0.5));
    for (int k = 0; k < n; ++k) {
      const Vec2 m = s.point(static_cast<double>(k) / n);
      if (m.y >= lid.seat_z - 1e-9 || m.x < lid.outline.half_width() - lid.outline.sharpest()) continue;
      for (const auto& p : places) {
        const Vec2 own = p.at + (m.x - lid.outline.half_width()) * p.normal;
        const double c = std::cos(lid.turn), sn = std::sin(lid.turn);
        const Vec2 o{c * own.x - sn * own.y, sn * own.x + c * own.y};
        for (const Vec3 q : urn) least = std::min(least, dot(Vec3{o.x, o.y, m.y} - q, Vec3{o.x, o.y, m.y} - q));
      }
    }
  }
  return std::sqrt(least);
}

TEST(Lid, TouchesTheUrnAtItsSeatOnly) {
  for (const auto& [name, s] : examples()) {
    const Lid lid = lid_of(s);
    const double gap = gap_between(lid, wall_for(s));
    EXPECT_GE(gap, lid.gap_least - 2e-3) << name;
    EXPECT_LE(gap, lid.gap_least + 0.15) << name;
  }
}

// The same by CGAL on the meshes: the lid lifted by a tenth of a millimetre and the urn (or the gallery) are two solids
// that nowhere meet; pressed down by as much, they do.
TEST(Lid, LiftedOffTheSeatItStandsFree) {
  for (const auto& [name, s] : examples()) {
    const Lid lid = lid_of(s);
    const Wall w = wall_for(s);
    for (const double lift : {0.1, -0.1}) {
      solid::Mesh both;
      if (lid.gallery)
        mesh_gallery(lid, w, 0.02, both);
      else
        mesh_ware(w, 0.02, both);
      const auto shift = static_cast<std::uint32_t>(both.points.size());
      const solid::Mesh m = meshed(lid, 0.02);
      for (const Vec3 p : m.points) both.points.push_back({p.x, p.y, p.z + lift});
      for (const solid::Triangle& t : m.triangles) both.triangles.push_back({t[0] + shift, t[1] + shift, t[2] + shift});
      const Result<solid::Solid> checked = solid::Solid::checked(both, {.components = 2});
      EXPECT_EQ(checked.has_value(), lift > 0) << name << (checked ? "" : checked.findings().front().message);
    }
  }
}

TEST(Lid, SixHundredRandomLids) {
  int made = 0, refused = 0;
  for (std::uint64_t seed = 1; seed <= 900 && made < 600; ++seed) {
    const Spec s = test::random_lidded_urn(seed);
    const Result<Form> form = Form::make(s);
    if (!form) continue;
    const Result<Wall> w = Wall::make(*form, WallSize::of(s));
    if (!w) continue;
    const Result<Lid> lid = make_lid(s, *w);
    if (!lid) {
      ++refused;
      for (const Finding& f : lid.findings()) {
        EXPECT_EQ(f.code.rfind("lid.", 0), 0u) << seed << f.code;
        EXPECT_FALSE(f.remedy.empty()) << seed;
      }
      continue;
    }
    ++made;
    const solid::Mesh m = meshed(*lid, 0.4);
    const Result<solid::Solid> checked = solid::Solid::checked(m);
    ASSERT_TRUE(checked.has_value()) << "seed " << seed << ": " << checked.findings().front().message;
    EXPECT_NEAR(checked->volume(), lid->measure.volume, 0.4 * (lid->measure.outside_area + lid->measure.inside_area));
    EXPECT_GT(lid->measure.volume, 0);
    EXPECT_GT(lid->measure.centroid_z, lid->measure.low);
    EXPECT_LT(lid->measure.centroid_z, lid->measure.high);
    EXPECT_GE(lid->displaced, 0) << seed;
    if (seed % 6 == 0) {
      EXPECT_GE(gap_between(*lid, *w), lid->gap_least - 0.02) << "seed " << seed;
    }
  }
  EXPECT_GE(made, 500) << refused << " refused";
}

// Sizes from anywhere in their permitted ranges: a lid is a closed solid or a finding, never anything else.
TEST(Lid, WildSizesAreSolidsOrFindings) {
  int made = 0;
  std::optional<Wall> wall;
  for (std::uint64_t seed = 0; seed < 3000; ++seed) {
    kerfkiln::test::Random r(seed);
    Spec s = test::random_lidded_urn(1 + seed / 50);
    if (seed % 50 == 0) {
      wall.reset();
      if (const Result<Form> form = Form::make(s))
        if (Result<Wall> made_wall = Wall::make(*form, WallSize::of(s))) wall = *made_wall;
    }
    if (!wall) continue;
    const auto wild = [&r](double low, double high) { return low * std::pow(high / low, r.between(0, 1)); };
    LidSpec& l = s.lid;
    l.clearance = wild(0.1, 10), l.flange = wild(1, 60), l.wall = wild(0.5, 30);
    if (r.chance(0.5)) l.height = wild(0.5, 200);
    if (r.chance(0.3)) l.seat = wild(0.5, 40);
    l.knob = {};
    if (r.chance(0.7)) l.knob.diameter = wild(2, 120), l.knob.height = wild(2, 100), l.knob.neck = wild(2, 120);
    l.gallery = {};
    if (r.chance(0.3)) l.gallery.width = wild(1, 40), l.gallery.depth = wild(0.5, 40), l.gallery.height = wild(1, 40);
    for (int n = r.chance(0.3) ? 1 + r.below(5) : 0; n > 0; --n)
      l.profile.push_back({r.between(0, 60), r.between(0, 80), r.chance(0.4)});
    const Result<Lid> lid = make_lid(s, *wall);
    if (!lid) {
      ASSERT_TRUE(has_errors(lid.findings())) << seed;
      continue;
    }
    ++made;
    ASSERT_FALSE(has_errors(lid->findings)) << seed;
    ASSERT_GT(lid->measure.volume, 0) << seed;
    const solid::Mesh m = meshed(*lid, 0.5);
    const Result<solid::Solid> checked = solid::Solid::checked(m);
    ASSERT_TRUE(checked.has_value()) << "seed " << seed << ": " << checked.findings().front().message;
    ASSERT_NEAR(checked->volume(), lid->measure.volume, 0.5 * (lid->measure.outside_area + lid->measure.inside_area));
  }
  EXPECT_GE(made, 300);
}

}  // namespace
}  // namespace kerfkiln::urn
