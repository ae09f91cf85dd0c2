// Half sides a, b with corner radius r: half a flat, an arc, half a flat in each quadrant, exactly. a = b = r is a
// circle.
#include <algorithm>
#include <cmath>
#include <numbers>

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

SectionJet jet(const SectionSize& z, const SectionSize& r, const SectionSize& r2, int piece, double v) {
  const Vec2 turn = piece == 1 ? unit_turn(v) : Vec2{};
  SectionJet j;
  j.p = combine(z, piece, v, turn);
  j.p_t = combine(r, piece, v, turn);
  j.p_tt = combine(r2, piece, v, turn);
  j.p_v = along(z, piece, turn);
  j.p_tv = along(r, piece, turn);
  j.p_vv = piece == 1 ? -kRight * kRight * z.shape * turn : Vec2{};
  return j;
}

std::vector<double> places(const SectionType&, std::span<const SectionSize> sizes, int piece, double deviation) {
  if (piece != 1) return {0, 1};
  double radius = 0;
  for (const SectionSize& z : sizes) radius = std::max(radius, z.shape);
  if (radius <= deviation) return {0, 1};
  const int n = std::max(2, static_cast<int>(std::ceil(kRight / (2 * std::acos(1 - deviation / radius)))));
  std::vector<double> v(static_cast<std::size_t>(n) + 1);
  for (int i = 0; i <= n; ++i) v[static_cast<std::size_t>(i)] = static_cast<double>(i) / n;
  return v;
}

}  // namespace

const SectionType& rounded_rectangle_section() {
  static const SectionType type{
      .id = "rounded rectangle",
      .shape_key = "corner_radius",
      .pieces = 3,
      .shape_is_length = true,
      .smallest_shape = [](double, double) { return 0.0; },
      .largest_shape = [](double a, double b) { return std::min(a, b); },
      .default_shape = [](double a, double b) { return std::min(a, b); },
      .is_round = [](const SectionSize& z) { return z.half_width == z.half_depth && z.shape == z.half_width; },
      .area =
          [](const SectionSize& z) {
            return 4 * z.half_width * z.half_depth - (4 - std::numbers::pi) * z.shape * z.shape;
          },
      .perimeter =
          [](const SectionSize& z) { return 4 * (z.half_width + z.half_depth) - (8 - 2 * std::numbers::pi) * z.shape; },
      .point = [](const SectionSize& z, int piece,
                  double v) { return combine(z, piece, v, piece == 1 ? unit_turn(v) : Vec2{}); },
      .jet = jet,
      .place =
          [](int piece, double v) {
            const Vec2 turn = piece == 1 ? unit_turn(v) : Vec2{};
            return SectionPlace{piece, v, turn.x, turn.y, 0, 0};
          },
      .point_at =
          [](const SectionSize& z, const SectionPlace& q) {
            return combine(z, q.piece, q.v, {q.c, q.s});
          },
      .slopes_at =
          [](const SectionSize& z, const SectionSize& r, const SectionPlace& q) {
            SectionJet j;
            j.p = combine(z, q.piece, q.v, {q.c, q.s});
            j.p_t = combine(r, q.piece, q.v, {q.c, q.s});
            j.p_v = along(z, q.piece, {q.c, q.s});
            return j;
          },
      .rule = [](int, int points) { return gauss_rule(points); },
      .places = places,
  };
  return type;
}

}  // namespace kerfkiln::urn
