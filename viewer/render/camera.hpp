// Where the maker looks from. Orbit about a target, z up; right-handed; the front of a piece faces -y.
#pragma once
#include <array>
#include <optional>
#include <string>

#include "modeler/base/vec.hpp"

namespace kerfkiln::viewer {

using Matrix = std::array<float, 16>;  // column-major, as OpenGL reads it

enum class Aim { corner, front, back, left, right, top, under };

class Camera {
 public:
  // Pixels of the drag; right and down positive.
  void orbit(double dx, double dy);
  void pan(double dx, double dy, double view_height_px);
  // Notches of a wheel, forward positive; keeps the point under (x, y) where it is. x, y in -1 ... 1, y up.
  void zoom(double notches, double x, double y, double aspect);
  void aim(Aim);
  // The box fills the view; direction kept.
  void fit(Vec3 low, Vec3 high, double aspect);

  bool parallel = false;  // parallel projection: sizes compare across the whole picture

  Matrix view() const;
  Matrix projection(double aspect) const;
  Vec3 forward() const;  // unit, into the picture
  Vec3 right() const;
  Vec3 up() const;
  Vec3 eye() const;
  Vec3 target() const { return target_; }
  double distance() const { return distance_; }
  // Height of the picture at the target, mm.
  double height_mm() const;
  // To -1 ... 1 (y up), nothing for points behind the eye.
  std::optional<Vec2> project(Vec3, double aspect) const;
  friend bool operator==(const Camera&, const Camera&) = default;

 private:
  Vec3 target_{0, 0, 0};
  double distance_ = 1000;
  double yaw_ = -0.6, pitch_ = 0.45;  // rad; yaw 0 looks along +y
};

}  // namespace kerfkiln::viewer
