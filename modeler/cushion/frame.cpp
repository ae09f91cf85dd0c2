#include "modeler/cushion/frame.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {
namespace {

// Unknowns: x of the front right corner, then the back right and the back left corner.
using Unknowns = Eigen::Matrix<double, 5, 1>;
using Residuals = Eigen::Matrix<double, 6, 1>;
using Slopes = Eigen::Matrix<double, 6, 5>;

constexpr std::array<std::array<std::size_t, 2>, 6> kEnds{{{0, 1}, {1, 2}, {2, 3}, {3, 0}, {0, 2}, {1, 3}}};

std::array<Vec2, 4> corners_of(const Unknowns& u) { return {Vec2{0, 0}, {u[0], 0}, {u[1], u[2]}, {u[3], u[4]}}; }

Residuals residuals(const Unknowns& u, const FrameMeasures& m) {
  const std::array<Vec2, 4> c = corners_of(u);
  Residuals r;
  for (std::size_t i = 0; i < 6; ++i) r[static_cast<int>(i)] = norm(c[kEnds[i][1]] - c[kEnds[i][0]]) - m[i];
  return r;
}

Slopes slopes(const Unknowns& u) {
  const std::array<Vec2, 4> c = corners_of(u);
  // Column of x (and y one later) of each corner; the front left one stays, the front right one has no y.
  constexpr std::array<int, 4> kColumn{-1, 0, 1, 3};
  Slopes j = Slopes::Zero();
  for (std::size_t i = 0; i < 6; ++i) {
    const Vec2 d = c[kEnds[i][1]] - c[kEnds[i][0]];
    const double length = norm(d);
    if (length == 0) continue;
    for (const int end : {0, 1}) {
      const std::size_t corner = kEnds[i][static_cast<std::size_t>(end)];
      const double sign = end == 1 ? 1 / length : -1 / length;
      if (corner == 0) continue;
      j(static_cast<int>(i), kColumn[corner]) += sign * d.x;
      if (corner != 1) j(static_cast<int>(i), kColumn[corner] + 1) += sign * d.y;
    }
  }
  return j;
}

// The point at distance p from the origin and q from (base, 0), above the base; as near as it gets where the circles
// miss.
Vec2 apex(double base, double p, double q) {
  const double x = std::clamp((p * p - q * q + base * base) / (2 * base), -p, p);
  return {x, std::sqrt(std::max(0.0, p * p - x * x))};
}

Unknowns start(const FrameMeasures& m) {
  const Vec2 back_right = apex(m[0], m[4], m[1]), back_left = apex(m[0], m[3], m[5]);
  Unknowns u;
  u << m[0], back_right.x, std::max(back_right.y, 0.1 * m[1]), back_left.x, std::max(back_left.y, 0.1 * m[3]);
  return u;
}

Unknowns solved(const FrameMeasures& m) {
  constexpr int kMostSteps = 200;
  Unknowns u = start(m);
  double damping = 1e-3, cost = residuals(u, m).squaredNorm();
  for (int step = 0; step < kMostSteps; ++step) {
    const Slopes j = slopes(u);
    const Residuals r = residuals(u, m);
    const Eigen::Matrix<double, 5, 5> normal = j.transpose() * j;
    Eigen::Matrix<double, 5, 5> damped = normal;
    for (int i = 0; i < 5; ++i) damped(i, i) += damping * (normal(i, i) + 1e-12);
    const Unknowns move = damped.ldlt().solve(-j.transpose() * r);
    const double next = residuals(u + move, m).squaredNorm();
    if (!(next <= cost)) {
      damping *= 8;
      if (damping > 1e12) break;
      continue;
    }
    u += move;
    cost = next;
    damping *= 0.1;
    if (move.norm() < 1e-13 * u.norm()) break;
  }
  return u;
}

}  // namespace

Result<FrameFit> fitted_frame(const FrameMeasures& m) {
  const Unknowns u = solved(m);
  FrameFit fit;
  fit.corners = corners_of(u);
  const Residuals r = residuals(u, m);
  for (std::size_t i = 0; i < 6; ++i) {
    fit.residual[i] = r[static_cast<int>(i)];
    fit.worst_mm = std::max(fit.worst_mm, std::abs(fit.residual[i]));
  }
  bool convex = true;
  for (std::size_t i = 0; i < 4; ++i) {
    const Vec2 to_next = fit.corners[(i + 1) % 4] - fit.corners[i], to_last = fit.corners[(i + 3) % 4] - fit.corners[i];
    fit.angle_rad[i] = std::atan2(cross(to_next, to_last), dot(to_next, to_last));
    convex = convex && fit.angle_rad[i] > 0;
    const double off = std::abs(fit.angle_rad[i] - std::numbers::pi / 2);
    if (off <= fit.out_of_square_rad) continue;
    fit.out_of_square_rad = off;
    fit.out_of_square_mm = std::min(norm(to_next), norm(to_last)) * std::sin(off);
  }
  const double most = 0.1 * *std::min_element(m.begin(), m.begin() + 4);
  if (convex && fit.worst_mm <= most) return fit;
  return error("frame.impossible", "",
               convex ? "the measures of the frame contradict each other by " + mm_text(fit.worst_mm) +
                            "; permitted is " + mm_text(most) + ", a tenth of the shortest side"
                      : std::string("no convex frame has these sides and diagonals"),
               "measure sides and diagonals again, all to the same corners");
}

}  // namespace kerfkiln::cushion
