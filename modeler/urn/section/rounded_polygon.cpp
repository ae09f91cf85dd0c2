// Regular polygons of N sides with a flat across the x axis and round arrises: the polygon of the apothem a - r, with a
// disc of radius r rolled around it, exactly. r = a is a circle; N = 4 is the square rounded rectangle.
//
// Pieces of the quadrant: flat 0 (half), arc 0, flat 1, arc 1 ... ending with half a flat (N a multiple of 4) or half
// an arc (any other even N) on the y axis. Everything but the bow is linear in (a, r).
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "modeler/urn/section/second_order.hpp"
#include "modeler/urn/section/section_list.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kPi = std::numbers::pi;

Vec2 direction(double angle) {
  if (angle >= kPi / 2) return {0, 1};
  return {std::cos(angle), angle == 0 ? 0 : std::sin(angle)};
}

struct Flat {
  Vec2 normal, along;
  double from, to;  // s of its part in the quadrant, out of -1 ... 1
};
struct Arc {
  Vec2 corner;  // direction of the polygon's corner, length 1 / cos(pi/N)
  double from, sweep;
};

template <int N>
class Polygon {
 public:
  static constexpr int kPieces = N / 2 + 1;
  static constexpr double kTurn = 2 * kPi / N;

  static const SectionType& type(std::string_view id) {
    static const SectionType t = make(id);
    return t;
  }

 private:
  static constexpr bool kFlatOnY = N % 4 == 0;

  static const Flat& flat(int piece) {
    static const auto table = [] {
      std::array<Flat, static_cast<std::size_t>(kPieces)> f{};
      for (int k = 0; 2 * k < kPieces; ++k) {
        const Vec2 n = 4 * k == N ? Vec2{0, 1} : direction(k * kTurn);
        const bool last = 2 * k + 1 == kPieces;
        f[static_cast<std::size_t>(2 * k)] = {n, left(n), k == 0 ? 0.0 : -1.0, last ? 0.0 : 1.0};
      }
      return f;
    }();
    return table[static_cast<std::size_t>(piece)];
  }
  static const Arc& arc(int piece) {
    static const auto table = [] {
      std::array<Arc, static_cast<std::size_t>(kPieces)> f{};
      for (int k = 0; 2 * k + 1 < kPieces; ++k) {
        const bool half = 2 * k + 2 == kPieces;
        const Vec2 c = half ? Vec2{0, 1} : direction((k + 0.5) * kTurn);
        f[static_cast<std::size_t>(2 * k + 1)] = {c / std::cos(kPi / N), k * kTurn, half ? kTurn / 2 : kTurn};
      }
      return f;
    }();
    return table[static_cast<std::size_t>(piece)];
  }
  static double half_side() { return std::tan(kPi / N); }  // of the polygon of apothem 1

  // What is linear in (a, r): the same combination serves value and rates. `turn`: on an arc the unit vector, on a flat
  // (s, 0).
  static Vec2 combine(const SectionSize& z, int piece, Vec2 turn) {
    const double a = z.half_width, r = z.shape;
    if (piece % 2 == 0) {
      const Flat& f = flat(piece);
      return a * f.normal + turn.x * half_side() * (a - r) * f.along;
    }
    return (a - r) * arc(piece).corner + r * turn;
  }
  static Vec2 along(const SectionSize& z, int piece, Vec2 turn) {
    if (piece % 2 == 0) {
      const Flat& f = flat(piece);
      return (f.to - f.from) * half_side() * (z.half_width - z.shape) * f.along;
    }
    return arc(piece).sweep * z.shape * left(turn);
  }
  static Vec2 turn_at(int piece, double v) {
    if (piece % 2 == 0) {
      const Flat& f = flat(piece);
      return {f.from + v * (f.to - f.from), 0};
    }
    return direction(arc(piece).from + v * arc(piece).sweep);
  }
  static SecondOrder crown(const SectionSize& z, const SectionSize& r, const SectionSize& r2) {
    const SecondOrder a{z.half_width, r.half_width, r2.half_width}, c{z.shape, r.shape, r2.shape};
    return SecondOrder{z.bow, r.bow, r2.bow} * ((a - c) / a);
  }

  static Vec2 point_at(const SectionSize& z, const SectionPlace& q) {
    const Vec2 p = combine(z, q.piece, {q.c, q.s});
    if (z.bow == 0 || q.piece % 2) return p;
    return p + z.bow * (1 - z.shape / z.half_width) * strip_sag(q.c).f * flat(q.piece).normal;
  }
  static SectionPlace place(int piece, double v) {
    const Vec2 turn = turn_at(piece, v);
    return {piece, v, turn.x, turn.y, 0, 0};
  }
  static SectionJet jet_at(const SectionSize& z, const SectionSize& r, const SectionSize& r2, const SectionPlace& q) {
    const int piece = q.piece;
    const Vec2 turn{q.c, q.s};
    SectionJet j;
    j.p = combine(z, piece, turn);
    j.p_t = combine(r, piece, turn);
    j.p_tt = combine(r2, piece, turn);
    j.p_v = along(z, piece, turn);
    j.p_tv = along(r, piece, turn);
    if (piece % 2) {
      const double sweep = arc(piece).sweep;
      j.p_vv = -sweep * sweep * z.shape * turn;
    } else if (z.bow != 0 || r.bow != 0 || r2.bow != 0) {
      const Flat& f = flat(piece);
      const SecondOrder c = crown(z, r, r2), s = strip_sag(turn.x);
      const double h = f.to - f.from;
      j.p = j.p + c.f * s.f * f.normal;
      j.p_t = j.p_t + c.d * s.f * f.normal;
      j.p_tt = j.p_tt + c.dd * s.f * f.normal;
      j.p_v = j.p_v + h * c.f * s.d * f.normal;
      j.p_tv = j.p_tv + h * c.d * s.d * f.normal;
      j.p_vv = h * h * c.f * s.dd * f.normal;
    }
    return j;
  }
  static SectionJet slopes_at(const SectionSize& z, const SectionSize& r, const SectionPlace& q) {
    if (z.bow != 0 || r.bow != 0) return jet_at(z, r, {}, q);
    SectionJet j;
    j.p = combine(z, q.piece, {q.c, q.s});
    j.p_t = combine(r, q.piece, {q.c, q.s});
    j.p_v = along(z, q.piece, {q.c, q.s});
    return j;
  }
  // Steiner's formula for the disc rolled around; the crowns are strips of mean height 8/15.
  static double area(const SectionSize& z) {
    const double in = z.half_width - z.shape, side = 2 * half_side() * in;
    const double crowns = z.bow * (in / z.half_width) * kSagMean;
    return N * (0.5 * side * in + side * z.shape + side * crowns) + kPi * z.shape * z.shape;
  }
  static double perimeter(const SectionSize& z) {
    if (z.bow != 0) return perimeter_by_rule(type({}), z);
    return N * 2 * half_side() * (z.half_width - z.shape) + 2 * kPi * z.shape;
  }
  static std::vector<double> places(const SectionType&, std::span<const SectionSize> sizes, int piece,
                                    double deviation) {
    if (piece % 2) return arc_places(sizes, arc(piece).sweep, deviation);
    return flat_places(sizes, flat(piece).to - flat(piece).from, deviation);
  }

  static SectionType make(std::string_view id) {
    return {
        .id = id,
        .shape_key = "corner_radius",
        .pieces = kPieces,
        .shape_is_length = true,
        .depth_factor = kFlatOnY ? 1 : 1 / std::cos(kPi / N),
        .smallest_shape = [](double, double) { return 0.0; },
        .largest_shape = [](double a, double) { return a; },
        .default_shape = [](double a, double) { return 0.1 * a; },
        .is_round = [](const SectionSize& z) { return z.shape == z.half_width; },
        .flatness = [](const SectionSize& z) { return 1 - z.shape / z.half_width; },
        .area = area,
        .perimeter = perimeter,
        .point = [](const SectionSize& z, int piece, double v) { return point_at(z, place(piece, v)); },
        .jet_at = jet_at,
        .place = place,
        .point_at = point_at,
        .slopes_at = slopes_at,
        .rule = [](int, int points) { return gauss_rule(points); },
        .places = places,
    };
  }
};

}  // namespace

const SectionType& hexagon_section() { return Polygon<6>::type("hexagon"); }
const SectionType& octagon_section() { return Polygon<8>::type("octagon"); }
const SectionType& decagon_section() { return Polygon<10>::type("decagon"); }
const SectionType& dodecagon_section() { return Polygon<12>::type("dodecagon"); }
const SectionType& sixteen_sided_section() { return Polygon<16>::type("sixteen-sided"); }

}  // namespace kerfkiln::urn
