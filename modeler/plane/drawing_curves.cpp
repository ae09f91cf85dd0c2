// Drawn curves as lines and arcs.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "modeler/base/number_text.hpp"
#include "modeler/numeric/cubic.hpp"
#include "modeler/plane/drawing_pieces.hpp"
#include "modeler/plane/fit.hpp"

namespace kerfkiln::plane {
namespace {

constexpr std::size_t kMostPieces = 100000;
constexpr int kHighestDegree = 24;
constexpr double kRound = 1e-9;         // relative: a conic this close to a circle is one
constexpr double kShortestSpan = 1e-9;  // of a spline's knots, relative to all of them
constexpr double kPointMm = 1e-6;

class Collector {
 public:
  Collector(const DrawingFrame& frame, Findings& findings) : frame_(frame), findings_(findings) {}
  std::vector<Piece> pieces;

  bool add(const DrawnCurve& c) {
    entity_ = c.entity;
    if (const auto* l = std::get_if<DrawnLine>(&c.shape)) push({frame_.to_mm(l->a), frame_.to_mm(l->b), 0}, false);
    if (const auto* k = std::get_if<DrawnConic>(&c.shape)) conic(*k);
    if (const auto* s = std::get_if<DrawnSpline>(&c.shape)) spline(*s);
    if (pieces.size() <= kMostPieces) return true;
    findings_.push_back({Severity::error, "drawing.vertices", "", "the drawing needs more than 100 000 lines and arcs",
                         "export the outline alone, or simpler"});
    return false;
  }

 private:
  void push(Segment s, bool fitted) {
    if (std::abs(s.bulge) < 1e-9) s.bulge = 0;
    pieces.push_back({s, {entity_, fitted}});
  }

  void conic(const DrawnConic& k) {
    const Vec2 c = frame_.to_mm(k.c), u = frame_.unit_mm * k.u, v = frame_.unit_mm * k.v;
    const auto at = [&](double t) { return c + std::cos(t) * u + std::sin(t) * v; };
    const double length = norm(u), turn = cross(u, v);
    const double sweep = k.t1 - k.t0;
    const int parts = std::max(1, static_cast<int>(std::ceil(sweep / (std::numbers::pi / 2) - 1e-9)));
    const bool round =
        std::abs(length - norm(v)) <= kRound * length && std::abs(dot(u, v)) <= kRound * length * norm(v);
    const double bulge = std::copysign(std::tan(sweep / parts / 4), turn);
    Vec2 from = at(k.t0);
    for (int i = 1; i <= parts; ++i) {
      const double t0 = k.t0 + sweep * (i - 1) / parts, t1 = k.t0 + sweep * i / parts;
      // A full turn ends where it began, to the last bit.
      const bool closes = i == parts && sweep >= 2 * std::numbers::pi;
      const Vec2 to = closes ? at(k.t0) : at(t1);
      if (round)
        push({from, to, bulge}, false);
      else
        fit([&](double t) { return CurvePoint{at(t), std::cos(t) * v - std::sin(t) * u}; }, t0, t1, 0);
      from = to;
    }
  }

  // fitted() asks for two different ends.
  void fit(const CurveFunction& curve, double from, double to, int depth) {
    const CurvePoint p = curve(from), q = curve(to), m = curve((from + to) / 2);
    if (norm(q.at - p.at) < kPointMm) {
      if (depth < 6 && (depth < 2 || norm(m.at - p.at) > kPointMm)) {
        fit(curve, from, (from + to) / 2, depth + 1);
        fit(curve, (from + to) / 2, to, depth + 1);
      }
      return;
    }
    const Loop chain = fitted(curve, from, to, kDrawingFitMm);
    for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
      if (!std::isfinite(chain[i + 1].at.x + chain[i + 1].at.y + chain[i].bulge)) return bad(p.at);
      push({chain[i].at, chain[i + 1].at, chain[i].bulge}, true);
    }
  }

  void bad(Vec2 near) {
    findings_.push_back({Severity::error, "drawing.curve", "",
                         "the spline near " + frame_.place(near) + " in the drawing is no smooth curve",
                         "draw it again, or explode it into arcs and lines"});
  }

  void spline(const DrawnSpline& s) {
    if (s.knots.empty()) return through(s);
    const auto n = static_cast<int>(s.points.size());
    const int p = s.degree;
    const Vec2 first = n > 0 ? frame_.to_mm(s.points[0]) : Vec2{};
    if (p < 1 || p > kHighestDegree || n <= p || s.knots.size() != s.points.size() + static_cast<std::size_t>(p) + 1 ||
        !std::is_sorted(s.knots.begin(), s.knots.end()) ||
        std::any_of(s.weights.begin(), s.weights.end(), [](double w) { return !(w > 1e-6 && w < 1e6); }))
      return bad(first);
    const double all = s.knots[static_cast<std::size_t>(n)] - s.knots[static_cast<std::size_t>(p)];
    for (int k = p; k < n; ++k) {
      const double a = s.knots[static_cast<std::size_t>(k)], b = s.knots[static_cast<std::size_t>(k) + 1];
      if (b == a) continue;
      if (b - a < kShortestSpan * all) return bad(first);
      span(s, k, a, b);
    }
  }

  // One polynomial piece of a B-spline, where it is smooth.
  void span(const DrawnSpline& s, int k, double a, double b) {
    const int p = s.degree;
    std::vector<Vec2> points;
    double reach = 0;
    for (int i = k - p; i <= k; ++i) {
      points.push_back(frame_.to_mm(s.points[static_cast<std::size_t>(i)]));
      reach = std::max(reach, norm(points.back() - points.front()));
    }
    if (reach < kPointMm) return;
    const auto raw = [&](double t) { return evaluated(s, k, points, t); };
    const CurveFunction curve = [&](double t) {
      CurvePoint c = raw(t);
      // Control points that coincide leave no direction at an end: the curve's own course shows it.
      const double near = (b - a) * 1e-4;
      if (!(norm(c.tangent) * (b - a) > 1e-9 * reach))
        c.tangent = t + near <= b ? raw(t + near).at - c.at : c.at - raw(t - near).at;
      if (!(norm(c.tangent) > 0)) c.tangent = {1, 0};
      return c;
    };
    if (p == 1)
      push({curve(a).at, curve(b).at, 0}, false);
    else
      fit(curve, a, b, 0);
  }

  // De Boor's scheme in homogeneous coordinates (C. de Boor, A Practical Guide to Splines, from memory).
  static CurvePoint evaluated(const DrawnSpline& s, int k, const std::vector<Vec2>& points, double t) {
    const int p = s.degree;
    struct Homogeneous {
      Vec2 at;
      double w;
    };
    std::array<Homogeneous, kHighestDegree + 1> d{};
    const auto knot = [&](int i) { return s.knots[static_cast<std::size_t>(i)]; };
    for (int j = 0; j <= p; ++j) {
      const double w = s.weights.empty() ? 1 : s.weights[static_cast<std::size_t>(j + k - p)];
      d[static_cast<std::size_t>(j)] = {w * points[static_cast<std::size_t>(j)], w};
    }
    Homogeneous slope{};
    for (int r = 1; r <= p; ++r) {
      if (r == p) {
        const Homogeneous &lower = d[static_cast<std::size_t>(p) - 1], &upper = d[static_cast<std::size_t>(p)];
        const double f = p / (knot(k + 1) - knot(k));
        slope = {f * (upper.at - lower.at), f * (upper.w - lower.w)};
      }
      for (int j = p; j >= r; --j) {
        const double low = knot(j + k - p), high = knot(j + 1 + k - r);
        const double share = high > low ? (t - low) / (high - low) : 0;
        Homogeneous& upper = d[static_cast<std::size_t>(j)];
        const Homogeneous& lower = d[static_cast<std::size_t>(j) - 1];
        upper = {(1 - share) * lower.at + share * upper.at, (1 - share) * lower.w + share * upper.w};
      }
    }
    const Homogeneous& h = d[static_cast<std::size_t>(p)];
    const Vec2 at = h.at / h.w;
    return {at, (slope.at - slope.w * at) / h.w};
  }

  void through(const DrawnSpline& s) {
    std::vector<double> t, x, y;
    for (const Vec2& point : s.points) {
      const Vec2 p = frame_.to_mm(point);
      const double step = t.empty() ? 0 : norm(p - Vec2{x.back(), y.back()});
      if (!t.empty() && step < kPointMm) continue;
      t.push_back(t.empty() ? 0 : t.back() + step);
      x.push_back(p.x);
      y.push_back(p.y);
    }
    if (t.size() < 2) return bad(s.points.empty() ? Vec2{} : frame_.to_mm(s.points[0]));
    findings_.push_back({Severity::warning, "drawing.through", "",
                         "the spline at " + frame_.place({x[0], y[0]}) +
                             " in the drawing is given by points to pass through: drawn here as a natural cubic, which "
                             "may differ from the drawing between them",
                         "compare the plan with the drawing, or export the spline by its control points"});
    const std::vector<Cubic> cx = natural_cubic(t, x), cy = natural_cubic(t, y);
    for (std::size_t i = 0; i + 1 < t.size(); ++i)
      fit(
          [&](double u) {
            const Vec2 d{slope(cx[i], u), slope(cy[i], u)};
            return CurvePoint{{value(cx[i], u), value(cy[i], u)}, norm(d) > 0 ? d : Vec2{1, 0}};
          },
          0, t[i + 1] - t[i], 0);
  }

  const DrawingFrame& frame_;
  Findings& findings_;
  int entity_ = 0;
};

}  // namespace

std::string DrawingFrame::place(Vec2 mm) const {
  const auto text = [this](double m, double origin) {
    return shortest_number(std::round((m / unit_mm + origin) * 1e4) / 1e4 + 0.);
  };
  return "(" + text(mm.x, low.x) + ", " + text(mm.y, low.y) + ")";
}

Box drawn_box(const DrawnCurve& curve) {
  std::vector<Vec2> points;
  if (const auto* l = std::get_if<DrawnLine>(&curve.shape)) points = {l->a, l->b};
  if (const auto* s = std::get_if<DrawnSpline>(&curve.shape)) points = s->points;
  if (const auto* k = std::get_if<DrawnConic>(&curve.shape)) {
    points.push_back(k->c + std::cos(k->t0) * k->u + std::sin(k->t0) * k->v);
    points.push_back(k->c + std::cos(k->t1) * k->u + std::sin(k->t1) * k->v);
    // Where it runs farthest to a side, as far as it gets there.
    for (const double t : {std::atan2(k->v.x, k->u.x), std::atan2(k->v.y, k->u.y)})
      for (const double half : {0.0, std::numbers::pi}) {
        const double turn = 2 * std::numbers::pi, past = std::fmod(std::fmod(t + half - k->t0, turn) + turn, turn);
        if (past <= k->t1 - k->t0)
          points.push_back(k->c + std::cos(k->t0 + past) * k->u + std::sin(k->t0 + past) * k->v);
      }
  }
  if (points.empty()) return {};
  Box box{points[0], points[0]};
  for (const Vec2 p : points)
    box = {{std::min(box.low.x, p.x), std::min(box.low.y, p.y)},
           {std::max(box.high.x, p.x), std::max(box.high.y, p.y)}};
  return box;
}

std::vector<Piece> pieces_of(std::span<const DrawnCurve* const> curves, const DrawingFrame& frame, Findings& findings) {
  Collector collector(frame, findings);
  for (const DrawnCurve* c : curves)
    if (!collector.add(*c)) break;
  return std::move(collector.pieces);
}

}  // namespace kerfkiln::plane
