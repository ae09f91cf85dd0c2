// Half sides a, b with corner radius r: half a flat, an arc, half a flat in each quadrant, exactly. a = b = r is a
// circle.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/urn/section/second_order.hpp"
#include "modeler/urn/section/section_list.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kRight = std::numbers::pi / 2;

// Everything is linear in (a, b, r): the same combination serves value and rates.
Vec2 combine(const SectionSize& z, int piece, double v, Vec2 turn) {
  const double a = z.half_width, b = z.half_depth, r = z.shape;
  if (piece == 0) return {a, v * (b - r)};
  if (piece == 2) return {(1 - v) * (a - r), b};
  return {a - r + r * turn.x, b - r + r * turn.y};
}

Vec2 unit_turn(double v) {
  if (v == 0) return {1, 0};
  if (v == 1) return {0, 1};
  return {std::cos(kRight * v), std::sin(kRight * v)};
}

Vec2 along(const SectionSize& z, int piece, Vec2 turn) {  // derivative along v
  if (piece == 0) return {0, z.half_depth - z.shape};
  if (piece == 2) return {-(z.half_width - z.shape), 0};
  return kRight * z.shape * Vec2{-turn.y, turn.x};
}

// The crown of the flats across x (piece 0) or y (piece 2): 1 - r/b or 1 - r/a of the bow.
SecondOrder crown(const SectionSize& z, const SectionSize& r, const SectionSize& r2, int piece) {
  const SecondOrder side = piece == 0 ? SecondOrder{z.half_depth, r.half_depth, r2.half_depth}
                                      : SecondOrder{z.half_width, r.half_width, r2.half_width};
  return SecondOrder{z.bow, r.bow, r2.bow} * ((side - SecondOrder{z.shape, r.shape, r2.shape}) / side);
}

Vec2 bowed(Vec2 p, const SectionSize& z, int piece, double v) {
  if (z.bow == 0 || piece == 1) return p;
  if (piece == 0) return {p.x + z.bow * (1 - z.shape / z.half_depth) * strip_sag(v).f, p.y};
  return {p.x, p.y + z.bow * (1 - z.shape / z.half_width) * strip_sag(1 - v).f};
}

void add_crown(const SectionSize& z, const SectionSize& r, const SectionSize& r2, int piece, double v, SectionJet& j) {
  if (piece == 1 || (z.bow == 0 && r.bow == 0 && r2.bow == 0)) return;
  const SecondOrder c = crown(z, r, r2, piece), s = strip_sag(piece == 0 ? v : 1 - v);
  const Vec2 out = piece == 0 ? Vec2{1, 0} : Vec2{0, 1};
  const double sign = piece == 0 ? 1 : -1;
  j.p = j.p + c.f * s.f * out;
  j.p_t = j.p_t + c.d * s.f * out;
  j.p_tt = j.p_tt + c.dd * s.f * out;
  j.p_v = j.p_v + sign * c.f * s.d * out;
  j.p_tv = j.p_tv + sign * c.d * s.d * out;
  j.p_vv = c.f * s.dd * out;
}

double flatness(const SectionSize& z) { return 1 - z.shape / std::max(z.half_width, z.half_depth); }

SectionJet jet_at(const SectionSize& z, const SectionSize& r, const SectionSize& r2, const SectionPlace& q) {
  const auto [piece, v] = std::pair{q.piece, q.v};
  const Vec2 turn = piece == 1 ? Vec2{q.c, q.s} : Vec2{};
  SectionJet j;
  j.p = combine(z, piece, v, turn);
  j.p_t = combine(r, piece, v, turn);
  j.p_tt = combine(r2, piece, v, turn);
  j.p_v = along(z, piece, turn);
  j.p_tv = along(r, piece, turn);
  j.p_vv = piece == 1 ? -kRight * kRight * z.shape * turn : Vec2{};
  add_crown(z, r, r2, piece, v, j);
  return j;
}

std::vector<double> places(const SectionType&, std::span<const SectionSize> sizes, int piece, double deviation) {
  return piece == 1 ? arc_places(sizes, kRight, deviation) : flat_places(sizes, 1, deviation);
}

double area(const SectionSize& z) {
  const double a = z.half_width, b = z.half_depth, r = z.shape;
  const double crowns = 4 * kSagMean * z.bow * ((b - r) * (b - r) / b + (a - r) * (a - r) / a);
  return 4 * a * b - (4 - std::numbers::pi) * r * r + crowns;
}

}  // namespace

const SectionType& rounded_rectangle_section() {
  static const SectionType type{
      .id = "rounded rectangle",
      .shape_key = "corner_radius",
      .pieces = 3,
      .shape_is_length = true,
      .depth_factor = 0,
      .smallest_shape = [](double, double) { return 0.0; },
      .largest_shape = [](double a, double b) { return std::min(a, b); },
      .default_shape = [](double a, double b) { return std::min(a, b); },
      .is_round = [](const SectionSize& z) { return z.half_width == z.half_depth && z.shape == z.half_width; },
      .flatness = flatness,
      .area = area,
      .perimeter =
          [](const SectionSize& z) {
            if (z.bow != 0) return perimeter_by_rule(rounded_rectangle_section(), z);
            return 4 * (z.half_width + z.half_depth) - (8 - 2 * std::numbers::pi) * z.shape;
          },
      .point = [](const SectionSize& z, int piece,
                  double v) { return bowed(combine(z, piece, v, piece == 1 ? unit_turn(v) : Vec2{}), z, piece, v); },
      .jet_at = jet_at,
      .place =
          [](int piece, double v) {
            const Vec2 turn = piece == 1 ? unit_turn(v) : Vec2{};
            return SectionPlace{piece, v, turn.x, turn.y, 0, 0};
          },
      .point_at =
          [](const SectionSize& z, const SectionPlace& q) {
            return bowed(combine(z, q.piece, q.v, {q.c, q.s}), z, q.piece, q.v);
          },
      .slopes_at =
          [](const SectionSize& z, const SectionSize& r, const SectionPlace& q) {
            SectionJet j;
            j.p = combine(z, q.piece, q.v, {q.c, q.s});
            j.p_t = combine(r, q.piece, q.v, {q.c, q.s});
            j.p_v = along(z, q.piece, {q.c, q.s});
            add_crown(z, r, {}, q.piece, q.v, j);
            return j;
          },
      .rule = [](int, int points) { return gauss_rule(points); },
      .places = places,
  };
  return type;
}

}  // namespace kerfkiln::urn
