// Points and vectors. Coordinates are millimetres throughout the program.
#pragma once
#include <cmath>

namespace kerfkiln {

struct Vec2 {
  double x = 0, y = 0;
  friend constexpr Vec2 operator+(Vec2 a, Vec2 b) { return {a.x + b.x, a.y + b.y}; }
  friend constexpr Vec2 operator-(Vec2 a, Vec2 b) { return {a.x - b.x, a.y - b.y}; }
  friend constexpr Vec2 operator-(Vec2 a) { return {-a.x, -a.y}; }
  friend constexpr Vec2 operator*(double s, Vec2 a) { return {s * a.x, s * a.y}; }
  friend constexpr Vec2 operator*(Vec2 a, double s) { return {s * a.x, s * a.y}; }
  friend constexpr Vec2 operator/(Vec2 a, double s) { return {a.x / s, a.y / s}; }
  friend constexpr bool operator==(Vec2, Vec2) = default;
};
constexpr double dot(Vec2 a, Vec2 b) { return a.x * b.x + a.y * b.y; }
constexpr double cross(Vec2 a, Vec2 b) { return a.x * b.y - a.y * b.x; }
inline double norm(Vec2 a) { return std::sqrt(dot(a, a)); }
constexpr Vec2 left(Vec2 a) { return {-a.y, a.x}; }   // turned by +90 degrees
constexpr Vec2 right(Vec2 a) { return {a.y, -a.x}; }  // turned by -90 degrees
inline Vec2 unit(Vec2 a) { return a / norm(a); }

struct Vec3 {
  double x = 0, y = 0, z = 0;
  friend constexpr Vec3 operator+(Vec3 a, Vec3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
  friend constexpr Vec3 operator-(Vec3 a, Vec3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
  friend constexpr Vec3 operator-(Vec3 a) { return {-a.x, -a.y, -a.z}; }
  friend constexpr Vec3 operator*(double s, Vec3 a) { return {s * a.x, s * a.y, s * a.z}; }
  friend constexpr Vec3 operator*(Vec3 a, double s) { return {s * a.x, s * a.y, s * a.z}; }
  friend constexpr Vec3 operator/(Vec3 a, double s) { return {a.x / s, a.y / s, a.z / s}; }
  friend constexpr bool operator==(Vec3, Vec3) = default;
};
constexpr double dot(Vec3 a, Vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
constexpr Vec3 cross(Vec3 a, Vec3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
inline double norm(Vec3 a) { return std::sqrt(dot(a, a)); }
inline Vec3 unit(Vec3 a) { return a / norm(a); }

}  // namespace kerfkiln
