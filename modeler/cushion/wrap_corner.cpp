#include "modeler/cushion/wrap_corner.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/wrap_cut.hpp"

namespace kerfkiln::cushion {
namespace {

// Length of the rim of a corner with radius R and turn P, offset by x; mitred flaps run straight on.
double corner_length(double radius, double turn, double x, bool mitred) {
  const double r = radius + x;
  return mitred || r < 0 ? 2 * r * std::tan(turn / 2) : turn * r;
}

struct Ray {
  Vec2 at, along;
};
// The vertex is the origin.
Ray ray(Vec2 tangent, double radius, double n, double u) {
  const Vec2 out = right(tangent);
  if (radius == 0) return {u * tangent + n * out, tangent};
  const double r = radius + n, angle = std::abs(r) > 1e-9 ? u / r : 0, c = std::cos(angle), s = std::sin(angle);
  const Vec2 spoke{c * out.x - s * out.y, s * out.x + c * out.y};
  return {r * spoke - radius * out, left(spoke)};
}

}  // namespace

double signed_radius(const plane::Segment& s) { return s.is_line() ? 0 : std::copysign(s.radius(), s.bulge); }

Meeting::Meeting(const plane::Segment& a, const plane::Segment& b)
    : ta_(a.tangent(1)),
      tb_(b.tangent(0)),
      ra_(signed_radius(a)),
      rb_(signed_radius(b)),
      turn_(std::atan2(cross(ta_, tb_), dot(ta_, tb_))) {}

Meeting::Lengths Meeting::at(double na, double nb) const {
  const double sine = std::sin(turn_), cosine = std::cos(turn_);
  Lengths l{(nb - na * cosine) / sine, (na - nb * cosine) / sine};
  if (ra_ == 0 && rb_ == 0) return l;
  // Newton's method from the meeting of the tangents' parallels.
  for (int i = 0; i < 20; ++i) {
    const Ray p = ray(ta_, ra_, na, l.first), q = ray(tb_, rb_, nb, -l.second);
    const Vec2 gap = q.at - p.at;
    const double det = cross(p.along, q.along);
    if (std::abs(det) < 1e-6) break;
    const double da = cross(gap, q.along) / det, db = cross(gap, p.along) / det;
    l.first += da;
    l.second -= db;
    if (std::abs(da) + std::abs(db) < 1e-11) break;
  }
  return l;
}

Corner sharp_corner(const WrapSection& a, const WrapSection& b, const Meeting& meeting) {
  Corner c;
  const double turn = meeting.turn();
  // Of one's end where this lies at `own` and the other at `other`.
  const auto beyond = [&](bool first, double own, double other) {
    return first ? meeting.at(own, other).first : meeting.at(other, own).second;
  };
  if (turn > 0) {
    const double common = std::min(a.z_end(), b.z_end());
    const auto end = [&](bool first, const WrapSection& own, const WrapSection& other, std::size_t& joined) {
      std::vector<double> levels{0};
      for (const WrapSection* w : {&own, &other})
        for (const WrapSection::Point& p : w->points)
          if (p.z > 0 && p.z <= own.z_end()) levels.push_back(p.z);
      levels.push_back(own.z_end());
      std::sort(levels.begin(), levels.end());
      std::vector<FlapPoint> out;
      const auto put = [&](double z, double other_n) {
        const WrapSection::Point p = own.at_level(z);
        const FlapPoint q{beyond(first, p.n, other_n), p.s - own.start_mm, p.n};
        if (out.empty() || std::abs(q.u - out.back().u) + std::abs(q.nu - out.back().nu) > kSamePatternMm)
          out.push_back(q);
        if (z <= common + 1e-9) joined = out.size();
      };
      double last = -1;
      for (const double z : levels) {
        if (z - last < 1e-9 && last >= 0) continue;
        put(z, other.at_level(z).n);
        // Below the other's end this flap meets what lies there.
        if (std::abs(z - other.z_end()) < 1e-9 && other.beyond_n != other.n_end() && z > 0 && z < own.z_end() - 1e-9)
          put(z + 2e-9, other.beyond_n);
        last = z;
      }
      return out;
    };
    c.first = end(true, a, b, c.joined_first);
    c.second = end(false, b, a, c.joined_second);
    c.cut = c.first.size() > 1 && c.second.size() > 1;
    return c;
  }
  // Concave: both flaps end where their outer edges meet; the slit runs from the corner of the face to there.
  const double ea = a.reach(), eb = b.reach();
  // In the flat, where a point lies at its distance from the rim.
  const auto flat_point = [&](bool first, double own, double other) {
    return FlapPoint{beyond(first, own, other), own, own};
  };
  const FlapPoint apex_a = flat_point(true, -a.start_mm, -b.start_mm),
                  apex_b = flat_point(false, -b.start_mm, -a.start_mm);
  const FlapPoint end_a = flat_point(true, ea, eb), end_b = flat_point(false, eb, ea);
  constexpr int kSteps = 24;
  for (int i = 0; i <= kSteps; ++i) {
    const double f = static_cast<double>(i) / kSteps;
    const auto side = [&](bool first, const WrapSection& own, const WrapSection& other, FlapPoint from, FlapPoint to,
                          std::vector<FlapPoint>& points, std::vector<double>& missing) {
      const double nu = from.nu + f * (to.nu - from.nu);
      const FlapPoint q{from.u + f * (to.u - from.u), nu, nu};
      points.push_back(q);
      const double s = q.nu + own.start_mm;
      missing.push_back(std::max(0.0, beyond(first, own.n_at(s), other.at_level(own.z_at(s)).n) - q.u));
    };
    side(true, a, b, apex_a, end_a, c.first, c.missing_first);
    side(false, b, a, apex_b, end_b, c.second, c.missing_second);
  }
  c.slit = true;
  return c;
}

Corner round_corner(const WrapSection& a, const WrapSection& m, const WrapSection& b, double radius, double turn,
                    bool mitred) {
  Corner c;
  for (const WrapSection::Point& p : m.points) {
    const FlapPoint q{corner_length(radius, turn, p.n, mitred) / 2, p.s - m.start_mm, p.n};
    c.first.push_back(q);
  }
  c.second = c.first;
  c.cut = true;
  c.joined_first = c.joined_second = c.first.size();
  // Under blended edges the flaps' ends are as long as the middle of the corner.
  if (std::abs(a.reach() - m.reach()) > kSamePatternMm) c.tab_first = FlapPoint{0, a.reach(), a.n_end()};
  if (std::abs(b.reach() - m.reach()) > kSamePatternMm) c.tab_second = FlapPoint{0, b.reach(), b.n_end()};
  return c;
}

Corner collapsed_corner(const WrapSection& a, const WrapSection& b, double radius, const Meeting& meeting) {
  Corner c = sharp_corner(a, b, meeting);
  const double turn = meeting.turn(), tangent = radius * std::tan(std::abs(turn) / 2);
  for (std::vector<FlapPoint>* side : {&c.first, &c.second})
    for (FlapPoint& q : *side) q.u += tangent;
  // The wall of the arc itself is shorter than the mitre's.
  const double less = tangent - radius * std::abs(turn) / 2;
  for (std::vector<double>* side : {&c.missing_first, &c.missing_second})
    for (double& x : *side) x = std::max(0.0, x - less);
  return c;
}

}  // namespace kerfkiln::cushion
