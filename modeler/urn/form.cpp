#include "modeler/urn/form.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "modeler/base/tolerance.hpp"
#include "modeler/urn/message.hpp"

namespace kerfkiln::urn {
namespace {

std::string path_of(std::size_t i, std::string_view field) {
  return "profile/" + std::to_string(i) + "/" + std::string(field);
}

void check_size(std::size_t i, const char* field, double value, Findings& f) {
  if (value >= kSmallestSizeMm && value <= kLargestSizeMm) return;
  f.push_back({Severity::error, std::string("profile.") + field, path_of(i, field),
               "half size " + mm(value) + " is outside " + mm(kSmallestSizeMm) + " ... " + mm(kLargestSizeMm),
               "give half of the outside size at this height"});
}

// A regular section has one half depth for each half width; saying another is a mistake.
void check_regular(const SectionType& type, std::size_t i, const ProfileNode& n, double given, Findings& f) {
  if (type.depth_factor == 0 || std::abs(given - n.half_depth) <= 1e-6 * n.half_depth) return;
  f.push_back({Severity::error, "profile.half_depth", path_of(i, "half_depth"),
               "half depth " + mm(given) + ": a regular " + std::string(type.id) +
                   " of this half width and radius has " + mm(n.half_depth) + " and no other",
               "leave the half depth out"});
}

void check_shape(const SectionType& type, std::size_t i, const ProfileNode& n, Findings& f) {
  const double low = type.smallest_shape(n.half_width, n.half_depth);
  const double high = type.largest_shape(n.half_width, n.half_depth);
  if (n.shape >= low && n.shape <= high * (1 + 1e-12)) return;
  f.push_back({Severity::error, "profile." + std::string(type.shape_key), path_of(i, type.shape_key),
               std::string(type.shape_key) + " " + shortest(n.shape) + " is outside " + shortest(low) + " ... " +
                   shortest(high),
               type.shape_is_length ? "give a radius no larger than the shorter half size"
                                    : "give an exponent in this range: 2 is an ellipse, larger is squarer"});
}

// The shape may leave its range between points although every point is in range.
void check_between(const SectionType& type, const Profile& profile, Findings& f) {
  if (!type.shape_is_length) return;
  const auto& spans = profile.spans();
  for (const ProfileSpan& s : spans) {
    if (s.full) continue;
    double worst = 0, at = 0;
    for (const Cubic* half : {&s.half_width, &s.half_depth}) {
      Cubic room;
      for (std::size_t k = 0; k < 4; ++k) room[k] = (*half)[k] - s.shape[k];
      const Extreme e = extremes(room, s.length);
      if (e.low < worst) worst = e.low, at = e.low_at;
    }
    if (worst >= -1e-9 * value(s.half_width, 0)) continue;
    f.push_back({Severity::error, "profile.corner_radius", "profile",
                 "between two points, at height " + mm(value(s.height, at)) + ", the corner radius " +
                     mm(value(s.shape, at)) + " exceeds the half size by " + mm(-worst) + "; 0 mm ... " +
                     mm(value(s.shape, at) + worst) + " is possible there",
                 "add a point there, or make the radius a little smaller at the points beside it"});
  }
}

ProfileNode node_of(const SectionType& type, const ProfilePoint& p) {
  ProfileNode n;
  n.height = p.height.value;
  n.half_width = p.half_width.value;
  n.half_depth = p.half_depth.known() && type.depth_factor == 0 ? p.half_depth.value : n.half_width;
  const Quantity& shape = type.shape_is_length ? static_cast<const Quantity&>(p.corner_radius) : p.squareness;
  n.shape = shape.known() ? shape.value : type.default_shape(n.half_width, n.half_depth);
  if (type.depth_factor != 0) n.half_depth = n.shape + type.depth_factor * (n.half_width - n.shape);
  n.corner = p.corner;
  n.level = p.tangent == "level";
  n.twist = p.twist.value;
  if (type.shape_is_length) {
    const double high = type.largest_shape(n.half_width, n.half_depth);
    n.full = n.shape >= high && n.shape <= high * (1 + 1e-12);
  }
  return n;
}

bool all_round(const SectionType& type, const Profile& profile) {
  for (const ProfileSpan& s : profile.spans()) {
    if (s.half_width != s.half_depth) return false;
    if (type.shape_is_length ? s.shape != s.half_width : s.shape != Cubic{2, 0, 0, 0}) return false;
  }
  return true;
}

int nearest_node(const Spec& spec, double z) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < spec.profile.size(); ++i)
    if (std::abs(spec.profile[i].height.value - z) < std::abs(spec.profile[best].height.value - z)) best = i;
  return static_cast<int>(best);
}

// Where the curve runs level the outline must move, all round and one way: else the surface has no direction there.
void check_level(const Form& form, const Spec& spec, Findings& f) {
  constexpr int kStations = 6, kPlaces = 8;
  constexpr double kStill = 1e-3;
  const Profile& p = form.profile();
  for (int k = 0; k < static_cast<int>(p.spans().size()); ++k) {
    const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
    if (!s.level_begin && !s.level_end) continue;
    double low = 1, high = -1, at = 0;
    for (int i = 0; i <= kStations; ++i) {
      if (!s.level() && !(i == 0 && s.level_begin) && !(i == kStations && s.level_end)) continue;
      const ProfileJet j = p.at(k, s.begin + s.length * i / kStations);
      for (int piece = 0; piece < form.sector_pieces(); ++piece)
        for (int q = 0; q <= kPlaces; ++q) {
          const SurfaceJet x = form.jet(j, piece, std::clamp(static_cast<double>(q) / kPlaces, 1e-3, 1 - 1e-3));
          const double size = norm(x.p_v) * std::hypot(x.p_t.x, x.p_t.y);
          if (norm(x.p_v) < 1e-6) continue;
          const double turn = size > 0 ? cross(x.p_v, x.p_t).z / size : 0;
          low = std::min(low, turn), high = std::max(high, turn);
          at = j.z;
        }
      // The two ends of a curve that is level at both are two places.
      if (!s.level() && i == 0 && s.level_end && (low > kStill || high < -kStill)) low = 1, high = -1;
    }
    if (low > kStill || high < -kStill) continue;
    f.push_back({Severity::error, "profile.level", path_of(static_cast<std::size_t>(nearest_node(spec, at)), "tangent"),
                 "at height " + mm(at) +
                     " the curve runs level, but the outline there does not get narrower (or wider) "
                     "on all sides",
                 "move the half sizes beside that point further apart, or leave the tangent free"});
  }
}

// The corners of a twisted form lean; the surface of one that turns faster than it rises is no wall any more.
void check_twist(const Form& form, const Spec& spec, Findings& f) {
  constexpr double kLargestTurn = 2 * std::numbers::pi, kSteepest = 3;  // radians; tangent of the lean
  const Profile& p = form.profile();
  double low = INFINITY, high = -INFINITY, worst = 0, at = 0;
  for (int k = 0; k < static_cast<int>(p.spans().size()); ++k) {
    const ProfileSpan& s = p.spans()[static_cast<std::size_t>(k)];
    const Extreme e = extremes(s.twist, value(s.height, s.length) - s.height[0]);
    low = std::min(low, e.low), high = std::max(high, e.high);
    for (int i = 0; i <= 8; ++i) {
      const ProfileJet j = p.at(k, s.begin + s.length * i / 8);
      const double along = std::hypot(j.z_t, std::max(std::abs(j.rate.half_width), std::abs(j.rate.half_depth)));
      const double lean = std::abs(j.twist_t) * std::max(j.size.half_width, j.size.half_depth) / along;
      if (lean > worst) worst = lean, at = j.z;
    }
  }
  if (high - low > kLargestTurn)
    f.push_back({Severity::error, "profile.twist", "profile",
                 "the section turns by " + deg(high - low) + " from foot to lip; 0 deg ... 360 deg is possible",
                 "twist less"});
  else if (worst > kSteepest)
    f.push_back({Severity::error, "profile.twist", path_of(static_cast<std::size_t>(nearest_node(spec, at)), "twist"),
                 "at height " + mm(at) + " the corners lean by " + deg(std::atan(worst)) + "; up to " +
                     deg(std::atan(kSteepest)) + " is possible",
                 "twist less, or over more height"});
}

Vec2 turned(Vec2 p, Vec2 by) { return {by.x * p.x - by.y * p.y, by.y * p.x + by.x * p.y}; }

// Quadrant k of a point of the first one.
Vec2 mirrored(Vec2 p, int quadrant) {
  return {quadrant == 1 || quadrant == 2 ? -p.x : p.x, quadrant >= 2 ? -p.y : p.y};
}

// The place in 0 ... 1 where f is largest, sampled and closed in on.
template <class F>
double largest_at(int samples, F&& f) {
  int best = 0;
  double most = -INFINITY;
  for (int i = 0; i <= samples; ++i) {
    const double y = f(static_cast<double>(i) / samples);
    if (y > most) most = y, best = i;
  }
  double a = std::max(0, best - 1) / static_cast<double>(samples),
         b = std::min(samples, best + 1) / static_cast<double>(samples);
  for (int k = 0; k < 44; ++k) {
    const double m = a + 0.382 * (b - a), n = a + 0.618 * (b - a);
    const bool rises = f(m) < f(n);
    (rises ? a : b) = rises ? m : n;
  }
  const double inner = 0.5 * (a + b);
  return f(inner) > most ? inner : static_cast<double>(best) / samples;
}

// How far a piece of a section reaches in a direction of the quadrant: where its slope in that direction vanishes, by
// Illinois false position. A crowned section is not convex; there the best of some samples says where to look.
double piece_support(const SectionType& type, const SectionSize& size, int piece, Vec2 d) {
  double lo = 0, hi = 1;
  if (size.bow != 0) {
    constexpr int kSamples = 12;
    int best = 0;
    double most = -INFINITY;
    for (int i = 0; i <= kSamples; ++i)
      if (const double y = dot(d, type.point(size, piece, static_cast<double>(i) / kSamples)); y > most)
        most = y, best = i;
    lo = std::max(0, best - 1) / static_cast<double>(kSamples);
    hi = std::min(kSamples, best + 1) / static_cast<double>(kSamples);
  }
  struct Place {
    double reach, slope;
  };
  const auto at = [&](double v) {
    const SectionJet j = type.slopes_at(size, {}, type.place(piece, v));
    return Place{dot(d, j.p), dot(d, j.p_v)};
  };
  Place a = at(lo), b = at(hi);
  double most = std::max(a.reach, b.reach);
  if (!(a.slope > 0 && b.slope < 0)) return most;
  for (int i = 0; i < 60 && hi - lo > 1e-12; ++i) {
    const double v =
        std::clamp(lo + (hi - lo) * a.slope / (a.slope - b.slope), lo + 1e-3 * (hi - lo), hi - 1e-3 * (hi - lo));
    const Place m = at(v);
    const double gain = m.reach - most;
    most = std::max(most, m.reach);
    // The reach is level at its top: what is left of the slope over what is left of the way is a bound.
    if (std::abs(m.slope) * (hi - lo) <= 1e-13 * std::abs(m.reach) && gain <= 1e-13 * std::abs(m.reach)) break;
    if (m.slope > 0) {
      lo = v, a = m, b.slope *= 0.5;
    } else {
      hi = v, b = m, a.slope *= 0.5;
    }
  }
  return most;
}

}  // namespace

Form::Form(const SectionType& section, Profile profile)
    : section_(&section), profile_(std::move(profile)), round_(all_round(section, profile_)) {}

Result<Form> Form::make(const Spec& spec) {
  const SectionType* type = find_section(spec.section);
  if (!type) {
    std::string names;
    for (const SectionType* s : section_types()) names += (names.empty() ? "" : ", ") + std::string(s->id);
    return Finding{Severity::error, "section.unknown", "section", "there is no section \"" + spec.section + "\"",
                   "choose one of: " + names};
  }
  Findings f;
  std::vector<ProfileNode> nodes;
  for (std::size_t i = 0; i < spec.profile.size(); ++i) {
    nodes.push_back(node_of(*type, spec.profile[i]));
    const ProfileNode& n = nodes.back();
    const Findings::size_type before = f.size();
    check_size(i, "half_width", n.half_width, f);
    if (spec.profile[i].half_depth.known()) check_size(i, "half_depth", n.half_depth, f);
    if (f.size() == before && spec.profile[i].half_depth.known())
      check_regular(*type, i, n, spec.profile[i].half_depth.value, f);
    if (f.size() == before) check_shape(*type, i, n, f);
    if (!(n.height >= 0 && n.height <= kLargestSizeMm))
      f.push_back({Severity::error, "profile.height", path_of(i, "height"),
                   "height " + mm(n.height) + " is outside 0 mm ... " + mm(kLargestSizeMm),
                   "measure heights upwards from the foot"});
  }
  if (!nodes.empty() && nodes[0].height > 0)
    f.push_back({Severity::error, "profile.foot", "profile/0/height",
                 "the first point stands at height " + mm(nodes[0].height) + "; the foot must be at 0 mm",
                 "set the height of the first point to 0"});
  if (has_errors(f)) return f;
  Result<Profile> profile = Profile::through(nodes, type->depth_factor);
  if (!profile) return profile.findings();
  check_between(*type, *profile, f);
  if (has_errors(f)) return f;
  Form form(*type, std::move(*profile));
  check_level(form, spec, f);
  if (form.twisted()) check_twist(form, spec, f);
  if (has_errors(f)) return f;
  if (form.round() && form.profile_.twisted()) {
    double low = INFINITY, high = -INFINITY;
    for (const ProfilePoint& p : spec.profile)
      if (p.twist.known()) low = std::min(low, p.twist.value), high = std::max(high, p.twist.value);
    form.notes_.push_back(
        {Severity::note, "profile.twist_round", "profile",
         "the form is round at every height: twisting it (" + deg(low) + " ... " + deg(high) + ") changes nothing",
         "leave the twist out, or make the section less round"});
    form.profile_ = form.profile_.untwisted();
  }
  return form;
}

SectionSize Form::size_at(double z) const { return profile_.at(profile_.at_height(z)).size; }

FormPlace Form::place(int piece, double v) const {
  if (!twisted()) return {0, section_->place(piece, v)};
  const int quadrant = piece / section_->pieces, own = piece % section_->pieces;
  if (quadrant % 2) return {quadrant, section_->place(section_->pieces - 1 - own, 1 - v)};
  return {quadrant, section_->place(own, v)};
}

Vec3 Form::point_at(const ProfileJet& j, const FormPlace& x) const {
  Vec2 p = section_->point_at(j.size, x.at);
  if (twisted()) p = turned(mirrored(p, x.quadrant), {std::cos(j.twist), std::sin(j.twist)});
  return {p.x, p.y, j.z};
}

Vec3 Form::point(double t, int piece, double v) const { return point_at(profile_.at(t), place(piece, v)); }

SurfaceJet Form::slopes_at(const ProfileJet& j, const FormPlace& x) const {
  SectionJet s = section_->slopes_at(j.size, j.rate, x.at);
  if (twisted()) {
    const Vec2 by{std::cos(j.twist), std::sin(j.twist)};
    const auto set = [&](Vec2& q) { q = turned(mirrored(q, x.quadrant), by); };
    set(s.p), set(s.p_t), set(s.p_v);
    s.p_t = s.p_t + j.twist_t * left(s.p);
    if (x.quadrant % 2) s.p_v = -s.p_v;
  }
  SurfaceJet out;
  out.p = {s.p.x, s.p.y, j.z}, out.p_t = {s.p_t.x, s.p_t.y, j.z_t}, out.p_v = {s.p_v.x, s.p_v.y, 0};
  return out;
}

SurfaceJet Form::jet_at(const ProfileJet& j, const FormPlace& x) const {
  SectionJet s = section_->jet_at(j.size, j.rate, j.rate2, x.at);
  if (twisted()) {
    const Vec2 by{std::cos(j.twist), std::sin(j.twist)};
    for (Vec2* q : {&s.p, &s.p_t, &s.p_v, &s.p_tt, &s.p_tv, &s.p_vv}) *q = turned(mirrored(*q, x.quadrant), by);
    if (x.quadrant % 2) s.p_v = -s.p_v, s.p_tv = -s.p_tv;
    // Derivatives of the turning matrix: a quarter turn more for each, times the rates of the angle.
    const double w = j.twist_t;
    s.p_tt = s.p_tt + 2 * w * left(s.p_t) + j.twist_tt * left(s.p) - w * w * s.p;
    s.p_t = s.p_t + w * left(s.p);
    s.p_tv = s.p_tv + w * left(s.p_v);
  }
  return {{s.p.x, s.p.y, j.z},          {s.p_t.x, s.p_t.y, j.z_t}, {s.p_v.x, s.p_v.y, 0},
          {s.p_tt.x, s.p_tt.y, j.z_tt}, {s.p_tv.x, s.p_tv.y, 0},   {s.p_vv.x, s.p_vv.y, 0}};
}

double Form::outer_reach(Vec2 u, double z) const { return outer_reach(u, profile_.at(profile_.at_height(z))); }

double Form::outer_reach(Vec2 u, const ProfileJet& j) const {
  Vec2 d = twisted() ? turned(u, {std::cos(j.twist), -std::sin(j.twist)}) : u;
  d = {std::abs(d.x), std::abs(d.y)};
  const auto side = [&](int piece, double v) { return cross(d, section_->point(j.size, piece, v)); };
  int piece = 0;
  while (piece + 1 < section_->pieces && side(piece, 1) < 0) ++piece;
  double lo = 0, hi = 1;
  for (int i = 0; i < 60 && hi - lo > 1e-16; ++i) {
    const double m = 0.5 * (lo + hi);
    (side(piece, m) < 0 ? lo : hi) = m;
  }
  return dot(d, section_->point(j.size, piece, 0.5 * (lo + hi)));
}

double Form::half_extent(double z, bool depth) const { return half_extent(profile_.at(profile_.at_height(z)), depth); }

// The support of the section: no point of it lies farther out in that direction.
double Form::half_extent(const ProfileJet& j, bool depth) const {
  Vec2 d = depth ? Vec2{0, 1} : Vec2{1, 0};
  if (twisted()) d = turned(d, {std::cos(j.twist), -std::sin(j.twist)});
  d = {std::abs(d.x), std::abs(d.y)};
  double most = 0;
  for (int piece = 0; piece < section_->pieces; ++piece) {
    const bool turned_or_bowed = twisted() || crown_ != 0;
    most = std::max(most, turned_or_bowed ? piece_support(*section_, j.size, piece, d)
                                          : dot(d, section_->point(j.size, piece, depth ? 1.0 : 0.0)));
  }
  return most;
}

double Form::max_half_extent(bool depth) const {
  if (!twisted()) return max_half(depth);
  const auto out = [&](double f) { return half_extent(low() + f * height(), depth); };
  return out(largest_at(64, out));
}

double Form::max_half(bool depth) const {
  const double plain = depth ? profile_.max_half_depth() : profile_.max_half_width();
  if (crown_ == 0) return plain;
  const auto out = [&](double f) {
    const SectionSize z = profile_.at(profile_.begin() + f * (profile_.end() - profile_.begin())).size;
    return depth ? section_->point(z, section_->pieces - 1, 1).y : section_->point(z, 0, 0).x;
  };
  return std::max(plain, out(largest_at(400, out)));
}

Form Form::scaled(double girth, double height) const {
  Form f(*section_, profile_.scaled(girth, height, section_->shape_is_length));
  f.crown_ = girth * crown_;
  return f;
}

Form Form::in_units(double unit) const {
  Form f(*section_, profile_.in_units(unit, section_->shape_is_length));
  f.round_ = round_;
  f.crown_ = crown_ / unit;
  return f;
}

Form::FlatPlace Form::flattest() const {
  const Profile unit = profile_.crowned(1);
  const auto at = [&](double f) { return unit.at(unit.begin() + f * (unit.end() - unit.begin())); };
  const auto crown = [&](double f) {
    const SectionSize z = at(f).size;
    return z.bow * section_->flatness(z);
  };
  const double f = largest_at(400, crown);
  FlatPlace p;
  p.flatness = crown(f);
  if (!(p.flatness > 0)) return {};
  SectionSize z = at(f).size;
  z.bow = 0;
  p.z = at(f).z, p.width = 2 * section_->point(z, 0, 1).y;
  return p;
}

Form Form::crowned(double flats) const {
  Form f = *this;
  const double flatness = flats > 0 ? flattest().flatness : 0;
  if (!(flatness > 0)) return f;
  f.crown_ = flats;
  f.profile_ = profile_.crowned(flats / flatness);
  return f;
}

std::vector<Vec2> Form::silhouette(bool depth, double deviation_mm) const {
  std::vector<Vec2> out;
  const double tallest = height();
  for (int k = 0; k < static_cast<int>(profile_.spans().size()); ++k) {
    const ProfileSpan& s = profile_.spans()[static_cast<std::size_t>(k)];
    const Cubic& half = depth ? s.half_depth : s.half_width;
    // |second difference| bound of a cubic: chord error <= step^2/8 max |p''|.
    double bx = std::max(std::abs(bend(half, 0)), std::abs(bend(half, s.length)));
    const double bz = std::max(std::abs(bend(s.height, 0)), std::abs(bend(s.height, s.length)));
    // The crown's own: (1 - x^2)^2 bends by at most 8 over x = -1 ... 1, and by the slope of the height.
    if (crown_ != 0) bx += 40 * profile_.crown() / (tallest * tallest);
    const int n =
        std::max(1, static_cast<int>(std::ceil(s.length * std::sqrt(std::hypot(bx, bz) / (8 * deviation_mm)))));
    for (int i = out.empty() ? 0 : 1; i <= n; ++i) {
      const ProfileJet j = profile_.at(k, s.begin + s.length * i / n);
      const Vec2 p = depth ? section_->point(j.size, section_->pieces - 1, 1) : section_->point(j.size, 0, 0);
      out.push_back({depth ? p.y : p.x, j.z});
    }
  }
  return out;
}

std::vector<Vec2> Form::section_loop(double z, double deviation_mm) const {
  const SectionSize size = size_at(z);
  std::vector<Vec2> quarter;
  for (int piece = 0; piece < section_->pieces; ++piece)
    for (double v : section_->places(*section_, {&size, 1}, piece, deviation_mm)) {
      const Vec2 p = section_->point(size, piece, v);
      if (quarter.empty() || norm(p - quarter.back()) > 1e-6) quarter.push_back(p);
    }
  std::vector<Vec2> loop;
  const std::size_t n = quarter.size();
  const double twist = profile_.at(profile_.at_height(z)).twist;
  const Vec2 by{std::cos(twist), std::sin(twist)};
  for (int k = 0; k < 4; ++k)
    for (std::size_t i = 0; i + 1 < n; ++i) {
      const Vec2 p = mirrored(quarter[k % 2 == 0 ? i : n - 1 - i], k);
      loop.push_back(twist == 0 ? p : turned(p, by));
    }
  return loop;
}

}  // namespace kerfkiln::urn
