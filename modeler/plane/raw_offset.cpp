#include "modeler/plane/raw_offset.hpp"

#include <algorithm>

namespace kerfkiln::plane {
namespace {

constexpr double kLinkMm = 1e-9;      // ends this close are one
constexpr double kSlightMm = 1e-10;   // departure of an arc from its tangent that a cut corner may ignore
constexpr double kPointMm = 1e-9;     // arcs of a smaller radius are points
constexpr double kEatenMm = 1e-7;     // less than this left of a piece counts as nothing
constexpr double kSharpestMitre = 0.1;  // cosine of half the turn; sharper corners get an arc

enum class Corner { linked, closing, opening, loose };

struct Vertexwise {
  Corner kind = Corner::loose;
  Vec2 before, after;   // where the pieces on either side end and start
  Vec2 joint;           // where they cross, for linked and closing
  double cut = 0;       // how much of each the crossing takes away
  double sine = 0, cosine = 1;  // of the turn
};

double reach(const Curve& c, double shift) { return c.is_line() ? 1 : (1 / c.curvature - shift) * (c.curvature > 0 ? 1 : -1); }

// A turn by half a circle is to the left where the material between both segments has no width at the corner.
double cusp_sense(const Curve& before, const Curve& after) { return -before.curvature > after.curvature ? 1 : -1; }

Vertexwise look(const Curve& before, const Curve& after, double shift) {
  Vertexwise v;
  v.sine = cross(before.tb, after.ta);
  v.cosine = dot(before.tb, after.ta);
  const Vec2 n0 = left(before.tb), n1 = left(after.ta);
  v.before = after.a + shift * n0;
  v.after = after.a + shift * n1;
  if (v.cosine < 0 && std::abs(v.sine) < 1e-12) v.sine = 1e-12 * cusp_sense(before, after);
  if (v.cosine > 0) {
    v.joint = after.a + shift / (1 + v.cosine) * (n0 + n1);
    v.cut = std::abs(shift * v.sine) / (1 + v.cosine);
    if (norm(v.after - v.before) <= kLinkMm) {
      v.kind = Corner::linked;
      v.cut = 0;
      return v;
    }
  }
  if (v.sine * shift < 0) {
    v.kind = Corner::opening;
    return v;
  }
  v.kind = Corner::closing;
  if (v.cosine <= 0) {
    if (!before.is_line() || !after.is_line() || v.cosine < -0.9) {
      v.kind = Corner::loose;
      return v;
    }
    v.joint = after.a + shift / (1 + v.cosine) * (n0 + n1);
    v.cut = std::abs(shift * v.sine) / (1 + v.cosine);
  }
  // Next to an arc the crossing of the tangents is good enough only if it lies close.
  for (const Curve* c : {&before, &after}) {
    if (c->is_line()) continue;
    const double radius = reach(*c, shift);
    if (radius <= 0 || v.cut * v.cut > 2 * kSlightMm * radius) v.kind = Corner::loose;
  }
  return v;
}

Curve moved_curve(const Curve& c, double shift) {
  Curve m = c;
  m.a = c.a + shift * left(c.ta);
  m.b = c.b + shift * left(c.tb);
  const double scale = 1 - shift * c.curvature;
  m.curvature = c.curvature / scale;
  m.length = c.length * scale;
  return m;
}

// The curve without `first` at its start and `last` at its end, ends put where the neighbours have them.
void cut_back(Curve& c, double first, double last, Vec2 a, Vec2 b) {
  c.a = a;
  c.b = b;
  if (!c.is_line() && first + last > 0) {
    c.ta = tangent_at_length(c, first);
    c.tb = tangent_at_length(c, c.length - first - last);
    c.bulge = std::tan((1 - (first + last) / c.length) * std::atan(c.bulge));
  }
  c.length -= first + last;
}

int joint_side(int before, int after) { return before == after ? before : -1; }

void add_arc(RawLoop& raw, const Vertexwise& v, const Curve& before, const Curve& after, double shift, int side) {
  const double half = v.sine / (1 + v.cosine);  // tan of half the turn; infinite for a half circle
  const double quarter = std::isfinite(half) ? half / (1 + std::sqrt(1 + half * half)) : std::copysign(1, v.sine);
  RawPiece piece;
  piece.curve.a = v.before;
  piece.curve.b = v.after;
  piece.curve.ta = before.tb;
  piece.curve.tb = after.ta;
  piece.curve.bulge = quarter;
  piece.curve.curvature = -1 / shift;
  piece.curve.length = 4 * std::abs(std::atan(quarter) * shift);
  piece.side = side;
  raw.pieces.push_back(piece);
}

Curve line(Vec2 a, Vec2 b, Vec2 direction) {
  Curve c;
  c.a = a;
  c.b = b;
  c.ta = c.tb = direction;
  c.length = norm(b - a);
  return c;
}

void add_mitre(RawLoop& raw, const Vertexwise& v, const Curve& before, const Curve& after, double shift, int side,
               std::vector<Kite>& kites) {
  const Vec2 tip = after.a + shift / (1 + v.cosine) * (left(before.tb) + left(after.ta));
  raw.pieces.push_back({line(v.before, tip, before.tb), side, true});
  raw.pieces.push_back({line(tip, v.after, after.ta), side, false});
  kites.push_back({after.a, v.before, tip, v.after});
}

bool joined(const Vertexwise& v) { return v.kind == Corner::linked || v.kind == Corner::closing; }

// Pieces that both corners would eat up go back to their full length, with loose ends.
void loosen_eaten(const SourceLoop& source, double shift, std::vector<Vertexwise>& corners) {
  const std::size_t n = source.curves.size();
  std::vector<char> eaten(n, 0);
  const auto cut = [&](std::size_t k) { return corners[k].kind == Corner::closing ? corners[k].cut : 0; };
  for (std::size_t i = 0; i < n; ++i) {
    const Curve& c = source.curves[i];
    const double taken = cut(i) + cut(i + 1 == n ? 0 : i + 1);
    eaten[i] = taken > 0 && taken > c.length * (1 - shift * c.curvature) - kEatenMm;
  }
  for (std::size_t i = 0; i < n; ++i)
    for (const std::size_t k : {i, i + 1 == n ? 0 : i + 1})
      if (eaten[i] && corners[k].kind == Corner::closing) corners[k].kind = Corner::loose;
}

}  // namespace

SourceLoop source_loop(const Loop& loop) {
  SourceLoop source;
  source.curves.reserve(loop.size());
  source.sides.reserve(loop.size());
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Segment s = segment(loop, i);
    if (norm(s.b - s.a) < 1e-12) continue;
    source.curves.push_back(curve(s));
    source.sides.push_back(loop[i].side);
  }
  return source;
}

RawLoop raw_offset(const SourceLoop& source, double shift, Join join, std::vector<Kite>& kites) {
  const std::size_t n = source.curves.size();
  RawLoop raw;
  if (n == 0) return raw;
  std::vector<Vertexwise> corners(n);
  for (std::size_t i = 0; i < n; ++i) corners[i] = look(source.curves[i == 0 ? n - 1 : i - 1], source.curves[i], shift);
  loosen_eaten(source, shift, corners);

  raw.pieces.reserve(2 * n);
  bool front_links = true;  // whether the end of the loop reaches its first piece across arcs that have no radius left
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t previous = i == 0 ? n - 1 : i - 1;
    const Vertexwise &start = corners[i], &end = corners[i + 1 == n ? 0 : i + 1];
    const Curve& c = source.curves[i];
    if (start.kind == Corner::opening) {
      const int side = joint_side(source.sides[previous], source.sides[i]);
      const bool sharp = (1 + start.cosine) / 2 < kSharpestMitre * kSharpestMitre;
      if (join == Join::mitre && !sharp)
        add_mitre(raw, start, source.curves[previous], c, shift, side, kites);
      else
        add_arc(raw, start, source.curves[previous], c, shift, side);
      raw.pieces.back().linked = true;
    }
    const double radius = reach(c, shift);
    if (!c.is_line() && radius <= kPointMm) {
      // A point hands the link on; an arc turned inside out cuts it.
      const bool hands_on = radius >= -kPointMm && end.kind != Corner::loose;
      if (raw.pieces.empty())
        front_links = front_links && hands_on;
      else
        raw.pieces.back().linked = raw.pieces.back().linked && hands_on;
      continue;
    }
    RawPiece piece;
    piece.curve = moved_curve(c, shift);
    piece.side = source.sides[i];
    piece.linked = end.kind != Corner::loose;
    cut_back(piece.curve, joined(start) ? start.cut : 0, joined(end) ? end.cut : 0, joined(start) ? start.joint : start.after,
             joined(end) ? end.joint : end.before);
    raw.pieces.push_back(piece);
  }
  if (!raw.pieces.empty()) raw.pieces.back().linked = raw.pieces.back().linked && front_links;
  return raw;
}

}  // namespace kerfkiln::plane
