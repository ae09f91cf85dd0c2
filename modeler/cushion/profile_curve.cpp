#include "modeler/cushion/profile_curve.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/cushion/words.hpp"
#include "modeler/product/lengths.hpp"

namespace kerfkiln::cushion {

namespace {

// The sub-arc of a segment between two of its parameters, as a start vertex.
plane::Vertex piece(const plane::Segment& s, double from, double to, int side) {
  return {from == 0 ? s.a : s.point(from), s.is_line() ? 0 : std::tan(s.sweep() * (to - from) / 4), side};
}

// Parameter at which a rising segment reaches height z.
double reach(const plane::Segment& s, double z) {
  if (s.is_line()) return s.b.y == s.a.y ? 0 : (z - s.a.y) / (s.b.y - s.a.y);
  const Vec2 c = s.centre();
  const double r = s.radius(), sine = std::clamp((z - c.y) / r, -1.0, 1.0);
  const double h = r * std::sqrt(1 - sine * sine);
  const Vec2 a = s.a - c;
  double best = 0, miss = 2;
  for (const double x : {h, -h}) {  // the circle passes the height twice; the segment once
    const Vec2 p{x, z - c.y};
    const double t = std::atan2(cross(a, p), dot(a, p)) / s.sweep();
    const double off = std::max({0.0, -t, t - 1});
    if (off < miss) {
      miss = off;
      best = t;
    }
  }
  return std::clamp(best, 0.0, 1.0);
}

}  // namespace

ProfileCurve profile_curve(const EdgeProfile& profile) {
  if (profile.square()) return {0, 0, {{{0, 0}, 0, 0}}};
  return {profile.inset, profile.drop, backwards(profile.curve->path(kCurveFitMm))};
}

std::string edge_words(const EdgeSpec& edge, double height_mm) {
  if (edge.type == "bullnose") return "bullnose, radius " + product::bare_length(number_text(height_mm / 2));
  std::string text = edge.type;
  for (std::size_t i = 0; i < edge.lengths.size(); ++i)
    text += (i ? " x " : " ") + product::bare_length(number_text(edge.lengths[i].value));
  return text;
}

plane::Loop backwards(const plane::Loop& chain) {
  plane::Loop back(chain.rbegin(), chain.rend());
  for (std::size_t i = 0; i < back.size(); ++i) {
    const bool last = i + 1 == back.size();
    back[i].bulge = last ? 0 : -chain[chain.size() - 2 - i].bulge;
    back[i].side = last ? back[i].side : chain[chain.size() - 2 - i].side;
  }
  return back;
}

plane::Loop flipped_y(const plane::Loop& chain, double y_sum) {
  plane::Loop flipped = chain;
  for (plane::Vertex& v : flipped) v = {{v.at.x, y_sum - v.at.y}, -v.bulge, v.side};
  return flipped;
}

plane::Loop flipped_x(const plane::Loop& chain, double x_sum) {
  plane::Loop flipped = chain;
  for (plane::Vertex& v : flipped) v = {{x_sum - v.at.x, v.at.y}, -v.bulge, v.side};
  return flipped;
}

void extend(plane::Loop& chain, const plane::Loop& more) {
  for (const plane::Vertex& v : more) {
    if (!chain.empty() && norm(chain.back().at - v.at) < 1e-9)
      chain.back() = v;
    else
      chain.push_back(v);
  }
}

plane::Loop side_curve(const ProfileCurve& bottom, const ProfileCurve& top, double height_mm) {
  plane::Loop chain = bottom.path;
  extend(chain, backwards(flipped_y(top.path, height_mm)));
  return chain;
}

plane::Loop between_heights(const plane::Loop& rising, double low, double high) {
  plane::Loop band;
  for (std::size_t i = 0; i + 1 < rising.size(); ++i) {
    const plane::Segment s{rising[i].at, rising[i + 1].at, rising[i].bulge};
    if (s.b.y <= low || s.a.y >= high) continue;
    const double from = s.a.y < low ? reach(s, low) : 0, to = s.b.y > high ? reach(s, high) : 1;
    extend(band, {piece(s, from, to, rising[i].side)});
    band.push_back({to == 1 ? s.b : s.point(to), 0, rising[i].side});
  }
  return band;
}

}  // namespace kerfkiln::cushion
