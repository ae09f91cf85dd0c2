#include "modeler/urn/inner_solver.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace kerfkiln::urn {
namespace {

constexpr int kStationsPerSpan = 8;
constexpr int kPlacesPerPiece = 12;
constexpr double kEmptyPiece = 1e-10;  // of the wall: no flat left, or no radius
constexpr double kInfinity = std::numeric_limits<double>::infinity();

// Entry of the ray (direction, z) into the ball about a point of the outside.
struct Entry {
  double e = kInfinity;
  Vec2 off;      // of the point from the ray: sideways, up
  double s = 0;  // half chord
};

Entry entry(Vec3 p, Vec2 u, double z, double wall) {
  Entry r;
  r.off = {u.x * p.y - u.y * p.x, p.z - z};
  const double square = wall * wall - dot(r.off, r.off);
  if (square <= 0) return r;
  r.s = std::sqrt(square);
  r.e = u.x * p.x + u.y * p.y - r.s;
  return r;
}

struct Model {
  double e = kInfinity, e_t = 0, e_v = 0, e_tt = 0, e_tv = 0, e_vv = 0;
};

Model model(const SurfaceJet& j, Vec2 u, double z, double wall) {
  Model m;
  const Entry r = entry(j.p, u, z, wall);
  m.e = r.e;
  if (r.e == kInfinity) return m;
  const auto along = [&](Vec3 d) { return u.x * d.x + u.y * d.y; };
  const auto aside = [&](Vec3 d) { return Vec2{u.x * d.y - u.y * d.x, d.z}; };
  const Vec2 ot = aside(j.p_t), ov = aside(j.p_v);
  const double pt = dot(r.off, ot) / r.s, pv = dot(r.off, ov) / r.s;
  m.e_t = along(j.p_t) + pt;
  m.e_v = along(j.p_v) + pv;
  m.e_tt = along(j.p_tt) + (dot(ot, ot) + dot(r.off, aside(j.p_tt)) + pt * pt) / r.s;
  m.e_tv = along(j.p_tv) + (dot(ot, ov) + dot(r.off, aside(j.p_tv)) + pt * pv) / r.s;
  m.e_vv = along(j.p_vv) + (dot(ov, ov) + dot(r.off, aside(j.p_vv)) + pv * pv) / r.s;
  return m;
}

// A step that goes down: Newton where the model is convex, else along the scaled slope.
void newton_step(const Model& m, bool move_t, bool move_v, double scale_t, double scale_v, double& dt, double& dv) {
  dt = dv = 0;
  if (move_t && move_v) {
    const double det = m.e_tt * m.e_vv - m.e_tv * m.e_tv;
    if (m.e_tt > 0 && det > 1e-14 * m.e_tt * std::abs(m.e_vv)) {
      dt = (-m.e_t * m.e_vv + m.e_v * m.e_tv) / det;
      dv = (-m.e_v * m.e_tt + m.e_t * m.e_tv) / det;
      return;
    }
  }
  if (move_t) dt = m.e_tt > 0 ? -m.e_t / m.e_tt : std::copysign(0.1 * scale_t, -m.e_t);
  if (move_v) dv = m.e_vv > 0 ? -m.e_v / m.e_vv : std::copysign(0.1 * scale_v, -m.e_v);
}

}  // namespace

InnerSolver::InnerSolver(const Form& form, double wall, double floor)
    : form_(std::make_shared<const Form>(form)), wall_(wall), floor_(floor) {
  const auto& spans = form.profile().spans();
  for (int k = 0; k < static_cast<int>(spans.size()); ++k) {
    const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
    if (s.level_begin) level_places_.push_back({k, s.begin, s.height[0]});
    if (s.level_end) level_places_.push_back({k, s.begin + s.length, value(s.height, s.length)});
  }
  judge();
  if (!regular_) sample();
}

// Close enough together that every branch within a ball's reach of a ray has a sample within that reach as well.
void InnerSolver::sample() {
  const auto& spans = form_->profile().spans();
  const int pieces = form_->pieces();
  const double girth = std::max(form_->max_width(), form_->max_depth());
  const int per_piece = std::clamp(static_cast<int>(std::ceil(0.5 * girth / (0.7 * wall_))), kPlacesPerPiece, 60);
  places_ = static_cast<std::size_t>(pieces * (per_piece + 1));
  int segment = 0;
  for (int k = 0; k < static_cast<int>(spans.size()); ++k) {
    const ProfileSpan& s = spans[static_cast<std::size_t>(k)];
    if (k > 0 && s.corner_before) ++segment;
    const double rise = value(s.height, s.length) - s.height[0];
    const int per_span = std::clamp(static_cast<int>(std::ceil(rise / (0.5 * wall_))), kStationsPerSpan, 300);
    // The end of the last span too: it is the lip.
    const int n = k + 1 == static_cast<int>(spans.size()) ? per_span + 1 : per_span;
    for (int i = 0; i < n; ++i) {
      const double t = s.begin + s.length * i / per_span;
      const ProfileJet j = form_->profile().at(k, t);
      stations_.push_back(j.z);
      const std::size_t first = samples_.size();
      double nearest = kInfinity;
      segment_of_station_.push_back(segment);
      for (int piece = 0; piece < pieces; ++piece)
        for (int q = 0; q <= per_piece; ++q) {
          const double v = static_cast<double>(q) / per_piece;
          samples_.push_back({form_->point_at(j, form_->place(piece, v)), k, piece, t, v});
          const Vec3 p = samples_.back().at;
          nearest = std::min(nearest, std::hypot(p.x, p.y));
          double turn = std::atan2(p.y, p.x);
          // Rising all round; an empty piece repeats its turn to rounding.
          if (samples_.size() > first + 1) {
            const double before = turns_.back();
            turn += 2 * std::numbers::pi * std::round((before - turn) / (2 * std::numbers::pi));
            turn = std::max(turn, before);
          }
          turns_.push_back(turn);
        }
      spread_.push_back(nearest > wall_ ? std::asin(wall_ / nearest) + 1e-9 : 2 * std::numbers::pi);
    }
  }
}

// The point of the outside that the ray itself meets: always a valid start.
InnerPoint InnerSolver::direct(Vec2 u, double z) const {
  const double t = form_->profile().at_height(z);
  return straight(u, form_->profile().span_of(t), t, 1e-6);
}

// The point of a station in a direction, its place known to `fine`.
InnerPoint InnerSolver::straight(Vec2 u, int span, double t, double fine) const {
  InnerPoint x;
  x.t = t, x.span = span;
  const ProfileJet at = form_->profile().at(x.span, x.t);
  const SectionSize size = at.size;
  const SectionType& type = form_->section();
  int quadrant = 0;
  if (form_->twisted()) {
    const double c = std::cos(at.twist), s = std::sin(at.twist);
    u = {c * u.x + s * u.y, c * u.y - s * u.x};
    quadrant = u.y >= 0 ? (u.x >= 0 ? 0 : 1) : (u.x < 0 ? 2 : 3);
    u = {std::abs(u.x), std::abs(u.y)};
  }
  const auto side = [&](int piece, double v) { return cross(u, type.point(size, piece, v)); };
  for (x.piece = 0; x.piece + 1 < type.pieces && side(x.piece, 1) < 0; ++x.piece) {
  }
  double lo = 0, hi = 1, flo = side(x.piece, 0), fhi = side(x.piece, 1);
  if (flo >= 0) {
    x.v = 0;
  } else if (fhi <= 0) {
    x.v = 1;
  } else {
    // Only a start: a few steps of false position are near enough as a rule.
    const int most = fine < 1e-7 ? 60 : 8;
    for (int i = 0; i < most && hi - lo > fine; ++i) {
      const double m = std::clamp(lo - flo * (hi - lo) / (fhi - flo), lo + 0.02 * (hi - lo), hi - 0.02 * (hi - lo));
      const double f = side(x.piece, m);
      (f < 0 ? lo : hi) = m;
      (f < 0 ? flo : fhi) = f;
    }
    x.v = lo - flo * (hi - lo) / (fhi - flo);
  }
  if (quadrant % 2) x.piece = type.pieces - 1 - x.piece, x.v = 1 - x.v;
  x.piece += quadrant * type.pieces;
  return x;
}

// Projected Newton inside one span and piece. True when the foot moved.
bool InnerSolver::descend(InnerPoint& x, Vec2 u, double z) const {
  const Profile& profile = form_->profile();
  const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(x.span)];
  const double t0 = s.begin, t1 = s.begin + s.length;
  const double from_t = x.t, from_v = x.v;
  Model m = model(form_->jet(profile.at(x.span, x.t), x.piece, x.v), u, z, wall_);
  if (m.e == kInfinity) return false;
  for (int i = 0; i < 60; ++i) {
    const bool move_t = !((x.t <= t0 && m.e_t > 0) || (x.t >= t1 && m.e_t < 0));
    const bool move_v = m.e_vv != 0 && !((x.v <= 0 && m.e_v > 0) || (x.v >= 1 && m.e_v < 0));
    double dt, dv;
    newton_step(m, move_t, move_v, s.length, 1, dt, dv);
    if (std::abs(dt) <= 1e-15 * s.length && std::abs(dv) <= 1e-15) break;
    bool better = false;
    for (int cut = 0; cut < 30; ++cut, dt *= 0.4, dv *= 0.4) {
      const double t = std::clamp(x.t + dt, t0, t1), v = std::clamp(x.v + dv, 0.0, 1.0);
      const Model next = model(form_->jet(profile.at(x.span, t), x.piece, v), u, z, wall_);
      const double drop = m.e - next.e;
      if (!(next.e <= m.e)) continue;
      better = drop > 0;
      // At rounding level the slope still improves the foot although the value no longer does.
      const bool near = cut == 0 && drop == 0 &&
                        next.e_t * next.e_t * s.length * s.length + next.e_v * next.e_v <
                            m.e_t * m.e_t * s.length * s.length + m.e_v * m.e_v;
      better = better || near;
      if (better) x.t = t, x.v = v, m = next;
      break;
    }
    if (!better) break;
  }
  x.reach = m.e;
  return x.t != from_t || x.v != from_v;
}

// Descends across spans and pieces until no neighbour goes further down.
InnerPoint InnerSolver::settle(InnerPoint x, Vec2 u, double z) const {
  const Profile& profile = form_->profile();
  const int spans = static_cast<int>(profile.spans().size()), pieces = form_->pieces();
  const bool all_round = form_->twisted();
  x.reach = kInfinity;
  // On an axis a sharp section is stationary without being nearest: start a little aside.
  constexpr double kAside = 0.01;
  const double aside = std::clamp(x.v, kAside, 1 - kAside);
  if (!regular_ && aside != x.v && entry(form_->point(x.t, x.piece, aside), u, z, wall_).e < kInfinity) x.v = aside;
  descend(x, u, z);
  const auto goes_down = [&](InnerPoint& y) {
    const double before = x.reach;
    y.reach = kInfinity;
    descend(y, u, z);
    return y.reach < before - 1e-13 * (wall_ + std::abs(before));
  };
  for (int hop = 0; hop < 40; ++hop) {
    const ProfileSpan& s = profile.spans()[static_cast<std::size_t>(x.span)];
    bool moved = false;
    const auto attempt = [&](InnerPoint y) {
      if (!moved && goes_down(y)) x = y, moved = true;
    };
    if (x.t <= s.begin && x.span > 0) {
      InnerPoint y = x;
      --y.span;
      attempt(y);
    }
    if (x.t >= s.begin + s.length && x.span + 1 < spans) {
      InnerPoint y = x;
      ++y.span;
      y.t = profile.spans()[static_cast<std::size_t>(y.span)].begin;
      attempt(y);
    }
    // A piece may be empty here (no flat left, no radius): look past it.
    for (int step = 1; step < pieces && !moved; ++step) {
      if (x.v <= 0 && (all_round || x.piece - step >= 0)) {
        InnerPoint y = x;
        y.piece = (y.piece - step + pieces) % pieces, y.v = 1;
        attempt(y);
      }
      if (!moved && x.v >= 1 && (all_round || x.piece + step < pieces)) {
        InnerPoint y = x;
        y.piece = (y.piece + step) % pieces, y.v = 0;
        attempt(y);
      }
      if (step == 3) break;
    }
    if (!moved) break;
  }
  const Vec3 p = form_->point(x.t, x.piece, x.v);
  x.normal = (p - Vec3{x.reach * u.x, x.reach * u.y, z}) / wall_;
  return x;
}

InnerPoint InnerSolver::follow(const InnerPoint& from, Vec2 u, double z) const {
  // A start outside the balls' reach has no value to descend from: begin at the direct point then.
  if (entry(form_->point(from.t, from.piece, from.v), u, z, wall_).e == kInfinity) return settle(direct(u, z), u, z);
  return settle(from, u, z);
}

// The samples of a station whose balls a ray in that turn may meet: those that stand aside by less than the wall.
template <class F>
void InnerSolver::each_beside(std::size_t station, double turn, F&& f) const {
  const double *begin = turns_.data() + station * places_, *end = begin + places_;
  constexpr double kRound = 2 * std::numbers::pi;
  const double half = spread_[station];
  // The samples go round once at most; the ray's turn is looked for on either side of where they begin.
  turn += kRound * std::floor((*begin + half - turn) / kRound);
  for (; turn - half <= end[-1]; turn += kRound) {
    const double* from = std::lower_bound(begin, end, turn - half);
    for (const double* p = from; p != end && *p <= turn + half; ++p)
      f(samples_[static_cast<std::size_t>(p - turns_.data())]);
    if (half > std::numbers::pi) break;
  }
}

InnerPoint InnerSolver::solve(Vec2 u, double z) const {
  InnerPoint best = settle(direct(u, z), u, z);
  // Just above a level ceiling the balls that close the ray in touch it in so small a disc that no sample need lie in
  // it: the level places straight above are starts of their own, both ends of a level stretch.
  for (const LevelPlace& level : level_places_) {
    if (!(std::abs(level.z - z) < wall_)) continue;
    const InnerPoint x = settle(straight(u, level.span, level.t, 1e-14), u, z);
    if (x.reach < best.reach) best = x;
  }
  if (regular_) return best;
  const double turn = std::atan2(u.y, u.x);
  // Branches live on different pieces and segments: the best sample of each is followed down.
  const auto first = std::lower_bound(stations_.begin(), stations_.end(), z - wall_) - stations_.begin();
  const auto last = std::upper_bound(stations_.begin(), stations_.end(), z + wall_) - stations_.begin();
  const auto pieces = static_cast<std::size_t>(form_->pieces());
  struct Guess {
    double e = kInfinity;
    const Sample* sample = nullptr;
  };
  constexpr std::size_t kPieces = 40;  // all round a sixteen-sided section
  for (auto i = static_cast<std::size_t>(first); i < static_cast<std::size_t>(last);) {
    Guess guess[kPieces];
    const int segment = segment_of_station_[i];
    for (; i < static_cast<std::size_t>(last) && segment_of_station_[i] == segment; ++i)
      each_beside(i, turn, [&](const Sample& s) {
        if (s.at.x * u.x + s.at.y * u.y < 0) return;  // across the axis
        const double e = entry(s.at, u, z, wall_).e;
        Guess& g = guess[static_cast<std::size_t>(s.piece)];
        if (e < g.e) g = {e, &s};
      });
    for (std::size_t k = 0; k < std::min(pieces, kPieces); ++k) {
      if (!guess[k].sample || guess[k].e > best.reach + wall_) continue;
      InnerPoint x;
      x.span = guess[k].sample->span, x.piece = guess[k].sample->piece, x.t = guess[k].sample->t,
      x.v = guess[k].sample->v;
      x = settle(x, u, z);
      if (x.reach < best.reach) best = x;
    }
  }
  return best;
}

double InnerSolver::sector() const { return form_->twisted() ? std::numbers::pi : std::numbers::pi / 2; }

Vec2 InnerSolver::direction(double turn, double z) const {
  if (!form_->twisted()) return quarter_direction(turn);
  if (turn >= std::numbers::pi) return -direction(turn - std::numbers::pi, z);
  const double a = turn + form_->profile().at(form_->profile().at_height(z)).twist;
  return {std::cos(a), std::sin(a)};
}

InnerPoint InnerSolver::reach(double turn, double z) const {
  if (form_->twisted()) return solve({std::cos(turn), std::sin(turn)}, z);
  const double c = std::cos(turn), s = std::sin(turn);
  InnerPoint x = solve({std::abs(c), std::abs(s)}, z);
  x.normal.x = std::copysign(x.normal.x, c);
  x.normal.y = std::copysign(x.normal.y, s);
  return x;
}

Vec2 quarter_direction(double turn) {
  if (turn <= 0) return {1, 0};
  if (turn >= std::numbers::pi / 2) return {0, 1};
  return {std::cos(turn), std::sin(turn)};
}

// Where both branches reach across: Illinois false position on their difference.
std::optional<InnerSolver::Kink> InnerSolver::tie(const At& a, const At& b) const {
  const double tied = 2e-10 * wall_;  // nearer than this two branches are one
  const auto height = [&](double f) { return a.z + f * (b.z - a.z); };
  const auto way = [&](double f) { return direction(a.turn + f * (b.turn - a.turn), height(f)); };
  Kink k;
  k.first = follow(a.point, way(1), height(1));
  if (k.first.reach < b.point.reach + tied) return std::nullopt;
  k.second = follow(b.point, way(0), height(0));
  if (k.second.reach < a.point.reach + tied) return std::nullopt;
  double lo = 0, hi = 1, flo = a.point.reach - k.second.reach, fhi = k.first.reach - b.point.reach;
  InnerPoint at_a = a.point, at_b = b.point;
  for (int i = 0; i < 60 && hi - lo > 1e-13; ++i) {
    const double f = std::clamp((lo * fhi - hi * flo) / (fhi - flo), lo + 0.01 * (hi - lo), hi - 0.01 * (hi - lo));
    k.first = follow(at_a, way(f), height(f));
    k.second = follow(at_b, way(f), height(f));
    const double g = k.first.reach - k.second.reach;
    k.fraction = f;
    if (std::abs(g) < 2e-12 * wall_) break;
    if (g < 0) {
      lo = f, flo = g, fhi *= 0.5, at_a = k.first;
    } else {
      hi = f, fhi = g, flo *= 0.5, at_b = k.second;
    }
  }
  return k;
}

std::optional<InnerSolver::Kink> InnerSolver::kink(const At& from, const At& to, double tolerance) const {
  At a = from, b = to;
  double base = 0, part = 1;
  const auto place = [this](const At& x) {
    const Vec2 u = direction(x.turn, x.z);
    return Vec3{x.point.reach * u.x, x.point.reach * u.y, x.z};
  };
  // A branch may end between the points although a kink lies there: close in on the sharper half. Smooth turns shrink
  // with the distance, a kink keeps its angle.
  constexpr double kSmallestAngle = 0.01;
  const double closest = 2e-8 * wall_;
  for (int i = 0; i < 60; ++i) {
    const double bend = norm(a.point.normal - b.point.normal), chord = norm(place(a) - place(b));
    if (chord * bend < 4 * tolerance) {
      if (bend < kSmallestAngle || bend * wall_ < 10 * chord) return std::nullopt;
      if (chord < closest) return Kink{base + 0.5 * part, a.point, b.point};
    }
    if (auto k = tie(a, b)) {
      k->fraction = base + part * k->fraction;
      return k;
    }
    At m{0.5 * (a.turn + b.turn), 0.5 * (a.z + b.z), {}};
    m.point = solve(direction(m.turn, m.z), m.z);
    part *= 0.5;
    if (norm(a.point.normal - m.point.normal) >= norm(m.point.normal - b.point.normal)) {
      b = m;
    } else {
      a = m;
      base += part;
    }
  }
  return std::nullopt;
}

SurfaceJet InnerSolver::jet_near(int span, double t, const FormPlace& x) const {
  const SurfaceJet j = form_->jet_at(form_->profile().at(span, t), x);
  if (norm(j.p_v) > kEmptyPiece * wall_) return j;
  // The piece is empty at this station: its normal is the limit from inside the span.
  const ProfileSpan& s = form_->profile().spans()[static_cast<std::size_t>(span)];
  const double inner = t + 1e-6 * (s.begin + 0.5 * s.length - t);
  SurfaceJet near = form_->jet_at(form_->profile().at(span, inner), x);
  near.p = j.p;
  return near;
}

OffsetJet InnerSolver::offset(int span, double t, const FormPlace& x) const {
  const SurfaceJet j = jet_near(span, t, x);
  const Vec3 big = cross(j.p_v, j.p_t);
  const double length = norm(big);
  OffsetJet o;
  o.normal = big / length;
  const auto turn = [&](Vec3 d) { return (d - dot(d, o.normal) * o.normal) / length; };
  o.normal_t = turn(cross(j.p_tv, j.p_t) + cross(j.p_v, j.p_tt));
  o.normal_v = turn(cross(j.p_vv, j.p_t) + cross(j.p_v, j.p_tv));
  o.at = j.p - wall_ * o.normal;
  o.at_t = j.p_t - wall_ * o.normal_t;
  o.at_v = j.p_v - wall_ * o.normal_v;
  return o;
}

Vec3 InnerSolver::inner_point(int span, double t, int piece, double v) const {
  const SurfaceJet j = jet_near(span, t, form_->place(piece, v));
  return j.p - wall_ * unit(cross(j.p_v, j.p_t));
}

std::vector<LevelBreak> InnerSolver::level_breaks() const {
  std::vector<LevelBreak> out;
  const Profile& p = form_->profile();
  for (int k = 0; k < static_cast<int>(p.spans().size()); ++k) {
    const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
    for (bool end : {false, true}) {
      if (end ? !s.level_end : !s.level_begin) continue;
      const ProfileJet j = p.at(k, s.begin + (end ? s.length : 0));
      const double z = j.rate.half_width < 0 ? j.z - wall_ : j.z + wall_;
      if (z > floor_ + nudge() && z < form_->high() - nudge()) out.push_back({z, s.level(), k});
    }
  }
  std::sort(out.begin(), out.end(),
            [](const LevelBreak& a, const LevelBreak& b) { return a.z < b.z || (a.z == b.z && a.jump && !b.jump); });
  const auto same = [this](const LevelBreak& a, const LevelBreak& b) { return b.z - a.z < 2e-7 * wall_; };
  for (std::size_t i = 1; i < out.size(); ++i)
    if (same(out[i - 1], out[i]) && out[i].jump) out[i - 1].jump = true, out[i - 1].span = out[i].span;
  out.erase(std::unique(out.begin(), out.end(), same), out.end());
  return out;
}

NarrowPlace InnerSolver::narrowest() const {
  NarrowPlace n{kInfinity, floor_};
  constexpr int kHeights = 40;
  const double lip = form_->high();
  const auto look = [&](double turn, double z) {
    const double r = solve(direction(turn, z), z).reach;
    if (r < n.reach) n = {r, z};
    return r;
  };
  for (double share : {0.0, 0.5, 1.0, 0.25, 0.75}) {
    if (share != 0.5 && share != std::round(share) && !form_->twisted()) continue;
    const double turn = share * sector();
    double least = kInfinity;
    int at = 0;
    for (int i = 0; i <= kHeights; ++i) {
      const double r = look(turn, floor_ + (lip - floor_) * i / kHeights);
      if (r < least) least = r, at = i;
    }
    double a = floor_ + (lip - floor_) * std::max(0, at - 1) / kHeights;
    double b = floor_ + (lip - floor_) * std::min(kHeights, at + 1) / kHeights;
    for (int k = 0; k < 16; ++k) {
      const double m1 = a + 0.382 * (b - a), m2 = a + 0.618 * (b - a);
      if (look(turn, m1) < look(turn, m2))
        b = m2;
      else
        a = m1;
    }
  }
  return n;
}

// Farthest that the outside between the feet of a kink lies from it: the clay is as thick as that.
double InnerSolver::thickness(Vec3 kink, const InnerPoint& a, const InnerPoint& b) const {
  const int round = form_->pieces();
  const double from = a.piece + a.v;
  double to = b.piece + b.v;
  // Around the shorter way.
  if (form_->twisted()) to -= round * std::round((to - from) / round);
  double most = 0;
  const auto look = [&](double f, double t) {
    double g = from + f * (to - from);
    if (form_->twisted()) g = std::fmod(g + round, round);
    const int piece = std::clamp(static_cast<int>(g), 0, round - 1);
    most = std::max(most, norm(form_->point(t, piece, g - piece) - kink));
  };
  constexpr int kLooks = 40;
  for (int i = 0; i <= kLooks; ++i) {
    const double f = static_cast<double>(i) / kLooks;
    look(f, a.t + f * (b.t - a.t));
  }
  for (const ProfileSpan& s : form_->profile().spans())
    if (s.corner_before && s.begin >= std::min(a.t, b.t) && s.begin <= std::max(a.t, b.t)) look(0.5, s.begin);
  return most;
}

// One entry for all corners of the section together, and one for each height where the inside is kinked all round; each
// with its thickest place.
void InnerSolver::add_trim(Vec3 kink, const InnerPoint& a, const InnerPoint& b) {
  const Vec3 bend = a.normal - b.normal;
  Trim trim{{std::hypot(kink.x, kink.y), kink.z}, false, std::abs(bend.z) < 0.5 * norm(bend), thickness(kink, a, b)};
  // Branches that differ by rounding alone: no thicker than the wall.
  constexpr double kThicker = 1.01;
  if (trim.thickness < kThicker * wall_) return;
  if (trim.upright) {
    upright_kinks_ = true;
  } else {
    for (const ProfileSpan& s : form_->profile().spans())
      if (s.corner_before && s.begin >= std::min(a.t, b.t) && s.begin <= std::max(a.t, b.t)) trim.corner = true;
  }
  for (Trim& known : trims_) {
    if (known.upright != trim.upright) continue;
    if (!trim.upright && std::abs(known.at.y - trim.at.y) > 2 * wall_) continue;
    trim.corner = trim.corner || known.corner;
    if (trim.thickness > known.thickness)
      known = trim;
    else
      known.corner = trim.corner;
    return;
  }
  trims_.push_back(trim);
}

// On a plane of symmetry the kink's other foot is the mirror image: a corner of the section on the axis.
void InnerSolver::look_at_edge(const At& x, bool begin) {
  constexpr double kEdge = 0.02;
  if (form_->twisted() || std::abs(begin ? x.point.normal.y : x.point.normal.x) < kEdge) return;
  const Vec2 u = direction(x.turn, x.z);
  InnerPoint end = x.point;
  end.piece = begin ? 0 : form_->pieces() - 1;
  end.v = begin ? 0 : 1;
  (begin ? end.normal.y : end.normal.x) *= -1;
  add_trim({x.point.reach * u.x, x.point.reach * u.y, x.z}, x.point, end);
}

void InnerSolver::find_trims() {
  if (regular_) return;
  constexpr int kHeights = 40;
  // Odd, so that no corner of a section lies on a line of its own.
  const int turns = form_->twisted() ? 17 : 9;
  const double worth_a_note = 0.003 * wall_;  // that a chord would cut off
  const double lip = form_->high();
  std::vector<At> before, row;
  const auto look = [&](const At& a, const At& b) {
    const auto found = kink(a, b, worth_a_note);
    if (!found) return;
    const double z = a.z + found->fraction * (b.z - a.z);
    const Vec2 u = direction(a.turn + found->fraction * (b.turn - a.turn), z);
    add_trim({found->first.reach * u.x, found->first.reach * u.y, z}, found->first, found->second);
  };
  for (int i = 0; i <= kHeights; ++i) {
    row.clear();
    const double z = floor_ + (lip - floor_) * i / kHeights;
    for (int k = 0; k <= turns; ++k) {
      At x{sector() * k / turns, z, {}};
      x.point = solve(direction(x.turn, z), z);
      row.push_back(x);
      if (k > 0) look(row[static_cast<std::size_t>(k) - 1], x);
      if (i > 0) look(before[static_cast<std::size_t>(k)], x);
    }
    look_at_edge(row.front(), true);
    look_at_edge(row.back(), false);
    before.swap(row);
  }
  // The rim of a level ceiling, behind the corner that its shoulder begins with.
  for (const LevelBreak& b : level_breaks()) {
    if (!b.jump) continue;
    const double t = form_->profile().spans()[static_cast<std::size_t>(b.span)].begin;
    for (int k = 0; k <= turns; ++k) {
      const double turn = sector() * k / turns;
      const Vec2 u = direction(turn, b.z);
      const InnerPoint rim = solve(u, b.z - nudge());
      if (solve(u, b.z + nudge()).reach > rim.reach - worth_a_note || rim.normal.z > 0.98 || rim.t > t) continue;
      InnerPoint above = rim;
      above.t = t, above.normal = {0, 0, 1};
      add_trim({rim.reach * u.x, rim.reach * u.y, b.z}, rim, above);
    }
  }
  std::sort(trims_.begin(), trims_.end(), [](const Trim& a, const Trim& b) { return a.at.y < b.at.y; });
}

}  // namespace kerfkiln::urn
