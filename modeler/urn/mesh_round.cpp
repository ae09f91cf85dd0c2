// Solids of revolution: a chain of rings (r, z) times a table of directions.
#include <algorithm>
#include <numbers>

#include "modeler/urn/grid.hpp"
#include "modeler/urn/recess.hpp"
#include "modeler/urn/wall_round.hpp"

namespace kerfkiln::urn {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr int kSamples = 10;  // of the curvature, a span
// Rings closer than the curvature at a point asks for: it varies within a step.
constexpr double kMargin = 1.05;

// A sample of a curve of revolution: place, curvature along it, radius, cosine of the slope, speed along the parameter.
struct CurveSample {
  double parameter, bend, radius, level, speed;
  bool breaks = false;  // a ring must stand here: a corner, a mitre or an end
};
using Curve = std::vector<CurveSample>;

Curve sample_outside(const Form& form) {
  const Profile& p = form.profile();
  Curve curve;
  for (int k = 0; k < static_cast<int>(p.spans().size()); ++k) {
    const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
    for (int i = 0; i <= kSamples; ++i) {
      const double t = s.begin + s.length * i / kSamples;
      const OffsetPoint o = offset_point(p, k, t, 1);
      curve.push_back(
          {t, 1 - o.stretch, o.at.x + o.normal.x, o.normal.x, o.speed, i == 0 && (k == 0 || s.corner_before)});
    }
  }
  curve.back().breaks = true;
  return curve;
}

// Pieces are numbered: parameter = index + fraction.
Curve sample_inside(const Wall& w) {
  const Profile& p = w.form().profile();
  const double wall = w.size().wall;
  Curve curve;
  const auto& pieces = w.pieces();
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    const InnerPiece& x = pieces[k];
    for (int i = 0; i <= kSamples; ++i) {
      const double f = static_cast<double>(i) / kSamples, parameter = static_cast<double>(k) + f;
      // The curvature jumps where a round about a corner begins and ends.
      const bool jump = k > 0 && (x.kind == InnerPiece::Kind::arc || pieces[k - 1].kind == InnerPiece::Kind::arc);
      const bool breaks = i == 0 && (k == 0 || x.kink_before || jump);
      if (x.kind == InnerPiece::Kind::arc) {
        const double a0 = std::asin(std::clamp((x.z0 - x.centre.y) / wall, -1.0, 1.0));
        const double a1 = std::asin(std::clamp((x.z1 - x.centre.y) / wall, -1.0, 1.0));
        const double a = a0 + f * (a1 - a0), c = std::cos(a);
        curve.push_back({parameter, -1 / wall, x.centre.x - wall * c, c, wall * (a1 - a0), breaks});
      } else {
        const OffsetPoint o = offset_point(p, x.span, x.t0 + f * (x.t1 - x.t0), wall);
        const double stretch = std::max(o.stretch, 1e-3);
        curve.push_back({parameter, (1 - o.stretch) / (wall * stretch), o.at.x, o.normal.x,
                         o.speed * stretch * (x.t1 - x.t0), breaks});
      }
    }
  }
  curve.back().breaks = true;
  return curve;
}

Vec2 inside_at(const Wall& w, double parameter) {
  const auto& pieces = w.pieces();
  const std::size_t k = std::min(static_cast<std::size_t>(parameter), pieces.size() - 1);
  const InnerPiece& x = pieces[k];
  const double f = parameter - static_cast<double>(k), wall = w.size().wall;
  if (x.kind == InnerPiece::Kind::offset)
    return offset_point(w.form().profile(), x.span, x.t0 + f * (x.t1 - x.t0), wall).at;
  const double a0 = std::asin(std::clamp((x.z0 - x.centre.y) / wall, -1.0, 1.0));
  const double a1 = std::asin(std::clamp((x.z1 - x.centre.y) / wall, -1.0, 1.0));
  const double a = a0 + f * (a1 - a0);
  return {x.centre.x - wall * std::cos(a), x.centre.y + wall * std::sin(a)};
}

double density(const CurveSample& s, int columns, double deviation) {
  const double step = 2 * kPi * s.radius / columns;
  const Bend b{s.bend, 0, s.level / s.radius};
  return kMargin * s.speed / ring_step(b, step, deviation);
}

// Calls stretch(first sample, one past last) for each stretch between breaks.
template <class Each>
void stretches(const Curve& curve, Each&& each) {
  std::size_t from = 0;
  for (std::size_t i = 1; i < curve.size(); ++i) {
    // A break is the first sample of what follows, or the very last one.
    if (!curve[i].breaks) continue;
    const bool end = i + 1 == curve.size();
    each(from, end ? i + 1 : i);
    from = i;
  }
}

int rings_of(const Curve& curve, int columns, double deviation) {
  int rings = 0;
  stretches(curve, [&](std::size_t from, std::size_t to) {
    double sum = 0, last = density(curve[from], columns, deviation);
    for (std::size_t i = from + 1; i < to; ++i) {
      const double now = density(curve[i], columns, deviation);
      sum += 0.5 * (curve[i].parameter - curve[i - 1].parameter) * (last + now);
      last = now;
    }
    rings += std::max(1, static_cast<int>(std::ceil(sum - 1e-9)));
  });
  return rings;
}

// The number of columns, a multiple of four, that needs the fewest triangles.
int choose_columns(const Curve& outside, const Curve* inside, double deviation) {
  double radius = 0;
  for (const CurveSample& s : outside) radius = std::max(radius, s.radius);
  const auto columns_for = [&](double share) {
    const double cosine = std::max(1 - std::min(share * deviation / radius, 1.0), -1.0);
    const int n = static_cast<int>(std::ceil(kPi / std::acos(cosine) / 4)) * 4;
    return std::max(n, 12);
  };
  int best = 0;
  double least = INFINITY;
  for (double share : {0.3, 0.36, 0.42, 0.48, 0.54, 0.6, 0.66, 0.72, 0.78}) {
    const int n = columns_for(share);
    const double count =
        static_cast<double>(n) * (rings_of(outside, n, deviation) + (inside ? rings_of(*inside, n, deviation) : 0));
    if (count < least) least = count, best = n;
  }
  return best;
}

// Rings between two stations until the curve's points lie near enough to the chords: the bending at the samples does
// not tell how it runs between them.
template <class At>
void refine(double a, Vec2 pa, double b, Vec2 pb, int columns, double deviation, int depth, At&& at,
            std::vector<Vec2>& rings) {
  const Vec2 chord = pb - pa, out = right(chord) / norm(chord);
  double most = 0;
  bool outward = true;
  for (double f : {0.25, 0.5, 0.75}) {
    const double off = dot(at(a + f * (b - a)) - pa, out);
    if (std::abs(off) > most) most = std::abs(off), outward = off > 0;
  }
  const double across = std::abs(out.x) * std::max(pa.x, pb.x) * kPi * kPi / (2.0 * columns * columns);
  if (depth > 0 && most > (outward ? std::max(deviation - across, 0.05 * deviation) : 0.95 * deviation)) {
    const double m = 0.5 * (a + b);
    const Vec2 pm = at(m);
    refine(a, pa, m, pm, columns, deviation, depth - 1, at, rings);
    refine(m, pm, b, pb, columns, deviation, depth - 1, at, rings);
    return;
  }
  rings.push_back(pb);
}

// Rings by rising parameter, for an outside walked upwards (chords turned right face out).
template <class At>
void add_rings(const Curve& curve, int columns, double deviation, Lane& lane, std::vector<Vec2>& rings, At&& at) {
  bool first = true;
  stretches(curve, [&](std::size_t from, std::size_t to) {
    lane.clear();
    for (std::size_t i = from; i < to; ++i) lane.add(curve[i].parameter, density(curve[i], columns, deviation));
    double before = 0;
    bool begin = true;
    lane.place(lane.intervals(), [&](double parameter) {
      if (begin && first) rings.push_back(at(parameter));
      if (!begin) refine(before, rings.back(), parameter, at(parameter), columns, deviation, 8, at, rings);
      begin = false;
      before = parameter;
    });
    first = false;
  });
}

// Rings that touch are one; the first and the last stay.
void drop_touching(std::vector<Vec2>& rings, std::size_t from) {
  constexpr double kTouch = 1e-4;
  std::size_t kept = from;
  for (std::size_t i = from + 1; i < rings.size(); ++i) {
    const bool last = i + 1 == rings.size();
    if (norm(rings[i] - rings[kept]) >= kTouch)
      rings[++kept] = rings[i];
    else if (last && kept > from)
      rings[kept] = rings[i];
    else if (last)
      rings[++kept] = rings[i];
  }
  rings.resize(kept + 1);
}

std::vector<Vec2> directions(int columns) {
  std::vector<Vec2> d(static_cast<std::size_t>(columns));
  const int quarter = columns / 4;
  for (int i = 0; i < columns; ++i) {
    // Whole quarters exactly, and the rest mirrored from one quarter.
    const int k = i / quarter, j = i % quarter;
    const double a = 2 * kPi * j / columns, c = j == 0 ? 1 : std::cos(a), s = j == 0 ? 0 : std::sin(a);
    d[static_cast<std::size_t>(i)] = k == 0 ? Vec2{c, s} : k == 1 ? Vec2{-s, c} : k == 2 ? Vec2{-c, -s} : Vec2{s, -c};
  }
  return d;
}

// The chain closed by a fan at both ends; `first` and `last` are the heights of the fans' middles.
void revolve(const std::vector<Vec2>& rings, int columns, double first, double last, solid::Mesh& out) {
  const std::vector<Vec2> d = directions(columns);
  const auto n = static_cast<std::uint32_t>(columns);
  const auto count = static_cast<std::uint32_t>(rings.size());
  out.points.resize(static_cast<std::size_t>(n) * count + 2);
  Vec3* p = out.points.data();
  for (const Vec2 ring : rings)
    for (const Vec2 u : d) *p++ = {ring.x * u.x, ring.x * u.y, ring.y};
  *p++ = {0, 0, first};
  *p = {0, 0, last};
  out.triangles.resize(2 * static_cast<std::size_t>(n) * count);
  solid::Triangle* t = out.triangles.data();
  const auto quad = [&t](std::uint32_t a, std::uint32_t b, std::uint32_t up) {
    t[0] = {a, b, b + up};
    t[1] = {a, b + up, a + up};
    t += 2;
  };
  for (std::uint32_t j = 0; j + 1 < count; ++j) {
    const std::uint32_t base = j * n;
    for (std::uint32_t i = 0; i + 1 < n; ++i) quad(base + i, base + i + 1, n);
    quad(base + n - 1, base, n);
  }
  const std::uint32_t top = (count - 1) * n, foot = n * count, floor = foot + 1;
  for (std::uint32_t i = 0; i < n; ++i) {
    const std::uint32_t k = i + 1 == n ? 0 : i + 1;
    *t++ = {foot, k, i};
    *t++ = {top + i, top + k, floor};
  }
}

}  // namespace

void mesh_round_ware(const Wall& w, double deviation, solid::Mesh& out) {
  const Form& form = w.form();
  const Profile& p = form.profile();
  const Curve outside = sample_outside(form), inside = sample_inside(w);
  const int columns = choose_columns(outside, &inside, deviation);
  std::vector<Vec2> rings;
  double under = form.low();
  if (w.size().recess > 0) {
    const double r = p.at(0, p.begin()).size.half_width - w.recess_inset();
    under += w.size().recess;
    rings.push_back({r, under});
    rings.push_back({r, form.low()});
  }
  Lane lane;
  add_rings(outside, columns, deviation, lane, rings, [&](double t) {
    const ProfileJet j = p.at(t);
    return Vec2{j.size.half_width, j.z};
  });
  rings.back().y = form.high();
  const std::size_t lip = rings.size();
  add_rings(inside, columns, deviation, lane, rings, [&](double f) { return inside_at(w, f); });
  rings[lip].y = w.floor();
  rings.back().y = form.high();
  drop_touching(rings, lip);
  std::reverse(rings.begin() + static_cast<std::ptrdiff_t>(lip), rings.end());
  revolve(rings, columns, under, w.floor(), out);
}

void mesh_round_form(const Form& form, double deviation, solid::Mesh& out) {
  const Profile& p = form.profile();
  const Curve outside = sample_outside(form);
  const int columns = choose_columns(outside, nullptr, deviation);
  std::vector<Vec2> rings;
  Lane lane;
  add_rings(outside, columns, deviation, lane, rings, [&](double t) {
    const ProfileJet j = p.at(t);
    return Vec2{j.size.half_width, j.z};
  });
  rings.back().y = form.high();
  revolve(rings, columns, form.low(), form.high(), out);
}

}  // namespace kerfkiln::urn
