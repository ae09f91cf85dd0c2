#include "viewer/render/camera.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace kerfkiln::viewer {
namespace {
constexpr double kHalfFieldTan = 0.26794919243112270;  // tan 15 degrees: little distortion, as a product photograph
constexpr double kNearest = 5, kFarthest = 200000;     // mm
constexpr double kSteepest = std::numbers::pi / 2;
}  // namespace

Vec3 Camera::forward() const {
  return {std::sin(yaw_) * std::cos(pitch_), std::cos(yaw_) * std::cos(pitch_), -std::sin(pitch_)};
}
Vec3 Camera::right() const { return {std::cos(yaw_), -std::sin(yaw_), 0}; }
Vec3 Camera::up() const { return cross(right(), forward()); }
Vec3 Camera::eye() const { return target_ - distance_ * forward(); }
double Camera::height_mm() const { return 2 * distance_ * kHalfFieldTan; }

void Camera::orbit(double dx, double dy) {
  constexpr double rad_per_px = 0.008;
  yaw_ = std::remainder(yaw_ + dx * rad_per_px, 2 * std::numbers::pi);
  pitch_ = std::clamp(pitch_ + dy * rad_per_px, -kSteepest, kSteepest);
}

void Camera::pan(double dx, double dy, double view_height_px) {
  const double mm_per_px = height_mm() / view_height_px;
  target_ = target_ - (dx * mm_per_px) * right() + (dy * mm_per_px) * up();
}

void Camera::zoom(double notches, double x, double y, double aspect) {
  const double before = distance_;
  distance_ = std::clamp(distance_ * std::pow(0.88, notches), kNearest, kFarthest);
  const double shift = (before - distance_) * kHalfFieldTan;
  target_ = target_ + (x * aspect * shift) * right() + (y * shift) * up();
}

void Camera::aim(Aim a) {
  constexpr double quarter = std::numbers::pi / 2;
  switch (a) {
    case Aim::corner:
      yaw_ = -0.6, pitch_ = 0.45;
      break;
    case Aim::front:
      yaw_ = 0, pitch_ = 0;
      break;
    case Aim::back:
      yaw_ = 2 * quarter, pitch_ = 0;
      break;
    case Aim::left:
      yaw_ = quarter, pitch_ = 0;
      break;
    case Aim::right:
      yaw_ = -quarter, pitch_ = 0;
      break;
    case Aim::top:
      yaw_ = 0, pitch_ = quarter;
      break;
    case Aim::under:
      yaw_ = 0, pitch_ = -quarter;
      break;
  }
}

void Camera::fit(Vec3 low, Vec3 high, double aspect) {
  target_ = 0.5 * (low + high);
  // The eight corners must lie inside the pyramid of view, whichever way it points.
  double need = kNearest;
  const double margin = 1.12;
  for (int i = 0; i < 8; ++i) {
    const Vec3 corner{(i & 1) ? high.x : low.x, (i & 2) ? high.y : low.y, (i & 4) ? high.z : low.z};
    const Vec3 d = corner - target_;
    const double across = std::abs(dot(d, right())) / aspect, along = std::abs(dot(d, up()));
    const double toward = parallel ? 0 : -dot(d, forward());
    need = std::max(need, margin * std::max(across, along) / kHalfFieldTan + std::max(0.0, toward));
  }
  distance_ = std::clamp(need, kNearest, kFarthest);
}

Matrix Camera::view() const {
  const Vec3 r = right(), u = up(), f = forward(), e = eye();
  const auto n = [](double x) { return static_cast<float>(x); };
  return {n(r.x), n(u.x), n(-f.x), 0, n(r.y),        n(u.y),        n(-f.y),      0,
          n(r.z), n(u.z), n(-f.z), 0, n(-dot(r, e)), n(-dot(u, e)), n(dot(f, e)), 1};
}

Matrix Camera::projection(double aspect) const {
  const double reach = std::max(4000.0, 2 * distance_);
  Matrix m{};
  if (parallel) {
    const double half = height_mm() / 2, near = distance_ - reach, far = distance_ + reach;
    m[0] = static_cast<float>(1 / (half * aspect));
    m[5] = static_cast<float>(1 / half);
    m[10] = static_cast<float>(-2 / (far - near));
    m[14] = static_cast<float>(-(far + near) / (far - near));
    m[15] = 1;
    return m;
  }
  const double near = distance_ / 50, far = distance_ + reach;
  m[0] = static_cast<float>(1 / (kHalfFieldTan * aspect));
  m[5] = static_cast<float>(1 / kHalfFieldTan);
  m[10] = static_cast<float>(-(far + near) / (far - near));
  m[11] = -1;
  m[14] = static_cast<float>(-2 * far * near / (far - near));
  return m;
}

std::optional<Vec2> Camera::project(Vec3 p, double aspect) const {
  const Vec3 d = p - eye();
  const double depth = parallel ? distance_ : dot(d, forward());
  if (depth <= kNearest / 100) return std::nullopt;
  const double half = depth * kHalfFieldTan;
  return Vec2{dot(d, right()) / (half * aspect), dot(d, up()) / half};
}

}  // namespace kerfkiln::viewer
