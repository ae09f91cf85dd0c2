#include "modeler/plane/raw_offset.hpp"

#include <algorithm>

namespace kerfkiln::plane {
namespace {

constexpr double kLinkMm = 1e-10;       // ends this close are one
constexpr double kSlightTurn = 1e-3;    // rad; corners next to an arc that close by less may be cut in closed form
constexpr double kSlightMm = 1e-10;     // if both curves then meet this well
constexpr double kPointMm = 1e-9;       // arcs of a smaller radius are points
constexpr double kEatenMm = 1e-7;       // less than this left of a piece counts as nothing
constexpr double kSharpestCut = -0.9;   // cosine of the turn; sharper corners are left to the general crossing
constexpr double kSharpestMitre = 0.1;  // cosine of half the turn; sharper corners get an arc

enum class Corner { linked, closing, opening, loose };

struct Vertexwise {
  Corner kind = Corner::loose;
  Vec2 before, after;                    // where the pieces on either side end and start
  Vec2 joint;                            // where they cross, for linked and closing
  double cut_before = 0, cut_after = 0;  // how much of each the crossing takes away
  double sine = 0, cosine = 1;           // of the turn
};

// A segment and its parallel. The radius left is that of the parallel arc, negative if it is inside out.
struct Moved {
  Curve from, to;
  double radius_left = 1;
  bool gone() const { return !from.is_line() && radius_left <= kPointMm; }
};

Moved moved(const Curve& c, double shift) {
  Moved m{c, c};
  if (!c.is_line()) m.radius_left = (1 / c.curvature - shift) * (c.curvature > 0 ? 1 : -1);
  if (m.gone()) return m;
  const double scale = 1 - shift * c.curvature;
  m.to.a = c.a + shift * left(c.ta);
  m.to.b = c.b + shift * left(c.tb);
  m.to.curvature = c.curvature / scale;
  m.to.length = c.length * scale;
  return m;
}

// A turn by half a circle is to the left where the material between both segments has no width at the corner.
double cusp_sense(const Curve& before, const Curve& after) { return -before.curvature > after.curvature ? 1 : -1; }

// A slight turn t that closes next to an arc. To second order in t the parallels, of curvatures k0 and k1, are
// parabolas that meet t u before the end of the first and t (shift - u) after the start of the second, with
//   (k1 - k0) u^2 / 2 - (1 + k1 shift) u + shift (1 + k1 shift) / 2 = 0.
// The general crossing cannot do this: so nearly tangent circles cross twice within rounding.
bool cut_slightly(Vertexwise& v, const Moved& before, const Moved& after, double shift) {
  const double turn = std::atan2(v.sine, v.cosine);
  if (std::abs(turn) > kSlightTurn || before.gone() || after.gone()) return false;
  const double g0 = 1 + before.to.curvature * shift, g1 = 1 + after.to.curvature * shift;
  const double u = shift * g1 / (g1 + std::sqrt(g0 * g1));
  const double cut_before = turn * u, cut_after = turn * (shift - u);
  const Vec2 p = at_length(before.to, before.to.length - cut_before), q = at_length(after.to, cut_after);
  if (norm(p - q) > kSlightMm) return false;
  v.joint = 0.5 * (p + q);
  v.cut_before = cut_before;
  v.cut_after = cut_after;
  return true;
}

Vertexwise look(const Moved& m0, const Moved& m1, double shift) {
  const Curve &before = m0.from, &after = m1.from;
  Vertexwise v;
  v.sine = cross(before.tb, after.ta);
  v.cosine = dot(before.tb, after.ta);
  const Vec2 n0 = left(before.tb), n1 = left(after.ta);
  v.before = after.a + shift * n0;
  v.after = after.a + shift * n1;
  if (v.cosine < 0 && std::abs(v.sine) < 1e-12) v.sine = 1e-12 * cusp_sense(before, after);
  v.joint = after.a + shift / (1 + v.cosine) * (n0 + n1);
  if (v.cosine > 0 && norm(v.after - v.before) <= kLinkMm) {
    v.kind = Corner::linked;
  } else if (v.sine * shift < 0) {
    v.kind = Corner::opening;
  } else if (before.is_line() && after.is_line() && v.cosine > kSharpestCut) {
    v.kind = Corner::closing;
    v.cut_before = v.cut_after = std::abs(shift * v.sine) / (1 + v.cosine);
  } else {
    v.kind = cut_slightly(v, m0, m1, shift) ? Corner::closing : Corner::loose;
  }
  return v;
}

// The curve without `first` at its start and `last` at its end, ends put where the neighbours have them.
void cut_back(Curve& c, double first, double last, Vec2 a, Vec2 b) {
  if (!c.is_line() && first + last > 0) {
    const Vec2 ta = tangent_at_length(c, first), tb = tangent_at_length(c, c.length - last);
    c.ta = ta;
    c.tb = tb;
    c.bulge = std::tan((1 - (first + last) / c.length) * std::atan(c.bulge));
  }
  c.a = a;
  c.b = b;
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

// Pieces that both corners would eat up go back to their full length, with loose ends.
void loosen_eaten(const std::vector<Moved>& pieces, std::vector<Vertexwise>& corners) {
  const std::size_t n = pieces.size();
  std::vector<char> eaten(n, 0);
  for (std::size_t i = 0; i < n; ++i) {
    const double taken = corners[i].cut_after + corners[i + 1 == n ? 0 : i + 1].cut_before;
    eaten[i] = taken > 0 && taken > pieces[i].to.length - kEatenMm;
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
  std::vector<Moved> moves;
  moves.reserve(n);
  for (const Curve& c : source.curves) moves.push_back(moved(c, shift));
  std::vector<Vertexwise> corners(n);
  for (std::size_t i = 0; i < n; ++i) corners[i] = look(moves[i == 0 ? n - 1 : i - 1], moves[i], shift);
  loosen_eaten(moves, corners);

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
    if (moves[i].gone()) {
      // A point hands the link on; an arc turned inside out cuts it.
      const bool hands_on = moves[i].radius_left >= -kPointMm && end.kind != Corner::loose;
      if (raw.pieces.empty())
        front_links = front_links && hands_on;
      else
        raw.pieces.back().linked = raw.pieces.back().linked && hands_on;
      continue;
    }
    RawPiece piece;
    piece.curve = moves[i].to;
    piece.side = source.sides[i];
    piece.linked = end.kind != Corner::loose;
    const bool from_joint = start.kind == Corner::linked || start.kind == Corner::closing;
    const bool to_joint = end.kind == Corner::linked || end.kind == Corner::closing;
    cut_back(piece.curve, from_joint ? start.cut_after : 0, to_joint ? end.cut_before : 0,
             from_joint ? start.joint : start.after, to_joint ? end.joint : end.before);
    raw.pieces.push_back(piece);
  }
  if (!raw.pieces.empty()) raw.pieces.back().linked = raw.pieces.back().linked && front_links;
  return raw;
}

}  // namespace kerfkiln::plane
