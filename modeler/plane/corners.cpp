#include "modeler/plane/corners.hpp"

#include <algorithm>
#include <limits>
#include <numbers>
#include <optional>

#include "modeler/base/tolerance.hpp"
#include "modeler/plane/words.hpp"

namespace kerfkiln::plane {
namespace {

constexpr double kTangent = 1e-9;  // sine of a turn that counts as running on
constexpr double kRoomMm = 1e-9;   // trims that use a segment up leave no segment

// A corner arc: where it leaves the segment before (at its parameter before) and meets the one after.
struct Fillet {
  double before = 1, after = 0;
  Vec2 from, to;
  double bulge = 0;
};

// The line or circle at a signed distance to the left of a segment.
struct Track {
  bool line;
  Vec2 at, along;  // line
  Vec2 centre;     // circle
  double radius;   // may be negative: the segment has no such parallel
};

Track beside(const Segment& s, double distance) {
  if (s.is_line()) return {true, s.a + distance * s.inward(0), s.tangent(0), {}, 0};
  return {false, {}, {}, s.centre(), s.radius() - (s.bulge > 0 ? distance : -distance)};
}

std::vector<Vec2> meets(const Track& p, const Track& q) {
  if (p.line && q.line) {
    const double turn = cross(p.along, q.along);
    return {p.at + cross(q.at - p.at, q.along) / turn * p.along};
  }
  if (q.line) return meets(q, p);
  if (q.radius <= 0) return {};
  if (p.line) {
    const double along = dot(q.centre - p.at, p.along), away = cross(p.along, q.centre - p.at);
    const double half2 = (q.radius - away) * (q.radius + away);
    if (half2 < 0) return {};
    return {p.at + (along - std::sqrt(half2)) * p.along, p.at + (along + std::sqrt(half2)) * p.along};
  }
  if (p.radius <= 0) return {};
  const Vec2 d = q.centre - p.centre;
  const double apart = norm(d);
  if (apart == 0) return {};
  const double along = (apart * apart + (p.radius - q.radius) * (p.radius + q.radius)) / (2 * apart);
  const double half2 = (p.radius - along) * (p.radius + along);
  if (half2 < 0) return {};
  const Vec2 u = d / apart, foot = p.centre + along * u, off = std::sqrt(half2) * left(u);
  return {foot - off, foot + off};
}

double turn_at(const Segment& before, const Segment& after) {
  const Vec2 in = before.tangent(1), out = after.tangent(0);
  return std::atan2(cross(in, out), dot(in, out));
}

std::optional<Fillet> line_fillet(const Segment& before, const Segment& after, double radius, double turn) {
  const double trim = radius * std::tan(std::abs(turn) / 2), lb = before.length(), la = after.length();
  if (trim > lb + kRoomMm || trim > la + kRoomMm) return std::nullopt;
  return Fillet{1 - trim / lb, trim / la, before.b - trim * before.tangent(1), after.a + trim * after.tangent(0),
                std::tan(turn / 4)};
}

// With an arc on either side the centre lies where the parallels of both segments at the radius meet.
std::optional<Fillet> general_fillet(const Segment& before, const Segment& after, double radius, double turn) {
  const double sense = turn > 0 ? 1 : -1;
  std::optional<Fillet> best;
  double best_trim = std::numeric_limits<double>::infinity();
  for (const Vec2 centre : meets(beside(before, sense * radius), beside(after, sense * radius))) {
    const Foot from = nearest(before, centre), to = nearest(after, centre);
    const double slack = 1e-9 * (1 + radius);
    if (std::abs(from.distance - radius) > slack || std::abs(to.distance - radius) > slack) continue;
    const Vec2 u = from.point - centre, v = to.point - centre;
    const double sweep = std::atan2(cross(u, v), dot(u, v));
    if (sweep * sense <= 0) continue;
    const double trim = norm(from.point - before.b) + norm(to.point - after.a);
    if (trim >= best_trim) continue;
    best_trim = trim;
    best = Fillet{from.t, to.t, from.point, to.point, std::tan(sweep / 4)};
  }
  return best;
}

std::string path(std::size_t i, const char* field) { return std::to_string(i) + "/" + field; }

void check_numbers(const std::vector<Corner>& corners, Findings& findings) {
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Corner& c = corners[i];
    if (!std::isfinite(c.at.x) || !std::isfinite(c.at.y) ||
        std::max(std::abs(c.at.x), std::abs(c.at.y)) > kLargestSizeMm)
      findings.push_back({Severity::error, "outline.number", path(i, "at"),
                          "corner " + std::to_string(i + 1) + " lies outside -10 000 to 10 000 mm", "move the corner"});
    if (!(c.radius >= 0 && c.radius <= kLargestSizeMm))
      findings.push_back({Severity::error, "outline.number", path(i, "radius"),
                          "the radius of corner " + std::to_string(i + 1) + " is not between 0 and 10 000 mm",
                          "give a radius of 0 mm or more"});
    if (!(std::abs(c.bulge) <= 1))
      findings.push_back({Severity::error, "outline.number", path(i, "bulge"),
                          "the bulge after corner " + std::to_string(i + 1) + " is not between -1 and 1",
                          "divide the arc at a further corner: a bulge of 1 is half a circle"});
  }
  if (has_errors(findings)) return;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Vec2 next = corners[(i + 1) % corners.size()].at;
    if (norm(next - corners[i].at) < kSmallestFeatureMm)
      findings.push_back({Severity::error, "outline.repeated", path(i, "at"),
                          "corner " + std::to_string(i + 1) + " at " + place_text(corners[i].at) +
                              " is repeated by the next one; corners stand at least " + mm_text(kSmallestFeatureMm) +
                              " apart",
                          "leave one of the two out"});
  }
}

Finding no_room(std::size_t i, const Corner& c, std::optional<double> largest) {
  return {Severity::error, "outline.radius", path(i, "radius"),
          "a radius of " + mm_text(c.radius) + " does not fit at " + place_text(c.at) +
              (largest ? "; permitted are 0 to " + mm_text(std::floor(*largest * 1000) / 1000) : std::string()),
          largest ? "give a smaller radius, or smaller ones at the corners next to it" : "give a smaller radius"};
}

// The largest radius between two lines, the trims at their other ends kept.
std::optional<double> largest_radius(const std::vector<Segment>& segments, const std::vector<Fillet>& fillets,
                                     std::size_t i, double turn) {
  const std::size_t n = segments.size(), before = (i + n - 1) % n;
  if (!segments[before].is_line() || !segments[i].is_line()) return std::nullopt;
  const double room_before = (1 - fillets[before].after) * segments[before].length();
  const double room_after = fillets[(i + 1) % n].before * segments[i].length();
  return std::max(0., std::min(room_before, room_after)) / std::tan(std::abs(turn) / 2);
}

}  // namespace

Result<Loop> rounded(const std::vector<Corner>& corners) {
  const std::size_t n = corners.size();
  Findings findings;
  if (n < 2 || (n == 2 && corners[0].bulge == 0 && corners[1].bulge == 0))
    return Finding{Severity::error, "outline.corners", "", std::to_string(n) + " corners enclose no area",
                   "give at least three corners, or two joined by an arc"};
  check_numbers(corners, findings);
  if (!findings.empty()) return findings;

  std::vector<Segment> segments(n);
  for (std::size_t i = 0; i < n; ++i) segments[i] = {corners[i].at, corners[(i + 1) % n].at, corners[i].bulge};
  std::vector<Fillet> fillets(n);
  std::vector<double> turns(n, 0);
  std::vector<char> refused(n, 0);
  for (std::size_t i = 0; i < n; ++i) {
    const Segment &before = segments[(i + n - 1) % n], &after = segments[i];
    fillets[i].from = fillets[i].to = corners[i].at;
    if (corners[i].radius == 0) continue;
    turns[i] = turn_at(before, after);
    if (std::abs(turns[i]) < kTangent) continue;
    const bool lines = before.is_line() && after.is_line();
    // A spike that turns back on itself has no tangent arc: tan(turn / 2) has no finite value there.
    const bool spike = std::abs(turns[i]) > std::numbers::pi - kTangent;
    const auto fillet = spike   ? std::nullopt
                        : lines ? line_fillet(before, after, corners[i].radius, turns[i])
                                : general_fillet(before, after, corners[i].radius, turns[i]);
    if (fillet)
      fillets[i] = *fillet;
    else
      refused[i] = 1;
  }
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t next = (i + 1) % n;
    const double left_over = (fillets[next].before - fillets[i].after) * segments[i].length();
    if (left_over >= -kRoomMm) continue;
    if (corners[i].radius > 0) refused[i] = 1;
    if (corners[next].radius > 0) refused[next] = 1;
  }
  for (std::size_t i = 0; i < n; ++i)
    if (refused[i]) findings.push_back(no_room(i, corners[i], largest_radius(segments, fillets, i, turns[i])));
  if (!findings.empty()) return findings;

  Loop loop;
  for (std::size_t i = 0; i < n; ++i) {
    const Fillet &here = fillets[i], &next = fillets[(i + 1) % n];
    if (here.bulge != 0) loop.push_back({here.from, here.bulge, -1});
    if ((next.before - here.after) * segments[i].length() <= kRoomMm) continue;
    const double share = next.before - here.after;
    const double bulge = segments[i].is_line() ? 0 : std::tan(share * std::atan(segments[i].bulge));
    loop.push_back({here.to, bulge, corners[i].side});
  }
  return loop;
}

Outline rectangle(double width_mm, double depth_mm, double corner_radius_mm) {
  const double w = width_mm, d = depth_mm, r = corner_radius_mm;
  const double quarter = std::numbers::sqrt2 - 1;  // tan(90 degrees / 4)
  Outline out;
  out.sides = {"front", "right", "back", "left"};
  const Vec2 starts[] = {{r, 0}, {w, r}, {w - r, d}, {0, d - r}};
  const Vec2 ends[] = {{w - r, 0}, {w, d - r}, {r, d}, {0, r}};
  for (int side = 0; side < 4; ++side) {
    if (norm(ends[side] - starts[side]) > kRoomMm) out.outer.push_back({starts[side], 0, side});
    if (r > 0) out.outer.push_back({ends[side], quarter, -1});
  }
  return out;
}

}  // namespace kerfkiln::plane
