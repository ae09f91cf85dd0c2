// |x/a|^n + |y/b|^n = 1, by the polar angle of the unit curve: x = a c/L^(1/n), y = b s/L^(1/n), L = c^n + s^n, with
// (c, s) on the unit circle. Two pieces a quadrant, 0 ... 45 and 45 ... 90 degrees: the axes are where derivatives of
// a general exponent break, the diagonal is where a large exponent turns.
#include <algorithm>
#include <array>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <numbers>

#include "modeler/numeric/gauss.hpp"
#include "modeler/urn/section/second_order.hpp"
#include "modeler/urn/section/section_list.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kQuarter = std::numbers::pi / 4;

// c, s, c_log, s_log: the logs of 0 are -inf, always multiplied by the matching power, see power_log.
SectionPlace place(int piece, double v) {
  // From the nearer axis, so that the axes are met exactly.
  const double a = kQuarter * (piece == 0 ? v : 1 - v);
  const double big = std::cos(a), small = a == 0 ? 0 : std::sin(a);
  const double big_log = std::log(big), small_log = std::log(small);
  if (piece == 0) return {piece, v, big, small, big_log, small_log};
  return {piece, v, small, big, small_log, big_log};
}

double power_log(double power, double log) { return power == 0 ? 0 : power * log; }

// Unit curve C = c G, S = s G with G = L^(-1/n), and its derivatives along the angle and the exponent.
struct UnitJet {
  Vec2 p, p_a, p_n, p_aa, p_an, p_nn;
};

UnitJet unit_jet(double n, const SectionPlace& q) {
  const double c = q.c, s = q.s;
  if (n == 2) {
    // A circle in the angle; along n by the general formulas with powers that are products.
    const double a = c * c, b = s * s;
    const double ln = power_log(a, q.c_log) + power_log(b, q.s_log);
    const double lnn = power_log(a, q.c_log) * (a == 0 ? 0 : q.c_log) + power_log(b, q.s_log) * (b == 0 ? 0 : q.s_log);
    const double g_n = -0.5 * ln, g_nn = 0.5 * ln - 0.5 * lnn + 0.5 * ln * ln;
    const double cs_log = c == 0 || s == 0 ? 0 : c * s * (q.c_log - q.s_log);
    const double rate = g_nn + g_n * g_n;
    return {{c, s},
            {-s, c},
            {c * g_n, s * g_n},
            {-c, -s},
            {-s * g_n + c * cs_log, c * g_n + s * cs_log},
            {c * rate, s * rate}};
  }
  // Everything over the larger power, which cancels: an exponential fewer, and no underflow at any exponent.
  const bool first = q.c_log >= q.s_log;
  const double most = first ? q.c_log : q.s_log, small = std::exp(n * ((first ? q.s_log : q.c_log) - most));
  const double a = first ? 1 : small, b = first ? small : 1, l = 1 + small, rest = std::log(l);
  const double l_log = n * most + rest, g = std::exp(-rest / n) / (first ? c : s);
  // c^(n-1) s, s^(n-1) c: at an axis both vanish for n > 1; at n = 1 the corner stands on the axis and the one-sided
  // value of the piece is taken.
  const double ca = c == 0 ? 0 : a / c, sb = s == 0 ? (n == 1 ? 1 : 0) : b / s;
  const double ca1 = c == 0 && n == 1 ? 1 : ca;
  const double d = ca1 * s - sb * c;
  const double c2 = c == 0 ? (n == 2 ? 1 : 0) : ca / c, s2 = s == 0 ? (n == 2 ? 1 : 0) : sb / s;
  const double d_a = a + b - (n - 1) * (c2 * s * s + s2 * c * c);
  const double l_n = power_log(a, q.c_log) + power_log(b, q.s_log);
  const double l_nn = power_log(a, q.c_log) * (a == 0 ? 0 : q.c_log) + power_log(b, q.s_log) * (b == 0 ? 0 : q.s_log);
  const double d_n = power_log(ca, q.c_log) * s - power_log(s == 0 ? 0 : sb, q.s_log) * c;
  const double g_a = d / l, g_aa = d_a / l + n * d * d / (l * l);
  const double g_n = l_log / (n * n) - l_n / (n * l);
  const double g_an = d_n / l - d * l_n / (l * l);
  const double g_nn = -2 * l_log / (n * n * n) + 2 * l_n / (n * n * l) - l_nn / (n * l) + l_n * l_n / (n * l * l);
  const double aa = g_aa + g_a * g_a, an = g_an + g_a * g_n, nn = g_nn + g_n * g_n;
  return {{c * g, s * g},
          {g * (-s + c * g_a), g * (c + s * g_a)},
          {g * c * g_n, g * s * g_n},
          {g * (-c - 2 * s * g_a + c * aa), g * (-s + 2 * c * g_a + s * aa)},
          {g * (-s * g_n + c * an), g * (c * g_n + s * an)},
          {g * c * nn, g * s * nn}};
}

// |cos|^n + |sin|^n with the larger power taken out: two exponentials fewer, and no underflow at any exponent.
struct PowerSum {
  double a, b;       // the powers over the larger one: 1 and `small`, or the other way round
  double sum, root;  // a + b; (|cos|^n + |sin|^n)^(-1/n)
  double log_root;   // -log(root)
};
PowerSum power_sum(double n, const SectionPlace& q) {
  const bool first = q.c_log >= q.s_log;
  const double small = std::exp(n * (first ? q.s_log - q.c_log : q.c_log - q.s_log));
  const double part = std::log(1 + small) / n;
  return {first ? 1 : small, first ? small : 1, 1 + small, std::exp(-part) / (first ? q.c : q.s),
          (first ? q.c_log : q.s_log) + part};
}

// Nothing is flat up to the ellipse; then the share of the flats grows as the corners tighten.
double flatness(const SectionSize& z) { return z.shape > 2 ? 1 - 2 / z.shape : 0; }

// The crown: piece 0 is bowed along x, piece 1 along y, each from its axis to nothing on the diagonal.
SecondOrder crown(const SectionSize& z, const SectionSize& r, const SectionSize& r2) {
  if (!(z.shape > 2)) return {};
  const SecondOrder n{z.shape, r.shape, r2.shape};
  return SecondOrder{z.bow, r.bow, r2.bow} * ((n - SecondOrder{2, 0, 0}) / n);
}

void add_crown(const SectionSize& z, const SectionSize& r, const SectionSize& r2, int piece, double v, SectionJet& j) {
  if (z.bow == 0 && r.bow == 0 && r2.bow == 0) return;
  const SecondOrder c = crown(z, r, r2), s = strip_sag(piece == 0 ? v : 1 - v);
  const Vec2 out = piece == 0 ? Vec2{1, 0} : Vec2{0, 1};
  const double sign = piece == 0 ? 1 : -1;
  j.p = j.p + c.f * s.f * out;
  j.p_t = j.p_t + c.d * s.f * out;
  j.p_tt = j.p_tt + c.dd * s.f * out;
  j.p_v = j.p_v + sign * c.f * s.d * out;
  j.p_tv = j.p_tv + sign * c.d * s.d * out;
  j.p_vv = j.p_vv + c.f * s.dd * out;
}

Vec2 point_at(const SectionSize& z, const SectionPlace& q) {
  if (z.shape == 2) return {z.half_width * q.c, z.half_depth * q.s};
  const double g = power_sum(z.shape, q).root;
  const Vec2 p{z.half_width * q.c * g, z.half_depth * q.s * g};
  if (z.bow == 0) return p;
  const double c = z.bow * flatness(z) * strip_sag(q.piece == 0 ? q.v : 1 - q.v).f;
  return q.piece == 0 ? Vec2{p.x + c, p.y} : Vec2{p.x, p.y + c};
}

// The first derivatives of unit_jet without the second ones.
SectionJet slopes_at(const SectionSize& z, const SectionSize& r, const SectionPlace& q) {
  const double n = z.shape, c = q.c, s = q.s;
  const PowerSum p = power_sum(n, q);
  const double g = p.root;
  const double ca = c == 0 ? (n == 1 ? 1 : 0) : p.a / c, sb = s == 0 ? (n == 1 ? 1 : 0) : p.b / s;
  const double g_a = (ca * s - sb * c) / p.sum;
  const double l_n = power_log(p.a, q.c_log) + power_log(p.b, q.s_log);
  const double g_n = (p.log_root - l_n / p.sum) / n * r.shape;
  SectionJet j;
  j.p = {z.half_width * c * g, z.half_depth * s * g};
  j.p_t = {c * g * (r.half_width + z.half_width * g_n), s * g * (r.half_depth + z.half_depth * g_n)};
  j.p_v = kQuarter * g * Vec2{z.half_width * (-s + c * g_a), z.half_depth * (c + s * g_a)};
  add_crown(z, r, {}, q.piece, q.v, j);
  return j;
}

SectionJet jet_at(const SectionSize& z, const SectionSize& r, const SectionSize& r2, const SectionPlace& q) {
  const UnitJet u = unit_jet(z.shape, q);
  auto along = [](double size, double rate, double rate2, double n_t, double n_tt, double p, double p_n, double p_nn,
                  double& t, double& tt) {
    t = rate * p + size * p_n * n_t;
    tt = rate2 * p + 2 * rate * p_n * n_t + size * (p_nn * n_t * n_t + p_n * n_tt);
  };
  SectionJet j;
  const double a = z.half_width, b = z.half_depth;
  j.p = {a * u.p.x, b * u.p.y};
  along(a, r.half_width, r2.half_width, r.shape, r2.shape, u.p.x, u.p_n.x, u.p_nn.x, j.p_t.x, j.p_tt.x);
  along(b, r.half_depth, r2.half_depth, r.shape, r2.shape, u.p.y, u.p_n.y, u.p_nn.y, j.p_t.y, j.p_tt.y);
  j.p_v = kQuarter * Vec2{a * u.p_a.x, b * u.p_a.y};
  j.p_vv = kQuarter * kQuarter * Vec2{a * u.p_aa.x, b * u.p_aa.y};
  j.p_tv =
      kQuarter * Vec2{r.half_width * u.p_a.x + a * u.p_an.x * r.shape, r.half_depth * u.p_a.y + b * u.p_an.y * r.shape};
  add_crown(z, r, r2, q.piece, q.v, j);
  return j;
}

double plain_area(const SectionSize& z) {
  if (z.shape == 2) return std::numbers::pi * z.half_width * z.half_depth;
  const double n = z.shape, g = boost::math::tgamma(1 + 1 / n);
  return 4 * z.half_width * z.half_depth * g * g / boost::math::tgamma(1 + 2 / n);
}

// v = w^3 from the axis keeps the power-law start at the axis smooth in w; shorter panels towards the diagonal follow
// the turn of a large exponent.
std::vector<GaussNode> graded(int piece, int points) {
  std::vector<GaussNode> nodes;
  const double cuts[] = {0, 0.5, 0.8, 1};
  for (int k = 0; k < 3; ++k)
    for (const GaussNode& g : gauss_rule(points)) {
      const double w = cuts[k] + (cuts[k + 1] - cuts[k]) * g.at, v = w * w * w;
      nodes.push_back({piece == 0 ? v : 1 - v, g.weight * (cuts[k + 1] - cuts[k]) * 3 * w * w});
    }
  return nodes;
}

std::span<const GaussNode> rule(int piece, int points) {
  static const std::array<std::vector<GaussNode>, 8> kept{graded(0, 10), graded(0, 14), graded(0, 20), graded(0, 30),
                                                          graded(1, 10), graded(1, 14), graded(1, 20), graded(1, 30)};
  return kept[static_cast<std::size_t>(4 * piece + (points <= 10 ? 0 : points <= 14 ? 1 : points <= 20 ? 2 : 3))];
}

double area(const SectionSize& z) {
  const double plain = plain_area(z), crown = z.bow * flatness(z);
  if (crown == 0) return plain;
  // Green: the crown moves piece 0 along x alone, piece 1 along y alone.
  double sum = 0;
  for (int piece = 0; piece < 2; ++piece)
    for (const GaussNode& g : rule(piece, 30)) {
      const UnitJet u = unit_jet(z.shape, place(piece, g.at));
      sum += g.weight * (piece == 0 ? strip_sag(g.at).f * z.half_depth * u.p_a.y
                                    : -strip_sag(1 - g.at).f * z.half_width * u.p_a.x);
    }
  return plain + 4 * kQuarter * crown * sum;
}

double perimeter(const SectionSize& z) {
  if (z.bow != 0) return perimeter_by_rule(superellipse_section(), z);
  if (z.shape == 2 && z.half_width == z.half_depth) return 2 * std::numbers::pi * z.half_width;
  double sum = 0;
  for (int piece = 0; piece < 2; ++piece)
    for (const GaussNode& g : rule(piece, 30)) {
      const UnitJet u = unit_jet(z.shape, place(piece, g.at));
      sum += g.weight * std::hypot(z.half_width * u.p_a.x, z.half_depth * u.p_a.y);
    }
  return 4 * kQuarter * sum;
}

bool is_round(const SectionSize& z) { return z.shape == 2 && z.half_width == z.half_depth; }

}  // namespace

const SectionType& superellipse_section() {
  static const SectionType type{
      .id = "superellipse",
      .shape_key = "squareness",
      .pieces = 2,
      .shape_is_length = false,
      .depth_factor = 0,
      .smallest_shape = [](double, double) { return 1.0; },
      .largest_shape = [](double, double) { return kLargestSquareness; },
      .default_shape = [](double, double) { return 2.0; },
      .is_round = is_round,
      .flatness = flatness,
      .area = area,
      .perimeter = perimeter,
      .point = [](const SectionSize& z, int piece, double v) { return point_at(z, place(piece, v)); },
      .jet_at = jet_at,
      .place = place,
      .point_at = point_at,
      .slopes_at = slopes_at,
      .rule = rule,
      .places = places_by_curvature,
  };
  return type;
}

}  // namespace kerfkiln::urn
