#include "modeler/urn/wall_round.hpp"

#include <algorithm>
#include <cmath>

namespace kerfkiln::urn {
namespace {

constexpr int kSamplesPerSpan = 20;

// A run along which the height of the offset rises without a break: a candidate for the inside over its heights.
using Run = std::vector<InnerPiece>;

double low_of(const Run& r) { return r.front().z0; }
double high_of(const Run& r) { return r.back().z1; }

double stretch_at(const Profile& p, int span, double t, double wall) { return offset_point(p, span, t, wall).stretch; }

// Parameters in (a, b) of a span where the offset turns in height: sign changes of the stretch.
std::vector<double> turns(const Profile& p, int span, double wall) {
  const ProfileSpan& s = p.spans()[static_cast<std::size_t>(span)];
  std::vector<double> found;
  const auto g = [&](double t) { return stretch_at(p, span, t, wall); };
  const auto root = [&](double a, double b) {
    const bool rising = g(b) > g(a);
    for (int i = 0; i < 60; ++i) {
      const double m = 0.5 * (a + b);
      ((g(m) > 0) == rising ? b : a) = m;
    }
    found.push_back(0.5 * (a + b));
  };
  double value[kSamplesPerSpan + 1];
  const auto at = [&](int i) { return s.begin + s.length * i / kSamplesPerSpan; };
  for (int i = 0; i <= kSamplesPerSpan; ++i) value[i] = g(at(i));
  for (int i = 0; i < kSamplesPerSpan; ++i) {
    if ((value[i] > 0) != (value[i + 1] > 0)) {
      root(at(i), at(i + 1));
      continue;
    }
    // A dip between samples: look for its bottom before deciding that it stays positive.
    if (i == 0 || value[i] <= 0 || value[i] > 0.3 || value[i] > value[i - 1] || value[i] > value[i + 1]) continue;
    double a = at(i - 1), b = at(i + 1);
    for (int k = 0; k < 40; ++k) {
      const double m = a + (b - a) / 3, n = b - (b - a) / 3;
      (g(m) < g(n) ? b : a) = g(m) < g(n) ? n : m;
    }
    const double bottom = 0.5 * (a + b);
    if (g(bottom) >= 0) continue;
    root(at(i - 1), bottom);
    root(bottom, at(i + 1));
  }
  std::sort(found.begin(), found.end());
  return found;
}

InnerPiece arc_piece(Vec2 centre, double t, double z0, double z1) {
  InnerPiece a;
  a.kind = InnerPiece::Kind::arc;
  a.centre = centre;
  a.t0 = a.t1 = t;
  a.z0 = z0;
  a.z1 = z1;
  return a;
}

// All rising runs in the order of t.
std::vector<Run> rising_runs(const Form& form, double wall) {
  const Profile& p = form.profile();
  const int count = static_cast<int>(p.spans().size());
  std::vector<Run> runs(1);
  const auto extend = [&](InnerPiece piece) { runs.back().push_back(piece); };
  const auto break_run = [&] {
    if (!runs.back().empty()) runs.emplace_back();
  };
  const double first = offset_height(p, 0, p.begin(), wall);
  if (first > form.low())
    extend(arc_piece({p.at(0, p.begin()).size.half_width, form.low()}, p.begin(), form.low(), first));
  for (int k = 0; k < count; ++k) {
    const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
    if (k > 0 && s.corner_before) {
      const ProfileSpan& before = p.spans()[static_cast<std::size_t>(k - 1)];
      const double below = offset_height(p, k - 1, before.begin + before.length, wall);
      const double above = offset_height(p, k, s.begin, wall);
      if (above > below)
        extend(arc_piece({s.half_width[0], s.height[0]}, s.begin, below, above));
      else if (above < below)
        break_run();
    }
    std::vector<double> stops = turns(p, k, wall);
    stops.insert(stops.begin(), s.begin);
    stops.push_back(s.begin + s.length);
    for (std::size_t i = 1; i < stops.size(); ++i) {
      if (stops[i] <= stops[i - 1]) continue;
      if (stretch_at(p, k, 0.5 * (stops[i - 1] + stops[i]), wall) <= 0) {
        break_run();
        continue;
      }
      InnerPiece o;
      o.span = k;
      o.t0 = stops[i - 1];
      o.t1 = stops[i];
      o.z0 = offset_height(p, k, o.t0, wall);
      o.z1 = offset_height(p, k, o.t1, wall);
      // A level stretch stays level.
      if (s.level()) o.z1 = o.z0 = s.height[0] + std::copysign(wall, o.z0 - s.height[0]);
      if (o.z1 > o.z0 || s.level()) extend(o);
    }
  }
  const double last = offset_height(p, count - 1, p.end(), wall);
  if (last < form.high())
    extend(arc_piece({p.at(count - 1, p.end()).size.half_width, form.high()}, p.end(), last, form.high()));
  if (runs.back().empty()) runs.pop_back();
  return runs;
}

double radius_at(const Profile& p, const Run& run, double wall, double z) {
  return piece_at(p, piece_of(run, z), wall, z).r;
}

struct Stretch {
  std::size_t run = 0;
  double z0 = 0, z1 = 0;
};

// The lower envelope of the runs. Two runs cross at most once, the later one (larger t) winning above the crossing:
// the difference of two equal arcs about centres of rising height falls with z.
std::vector<Stretch> envelope(const Profile& p, const std::vector<Run>& runs, double wall) {
  std::vector<Stretch> kept;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    Stretch next{i, low_of(runs[i]), high_of(runs[i])};
    bool use = true;
    while (!kept.empty()) {
      Stretch& top = kept.back();
      const double lo = std::max(top.z0, next.z0), hi = std::min(high_of(runs[top.run]), next.z1);
      const auto gap = [&](double z) { return radius_at(p, runs[i], wall, z) - radius_at(p, runs[top.run], wall, z); };
      if (hi < lo) break;
      if (gap(lo) <= 0) {
        if (kept.size() == 1) {
          top.z1 = next.z0 = lo;
          break;
        }
        kept.pop_back();
        continue;
      }
      if (gap(hi) > 0) {
        use = next.z1 > high_of(runs[top.run]);
        next.z0 = hi;
        break;
      }
      double a = lo, b = hi;
      for (int k = 0; k < 60 && b - a > 1e-14 * (1 + std::abs(b)); ++k) {
        const double m = 0.5 * (a + b);
        (gap(m) > 0 ? a : b) = m;
      }
      top.z1 = next.z0 = 0.5 * (a + b);
      break;
    }
    if (use && next.z1 > next.z0) kept.push_back(next);
  }
  return kept;
}

bool level(const InnerPiece& x) { return x.kind == InnerPiece::Kind::offset && x.z1 == x.z0; }

// The parameter of a level piece where its radius is r.
double at_radius(const Profile& p, const InnerPiece& x, double wall, double r) {
  double a = x.t0, b = x.t1;
  const bool rising = offset_point(p, x.span, b, wall).at.x > offset_point(p, x.span, a, wall).at.x;
  for (int i = 0; i < 60; ++i) {
    const double m = 0.5 * (a + b);
    ((offset_point(p, x.span, m, wall).at.x < r) == rising ? a : b) = m;
  }
  return 0.5 * (a + b);
}

// Farthest that the outside between two parameters lies from a kink of the inside.
double thickness(const Profile& p, Vec2 kink, double t0, double t1) {
  double most = 0;
  const auto look = [&](double t) {
    const ProfileJet j = p.at(t);
    most = std::max(most, norm(Vec2{j.size.half_width, j.z} - kink));
  };
  for (int i = 0; i <= 40; ++i) look(t0 + (t1 - t0) * i / 40);
  for (const ProfileSpan& s : p.spans())
    if (s.begin > t0 && s.begin < t1) look(s.begin);
  return most;
}

// Where a level piece meets the rest of the envelope in its middle, only the part inside the other counts.
void trim_levels(const Profile& p, double wall, std::vector<InnerPiece>& pieces) {
  for (std::size_t i = 1; i < pieces.size(); ++i) {
    InnerPiece &a = pieces[i - 1], &b = pieces[i];
    if (!b.kink_before) continue;
    if (level(b)) {
      const double r = piece_at(p, a, wall, a.z1).r;
      b.t0 = at_radius(p, b, wall, r);
    } else if (level(a)) {
      const double r = piece_at(p, b, wall, b.z0).r;
      a.t1 = at_radius(p, a, wall, r);
    }
  }
}

// A piece restricted to heights z0 ... z1.
InnerPiece cut(const Profile& p, InnerPiece piece, double wall, double z0, double z1) {
  if (level(piece)) return piece;
  if (piece.kind == InnerPiece::Kind::offset) {
    const InnerPiece whole = piece;
    if (z0 > whole.z0) piece.t0 = piece_at(p, whole, wall, z0).t;
    if (z1 < whole.z1) piece.t1 = piece_at(p, whole, wall, z1).t;
  }
  piece.z0 = std::max(piece.z0, z0);
  piece.z1 = std::min(piece.z1, z1);
  return piece;
}

void find_narrowest(const Profile& p, double wall, RoundInside& in) {
  in.narrowest = INFINITY;
  const auto look = [&](double r, double z) {
    if (r < in.narrowest) in.narrowest = r, in.narrowest_z = z;
  };
  for (const InnerPiece& x : in.pieces) {
    look(piece_at(p, x, wall, x.z0).r, x.z0);
    look(piece_at(p, x, wall, x.z1).r, x.z1);
    if (x.kind == InnerPiece::Kind::arc) {
      if (x.centre.y > x.z0 && x.centre.y < x.z1) look(x.centre.x - wall, x.centre.y);
      continue;
    }
    // The radius of the offset is stationary where that of the outside is.
    const ProfileSpan& s = p.spans()[static_cast<std::size_t>(x.span)];
    const double t = s.begin + extremes(s.half_width, s.length).low_at;
    if (t > x.t0 && t < x.t1) {
      const OffsetPoint o = offset_point(p, x.span, t, wall);
      look(o.at.x, o.at.y);
    }
  }
}

}  // namespace

OffsetPoint offset_point(const Profile& p, int span, double t, double wall) {
  const ProfileSpan& s = p.spans()[static_cast<std::size_t>(span)];
  const double u = t - s.begin;
  const double r = value(s.half_width, u), r1 = slope(s.half_width, u), r2 = bend(s.half_width, u);
  const double z = value(s.height, u), z1 = slope(s.height, u), z2 = bend(s.height, u);
  const double square = r1 * r1 + z1 * z1, speed = std::sqrt(square);
  const Vec2 n{z1 / speed, -r1 / speed};
  return {{r - wall * n.x, z - wall * n.y}, n, 1 - wall * (r1 * z2 - z1 * r2) / (square * speed), speed};
}

double offset_height(const Profile& p, int span, double t, double wall) { return offset_point(p, span, t, wall).at.y; }

const InnerPiece& piece_of(const std::vector<InnerPiece>& pieces, double z) {
  const auto it =
      std::upper_bound(pieces.begin() + 1, pieces.end(), z, [](double x, const InnerPiece& q) { return x < q.z0; });
  return *(it - 1);
}

PiecePoint piece_at(const Profile& p, const InnerPiece& x, double wall, double z) {
  if (x.kind == InnerPiece::Kind::arc) {
    const double dz = std::clamp(z - x.centre.y, -wall, wall), s = std::sqrt(wall * wall - dz * dz);
    return {x.centre.x - s, x.t0, Vec2{s, -dz} / wall};
  }
  if (level(x)) {
    const OffsetPoint o = offset_point(p, x.span, x.t1, wall);
    return {o.at.x, x.t1, o.normal};
  }
  // Newton inside a shrinking bracket: the height rises along the piece.
  double lo = x.t0, hi = x.t1;
  double t = lo + (hi - lo) * std::clamp((z - x.z0) / (x.z1 - x.z0), 0.0, 1.0);
  const double span_length = p.spans()[static_cast<std::size_t>(x.span)].length;
  OffsetPoint o = offset_point(p, x.span, t, wall);
  for (int i = 0; i < 100; ++i) {
    const double off = o.at.y - z;
    if (off == 0) break;
    (off < 0 ? lo : hi) = t;
    double next = t - off / (o.stretch * o.normal.x * o.speed);
    if (!(next >= lo && next <= hi)) next = 0.5 * (lo + hi);
    const bool done = std::abs(next - t) <= 1e-15 * span_length;
    t = next;
    o = offset_point(p, x.span, t, wall);
    if (done) break;
  }
  return {o.at.x, t, o.normal};
}

RoundInside round_inside(const Form& form, double wall, double floor) {
  const Profile& p = form.profile();
  const std::vector<Run> runs = rising_runs(form, wall);
  RoundInside in;
  std::size_t before = runs.size();
  for (const Stretch& s : envelope(p, runs, wall)) {
    bool first = true;
    for (const InnerPiece& piece : runs[s.run]) {
      const double z0 = std::max({piece.z0, s.z0, floor}), z1 = std::min({piece.z1, s.z1, form.high()});
      if (level(piece) ? z1 < z0 || piece.z0 <= floor : !(z1 > z0)) continue;
      InnerPiece part = cut(p, piece, wall, z0, z1);
      part.kink_before = first && before < runs.size() && before != s.run && z0 > floor;
      first = false;
      before = s.run;
      in.pieces.push_back(part);
    }
  }
  trim_levels(p, wall, in.pieces);
  for (std::size_t i = 1; i < in.pieces.size(); ++i) {
    const InnerPiece &a = in.pieces[i - 1], &b = in.pieces[i];
    if (!b.kink_before) continue;
    // A level piece begins at its own t0, any other where its height says.
    const Vec2 kink = level(b) ? offset_point(p, b.span, b.t0, wall).at : Vec2{piece_at(p, b, wall, b.z0).r, b.z0};
    Trim trim{kink, false, false, thickness(p, kink, a.t1, b.t0)};
    for (const ProfileSpan& q : p.spans())
      if (q.corner_before && q.begin >= a.t1 && q.begin <= b.t0) trim.corner = true;
    in.trims.push_back(trim);
  }
  find_narrowest(p, wall, in);
  return in;
}

}  // namespace kerfkiln::urn
