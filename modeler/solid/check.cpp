#include "modeler/solid/check.hpp"

#include <cmath>
#include <map>
#include <numbers>
#include <string>

#include "modeler/solid/place.hpp"

namespace kerfkiln::solid {
namespace {

constexpr int kPlacesNamed = 3;

// Collects findings, a few of each code, and counts the rest.
class Report {
 public:
  void add(const std::string& code, const std::string& what, Vec3 at) {
    if (++count_[code] > kPlacesNamed) return;
    findings_.push_back({Severity::error, code, "", what + " at " + place_text(at), remedy(code)});
  }
  void add(const std::string& code, const std::string& what) {
    if (++count_[code] > kPlacesNamed) return;
    findings_.push_back({Severity::error, code, "", what, remedy(code)});
  }
  bool empty() const { return findings_.empty(); }
  Findings take() {
    for (const auto& [code, n] : count_) {
      if (n <= kPlacesNamed) continue;
      findings_.push_back({Severity::error, code, "",
                           std::to_string(n - kPlacesNamed) + " further places of the same kind", remedy(code)});
    }
    return std::move(findings_);
  }

 private:
  static std::string remedy(const std::string& code) {
    if (code == "solid.degenerate") return "leave the triangle out and join its neighbours";
    if (code == "solid.open") return "close the surface there";
    if (code == "solid.nonmanifold") return "part the bodies there, or make them overlap";
    return "correct the mesh";
  }
  std::map<std::string, int> count_;
  Findings findings_;
};

bool finite(Vec3 p) { return std::isfinite(p.x) && std::isfinite(p.y) && std::isfinite(p.z); }

void check_triangles(const Mesh& mesh, Report& report) {
  for (const Vec3 p : mesh.points)
    if (!finite(p)) report.add("solid.index", "a point is not finite");
  const std::size_t n = mesh.points.size();
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
    const auto [a, b, c] = mesh.triangles[i];
    if (a >= n || b >= n || c >= n) {
      report.add("solid.index", "triangle " + std::to_string(i) + " names a point that does not exist");
      continue;
    }
    const Vec3 pa = mesh.points[a];
    const Vec3 normal = cross(mesh.points[b] - pa, mesh.points[c] - pa);
    if (a == b || b == c || c == a || (normal.x == 0 && normal.y == 0 && normal.z == 0))
      report.add("solid.degenerate", "triangle " + std::to_string(i) + " without area", pa);
  }
}

std::uint32_t point_of(const Mesh& mesh, std::uint32_t corner) { return mesh.triangles[corner / 3][corner % 3]; }
std::uint32_t next_in(std::uint32_t corner) { return corner % 3 == 2 ? corner - 2 : corner + 1; }
std::uint32_t end_of(const Mesh& mesh, std::uint32_t corner) { return point_of(mesh, next_in(corner)); }

// Pairs each side with its opposite. Sides are counted into buckets by their smaller point, where only a handful meet.
void pair_sides(const Mesh& mesh, Sides& sides, Report& report) {
  const auto corners = static_cast<std::uint32_t>(3 * mesh.triangles.size());
  std::vector<std::uint32_t> first(mesh.points.size() + 1, 0), bucket(corners);
  const auto low = [&](std::uint32_t c) { return std::min(point_of(mesh, c), end_of(mesh, c)); };
  for (std::uint32_t c = 0; c < corners; ++c) ++first[low(c) + 1];
  for (std::size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
  std::vector<std::uint32_t> fill(first.begin(), first.end() - 1);
  for (std::uint32_t c = 0; c < corners; ++c) bucket[fill[low(c)]++] = c;

  sides.opposite.assign(corners, Sides::none);
  std::vector<std::uint32_t> same;
  for (std::size_t v = 0; v + 1 < first.size(); ++v) {
    for (std::uint32_t i = first[v]; i < first[v + 1]; ++i) {
      const std::uint32_t c = bucket[i];
      if (sides.opposite[c] != Sides::none) continue;
      const std::uint32_t from = point_of(mesh, c), to = end_of(mesh, c);
      const std::uint32_t high = std::max(from, to);
      int forward = 0, backward = 0;
      std::uint32_t match = Sides::none;
      bool counted = false;  // by an earlier side of the same edge
      for (std::uint32_t j = first[v]; j < first[v + 1]; ++j) {
        const std::uint32_t d = bucket[j], p = point_of(mesh, d), q = end_of(mesh, d);
        if (std::max(p, q) != high) continue;
        if (j < i) counted = true;
        if (p == from) {
          ++forward;
        } else {
          ++backward;
          match = d;
        }
      }
      if (counted) continue;
      if (forward == 1 && backward == 1) {
        sides.opposite[c] = match;
        sides.opposite[match] = c;
        continue;
      }
      const Vec3 middle = 0.5 * (mesh.points[from] + mesh.points[to]);
      if (forward + backward == 1)
        report.add("solid.open", "an edge with one triangle only", middle);
      else
        report.add("solid.nonmanifold",
                   "an edge with " + std::to_string(forward) + " triangles one way and " + std::to_string(backward) +
                       " the other",
                   middle);
    }
  }
}

// Each point's corners must form one fan around it.
void check_fans(const Mesh& mesh, const Sides& sides, Report& report) {
  std::vector<std::uint32_t> degree(mesh.points.size(), 0);
  const auto corners = static_cast<std::uint32_t>(sides.opposite.size());
  for (std::uint32_t c = 0; c < corners; ++c) ++degree[point_of(mesh, c)];
  std::vector<char> seen(mesh.points.size(), 0);
  for (std::uint32_t c = 0; c < corners; ++c) {
    const std::uint32_t v = point_of(mesh, c);
    if (seen[v]) continue;
    seen[v] = 1;
    std::uint32_t turn = c, steps = 0;
    do {
      turn = next_in(sides.opposite[turn]);
      ++steps;
    } while (turn != c);
    if (steps != degree[v]) report.add("solid.nonmanifold", "a point where the surface touches itself", mesh.points[v]);
  }
}

}  // namespace

Findings check_closed(const Mesh& mesh) {
  Sides sides;
  return check_closed(mesh, sides);
}

Findings check_closed(const Mesh& mesh, Sides& sides) {
  Report report;
  if (mesh.triangles.empty()) {
    report.add("solid.open", "a mesh without triangles");
    return report.take();
  }
  check_triangles(mesh, report);
  if (!report.empty()) return report.take();
  pair_sides(mesh, sides, report);
  if (!report.empty()) return report.take();
  check_fans(mesh, sides, report);
  return report.take();
}

Shells shells(const Mesh& mesh, const Sides& sides) {
  constexpr std::uint32_t unseen = 0xffffffffu;
  Shells out;
  out.of_triangle.assign(mesh.triangles.size(), unseen);
  std::vector<std::uint32_t> stack;
  for (std::uint32_t seed = 0; seed < mesh.triangles.size(); ++seed) {
    if (out.of_triangle[seed] != unseen) continue;
    stack.push_back(seed);
    out.of_triangle[seed] = out.count;
    while (!stack.empty()) {
      const std::uint32_t t = stack.back();
      stack.pop_back();
      for (std::uint32_t k = 0; k < 3; ++k) {
        const std::uint32_t other = sides.opposite[3 * t + k] / 3;
        if (out.of_triangle[other] != unseen) continue;
        out.of_triangle[other] = out.count;
        stack.push_back(other);
      }
    }
    ++out.count;
  }
  return out;
}

int winding(const Mesh& mesh, Vec3 p) {
  double sum = 0;
  for (const Triangle& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]] - p, b = mesh.points[t[1]] - p, c = mesh.points[t[2]] - p;
    const double la = norm(a), lb = norm(b), lc = norm(c);
    // Solid angle of a triangle (van Oosterom and Strackee 1983).
    sum += 2 * std::atan2(dot(a, cross(b, c)), la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb);
  }
  return static_cast<int>(std::lround(sum / (4 * std::numbers::pi)));
}

}  // namespace kerfkiln::solid
