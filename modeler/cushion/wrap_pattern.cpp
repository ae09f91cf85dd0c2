#include "modeler/cushion/wrap_pattern.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "modeler/cushion/wrap_corner.hpp"
#include "modeler/cushion/wrap_cut.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kSmoothTurn = 0.02;  // rad: flaps that meet at less run on
constexpr double kSameMm = kSamePatternMm;
constexpr double kCollapsedMm = 1;  // an arc of the pattern's edge smaller than this is none
constexpr double kLargestSweep = 3.0;
constexpr double kRisenGapMm = 3;  // what the ends of two flaps on a risen face may be apart in the flat

// A rim laid out flat: places on and beyond it.
class Rim {
 public:
  Rim(const WrapEdge& edge, const std::function<Vec2(Vec2)>& unrolled)
      : edge_(edge), unrolled_(unrolled), radius_(signed_radius(edge.rim)), mid_(edge.section(0.5)) {}
  const WrapEdge& edge() const { return edge_; }
  double radius() const { return radius_; }
  double sweep() const { return edge_.rim.sweep(); }
  const WrapSection& mid() const { return mid_; }
  WrapSection section(double t) const { return edge_.varies ? edge_.section(t) : mid_; }
  bool plain() const { return !edge_.varies && !unrolled_; }

  Vec2 at(double t, FlapPoint q) const {
    const Vec2 p = edge_.rim.point(t), out = right(edge_.rim.tangent(t));
    Vec2 x;
    if (radius_ == 0) {
      x = p + q.u * edge_.rim.tangent(t) + q.nu * out;
    } else {
      const Vec2 centre = p - radius_ * out;
      const double angle = q.u == 0 ? 0 : q.u / (std::abs(radius_ + q.n) > 1 ? radius_ + q.n : radius_);
      const double c = std::cos(angle), s = std::sin(angle);
      x = centre + (radius_ + q.nu) * Vec2{c * out.x - s * out.y, s * out.x + c * out.y};
    }
    return x + shift(p, out, mid_.start_mm);
  }
  // Angle by which a point's ray stands beyond the end; arcs only.
  double angle(FlapPoint q) const {
    return q.u == 0 ? 0 : q.u / (std::abs(radius_ + q.n) > 1 ? radius_ + q.n : radius_);
  }

 private:
  Vec2 shift(Vec2 p, Vec2 out, double start) const {
    if (!unrolled_) return {};
    const Vec2 face = p - start * out;
    return unrolled_(face) - face;
  }
  const WrapEdge& edge_;
  const std::function<Vec2(Vec2)>& unrolled_;
  double radius_;
  WrapSection mid_;
};

class Drawer {
 public:
  Drawer(const WrapPiece& piece, const PatternRequest& request, FlatPattern& out)
      : piece_(piece), request_(request), out_(out) {}

  void draw() {
    for (std::size_t i = 0; i < piece_.loops.size(); ++i) {
      plane::Loop loop = draw_loop(piece_.loops[i]);
      // A segment belongs to the edge that drew its end.
      std::vector<int>& by = out_.drawn_by.emplace_back();
      for (std::size_t k = 0; k < loop.size(); ++k) by.push_back(loop[(k + 1) % loop.size()].side);
      for (plane::Vertex& v : loop) v.side = -1;
      if (i == 0)
        out_.outline.outer = std::move(loop);
      else
        out_.outline.holes.push_back(std::move(loop));
    }
  }

 private:
  // A corner arc that is drawn as a notch or slit between its neighbours.
  bool dissolved(const Rim& r) const {
    if (r.radius() == 0 || r.edge().kind == WrapEdge::Kind::side) return false;
    if (r.radius() > 0)
      return std::abs(r.sweep()) < kLargestSweep &&
             (r.radius() < request_.thickness_mm - 1e-9 || r.mid().start_mm > r.radius() + 1e-9);
    return r.radius() + r.mid().reach() > -kCollapsedMm;
  }

  void line_to(Vec2 p) {
    if (!loop_.empty() && norm(loop_.back().at - p) < kSameMm) return;
    loop_.push_back({p, 0, drawing_});
  }
  void arc_to(Vec2 p, double sweep) {
    if (loop_.empty() || norm(loop_.back().at - p) < kSameMm) return;
    loop_.back().bulge = std::tan(sweep / 4);
    loop_.push_back({p, 0, drawing_});
  }

  plane::Loop draw_loop(const WrapLoop& edges) {
    loop_.clear();
    std::vector<Rim> rims;
    for (const WrapEdge& e : edges) rims.emplace_back(e, request_.unrolled);
    std::vector<std::size_t> kept;
    const auto rim_of_plan = [&](std::size_t i) {
      const WrapEdge::Kind k = rims[i % rims.size()].edge().kind;
      return k == WrapEdge::Kind::side || k == WrapEdge::Kind::corner;
    };
    for (std::size_t i = 0; i < rims.size(); ++i) {
      // A corner that a crease divides keeps what is left of its arc.
      const bool divided =
          rims[i].edge().kind == WrapEdge::Kind::corner && !(rim_of_plan(i + 1) && rim_of_plan(i + rims.size() - 1));
      if (divided || !dissolved(rims[i])) kept.push_back(i);
    }
    if (kept.empty()) {  // an outline of nothing but small arcs
      for (std::size_t i = 0; i < rims.size(); ++i) kept.push_back(i);
    }
    const std::size_t n = kept.size();
    std::vector<Corner> corners;  // after each kept rim
    for (std::size_t k = 0; k < n; ++k) corners.push_back(corner(rims, kept[k], kept[(k + 1) % n]));
    for (std::size_t k = 0; k < n; ++k) {
      const Corner &before = corners[(k + n - 1) % n], &after = corners[k];
      const Rim& r = rims[kept[k]];
      drawing_ = static_cast<int>(kept[k]);
      const Rim &previous = rims[kept[(k + n - 1) % n]], &next = rims[kept[(k + 1) % n]];
      for (const Vec2 p : ends_of(previous, r, before).second) line_to(p);
      if (before.tab_second) line_to(start_at(r, *before.tab_second));
      draw_edge(r, before.tab_second.value_or(before.second.back()), after.tab_first.value_or(after.first.back()));
      if (after.tab_first) line_to(r.at(1, *after.tab_first));
      const Ends ends = ends_of(r, next, after);
      for (std::size_t i = ends.first.size(); i-- > 0;) line_to(ends.first[i]);
      join(r, next, after);
      fold_lines(r, before.second, after.first);
    }
    while (loop_.size() > 1 && norm(loop_.back().at - loop_.front().at) < kSameMm) {
      loop_.pop_back();
    }
    return std::move(loop_);
  }

  // Both flaps' ends as they are drawn, from the apex outward.
  struct Ends {
    std::vector<Vec2> first, second;
  };
  static Ends ends_of(const Rim& a, const Rim& b, const Corner& c) {
    Ends e;
    if (!c.cut) {  // of a slit the outer end, of a smooth joint the one point
      e.first = {a.at(1, c.first.back())};
      e.second = {start_at(b, c.second.back())};
      if (c.slit && norm(e.first[0] - e.second[0]) < kRisenGapMm)
        e.first = e.second = {0.5 * (e.first[0] + e.second[0])};
      return e;
    }
    for (const FlapPoint& q : c.first) e.first.push_back(a.at(1, q));
    for (const FlapPoint& q : c.second) e.second.push_back(start_at(b, q));
    // On a risen face each flap was measured by itself.
    if (norm(e.first[0] - e.second[0]) < kRisenGapMm) e.first[0] = e.second[0] = 0.5 * (e.first[0] + e.second[0]);
    part(e.first, e.second);
    e.first = drawn(e.first);
    e.second = drawn(e.second);
    return e;
  }
  static Vec2 start_at(const Rim& r, FlapPoint q) {
    q.u = -q.u;
    return r.at(0, q);
  }

  Corner corner(const std::vector<Rim>& rims, std::size_t i, std::size_t j) const {
    const Rim &a = rims[i], &b = rims[j];
    const WrapSection sa = a.section(1), sb = b.section(0);
    const std::size_t between = (i + 1) % rims.size();
    const Meeting meeting(a.edge().rim, b.edge().rim);
    if (between != j && !(rims.size() == 1)) {
      const Rim& arc = rims[between];
      if (arc.radius() > 0)
        return round_corner(sa, arc.mid(), sb, arc.radius(), arc.sweep(), arc.radius() < request_.thickness_mm - 1e-9);
      return collapsed_corner(sa, sb, -arc.radius(), meeting);
    }
    if (std::abs(meeting.turn()) < kSmoothTurn) {
      Corner c;
      c.first = {{0, sa.reach(), sa.n_end()}};
      c.second = {{0, sb.reach(), sb.n_end()}};
      return c;
    }
    return sharp_corner(sa, sb, meeting);
  }

  // The pattern's edge along a rim, wedges and slits included.
  void draw_edge(const Rim& r, FlapPoint from, FlapPoint to) {
    if (r.radius() == 0) {
      if (!r.plain()) sampled_line(r, -from.u, r.edge().rim.length() + to.u);
      return;
    }
    const WrapSection& m = r.mid();
    const double sweep = std::abs(r.sweep());
    const double excess = sweep * (m.reach() - m.n_end()), needed = sweep * std::abs(r.radius() + m.n_end());
    // To a hair, so that a mouth of exactly the limit is one wedge.
    int cuts = excess <= kMostEase * needed ? 0 : static_cast<int>(std::ceil(excess / kWidestWedgeMm - 1e-9));
    if (r.radius() > 0 && cuts > 1) {
      // Fingers as wide as the layer is thick, which hang on roots that do not tear.
      const double root = sweep * std::max(0.0, r.radius() - m.start_mm);
      cuts = std::clamp(static_cast<int>(std::min(needed / request_.thickness_mm, root / kLeastRootMm)), 1, cuts);
    }
    // An insert that opens by more than a radian would be wider than its slit is long.
    if (r.radius() < 0 && cuts > 0) cuts = std::max(cuts, static_cast<int>(std::ceil(sweep)));
    if (cuts == 0 && excess > 1e-9) out_.ease = std::max(out_.ease, excess / needed);
    if (r.radius() > 0) out_.excess_mm += cuts > 0 ? excess : 0;
    double t = 0;
    for (int k = 0; k < cuts; ++k) {
      const double at = (k + 0.5) / cuts;
      const WrapSection w = r.section(at);
      if (r.radius() > 0) {
        const double share = sweep * (w.reach() - w.n_end()) / cuts;
        const double half = share / 2 / (r.radius() + w.reach());
        if (r.plain())
          arc_along(r, t, at, k == 0 ? -from.u : 0, k == 0 ? from.n : 0, -half);
        else
          sampled_to(r, t, at, t == 0 ? r.angle({-from.u, 0, from.n}) : from_angle_, -half);
        wedge(r, at, w, sweep / cuts);
        // The next stretch of arc begins where the wedge ended.
        from_angle_ = half;
      } else {
        slit(r, at, w, sweep / cuts);
        continue;
      }
      t = at;
    }
    if (r.plain())
      arc_along(r, t, 1, t == 0 ? -from.u : 0, t == 0 ? from.n : 0, r.angle(to));
    else
      sampled_to(r, t, 1, t == 0 ? r.angle({-from.u, 0, from.n}) : from_angle_, r.angle(to));
    from_angle_ = 0;
  }

  // From what stands in the loop along the concentric arc at the pattern's edge to the ray at t, turned by `end_angle`.
  void arc_along(const Rim& r, double t0, double t1, double from_u, double from_n, double end_angle) {
    const double begin = r.sweep() * t0 + (t0 == 0 ? r.angle({from_u, 0, from_n}) : from_angle_);
    const double finish = r.sweep() * t1 + end_angle;
    const double sweep = finish - begin;
    if (std::abs(sweep) < 1e-12) return;
    const int pieces = static_cast<int>(std::ceil(std::abs(sweep) / kLargestSweep));
    const Vec2 p = r.edge().rim.point(0), out = right(r.edge().rim.tangent(0)), centre = p - r.radius() * out;
    for (int i = 1; i <= pieces; ++i) {
      const double angle = begin + sweep * i / pieces, c = std::cos(angle), s = std::sin(angle);
      arc_to(centre + (r.radius() + r.mid().reach()) * Vec2{c * out.x - s * out.y, s * out.x + c * out.y},
             sweep / pieces);
    }
  }
  // Points of the pattern's edge along a straight rim, between the ends that its corners leave.
  void sampled_line(const Rim& r, double from, double to) {
    constexpr int kSteps = 24;
    for (int i = 1; i < kSteps; ++i) {
      const double t = static_cast<double>(i) / kSteps, at = t * r.edge().rim.length();
      if (at <= from || at >= to) continue;
      const WrapSection w = r.section(t);
      line_to(r.at(t, {0, w.reach(), w.n_end()}));
    }
  }
  // Points of the pattern's edge between two rays; those stand turned by these angles, the others in proportion.
  void sampled_to(const Rim& r, double t0, double t1, double begin_angle, double end_angle) {
    const int steps = std::max(2, static_cast<int>(std::ceil((t1 - t0) * 24)));
    for (int i = 1; i < steps; ++i) {
      const double f = static_cast<double>(i) / steps, t = t0 + (t1 - t0) * f;
      const WrapSection w = r.section(t);
      const double turned = begin_angle + (end_angle - begin_angle) * f;
      line_to(r.at(t, {turned * (r.radius() + w.n_end()), w.reach(), w.n_end()}));
    }
  }

  // Both edges of one wedge about the ray at t; turn: of the arc that it serves.
  void wedge(const Rim& r, double t, const WrapSection& w, double turn) {
    std::vector<Vec2> first, second;
    const auto edge_point = [&](const WrapSection::Point& p, double sign) {
      const double nu = p.s - w.start_mm, rho = r.radius() + nu;
      const double half = rho > kSameMm ? std::max(0.0, turn * (nu - p.n) / 2 / rho) : 0;
      const Vec2 out = right(r.edge().rim.tangent(t)), centre = r.at(t, {0, 0, 0}) - r.radius() * out;
      const double c = std::cos(sign * half), s = std::sin(sign * half);
      return centre + rho * Vec2{c * out.x - s * out.y, s * out.x + c * out.y};
    };
    for (const WrapSection::Point& p : w.points) {
      first.push_back(edge_point(p, -1));
      second.push_back(edge_point(p, 1));
    }
    std::vector<Vec2> left_edge = first, right_edge = second;
    part(left_edge, right_edge);
    left_edge = drawn(left_edge);
    for (std::size_t i = left_edge.size(); i-- > 0;) line_to(left_edge[i]);
    for (const Vec2 p : drawn(right_edge)) line_to(p);
    out_.seams.push_back({PatternSeam::Kind::wedge, first.front(), chain_length(first), chain_length(second),
                          norm(second.back() - first.back())});
  }

  void slit(const Rim& r, double t, const WrapSection& w, double turn) {
    std::vector<Vec2> line;
    std::vector<double> missing;
    for (const WrapSection::Point& p : w.points) {
      const double nu = p.s - w.start_mm;
      line.push_back(r.at(t, {0, nu, p.n}));
      missing.push_back(std::max(0.0, turn * (nu - p.n) / 2));
    }
    add_slit(line, missing, missing);
  }

  void add_slit(const std::vector<Vec2>& line, const std::vector<double>& first, const std::vector<double>& second) {
    plane::Loop path;
    for (const Vec2 p : line)
      if (path.empty() || norm(path.back().at - p) > kSameMm) path.push_back({p, 0, -1});
    if (path.size() < 2) return;
    // A straight slit needs no points on the way.
    out_.slits.push_back({path.front(), path.back()});
    const double mouth = first.back() + second.back();
    out_.seams.push_back({PatternSeam::Kind::insert, line.front(), chain_length(line), chain_length(line), mouth});
    if (mouth > 0.5) out_.inserts.push_back(insert_of(line, first, second));
  }

  void join(const Rim& a, const Rim& b, const Corner& c) {
    if (!c.cut && !c.slit) return;
    std::vector<Vec2> first, second;
    for (const FlapPoint& q : c.first) first.push_back(a.at(1, q));
    for (const FlapPoint& q : c.second) second.push_back(start_at(b, q));
    if (c.slit) {
      const bool butt = a.edge().kind == WrapEdge::Kind::butt || b.edge().kind == WrapEdge::Kind::butt;
      if (butt && norm(first.back() - first.front()) > kSameMm) {
        // A flap beside a butt joint: cut free of it, nothing opens.
        return;
      }
      if (!butt) add_slit(first, c.missing_first, c.missing_second);
      return;
    }
    // A side's flap and one that is folded into a crease go apart.
    if ((a.edge().kind == WrapEdge::Kind::wall) != (b.edge().kind == WrapEdge::Kind::wall)) return;
    const double mouth = norm(second.back() - first.back());
    first.resize(c.joined_first);
    second.resize(c.joined_second);
    if (first.size() < 2 || second.size() < 2) return;
    out_.seams.push_back({PatternSeam::Kind::notch, first.front(), chain_length(first), chain_length(second), mouth});
  }

  // Where the bend begins and ends on the flap, between the ends of both corners.
  void fold_lines(const Rim& r, const std::vector<FlapPoint>& before, const std::vector<FlapPoint>& after) {
    const WrapEdge::Kind kind = r.edge().kind;
    if (kind == WrapEdge::Kind::butt) return;
    const auto line = [&](std::vector<plane::Loop>& to, const auto& s_of) {
      plane::Loop path;
      const auto u_at = [](const std::vector<FlapPoint>& end, double nu) {
        for (std::size_t i = 0; i + 1 < end.size(); ++i)
          if (end[i].nu <= nu && nu <= end[i + 1].nu && end[i + 1].nu > end[i].nu)
            return end[i].u + (end[i + 1].u - end[i].u) * (nu - end[i].nu) / (end[i + 1].nu - end[i].nu);
        return end.empty() || nu > end.back().nu || end.size() == 1 ? (end.empty() ? 0 : end.back().u) : end.front().u;
      };
      const bool sampled = !r.plain();
      const int steps = sampled ? 24 : 1;
      for (int i = 0; i <= steps; ++i) {
        const double t = static_cast<double>(i) / steps;
        const WrapSection w = r.section(t);
        const double s = s_of(w), nu = s - w.start_mm, n = w.n_at(s);
        if (r.radius() != 0 && (r.radius() + nu) * r.radius() <= 0) return;
        if (i == 0)
          path.push_back({start_at(r, {u_at(before, nu), nu, n}), 0, -1});
        else if (i == steps)
          path.push_back({r.at(t, {u_at(after, nu), nu, n}), 0, -1});
        else
          path.push_back({r.at(t, {0, nu, n}), 0, -1});
        if (!sampled && r.radius() != 0 && i == 0) {
          const double sweep = r.sweep() + r.angle({u_at(before, nu), nu, n}) + r.angle({u_at(after, nu), nu, n});
          if (std::abs(sweep) > kLargestSweep) {
            path.back().bulge = std::tan(sweep / 8);
            path.push_back({r.at(0.5, {0, nu, n}), std::tan(sweep / 8), -1});
          } else {
            path.back().bulge = std::tan(sweep / 4);
          }
        }
      }
      if (norm(path.front().at - path.back().at) < 0.1 && path.size() == 2) return;
      to.push_back(std::move(path));
    };
    line(out_.fold_start, [](const WrapSection&) { return 0.0; });
    line(out_.fold_end, [](const WrapSection& w) { return w.fold_end_s; });
    if (request_.relieved && request_.relieved(r.edge()))
      line(out_.relief, [](const WrapSection& w) { return w.fold_end_s / 2; });
    if (request_.feather_mm > 0)
      line(out_.feather, [&](const WrapSection& w) { return std::max(0.0, w.length() - request_.feather_mm); });
  }

  const WrapPiece& piece_;
  const PatternRequest& request_;
  FlatPattern& out_;
  plane::Loop loop_;  // sides: the edges that drew its vertices
  int drawing_ = -1;
  double from_angle_ = 0;
};

}  // namespace

FlatPattern flat_pattern(const WrapPiece& piece, const PatternRequest& request) {
  FlatPattern out;
  Drawer(piece, request, out).draw();
  return out;
}

}  // namespace kerfkiln::cushion
