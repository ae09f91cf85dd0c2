#include "modeler/urn/form.hpp"

#include <algorithm>
#include <cmath>
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

void check_shape(const SectionType& type, std::size_t i, const ProfileNode& n, Findings& f) {
  const double low = type.smallest_shape(n.half_width, n.half_depth);
  const double high = type.largest_shape(n.half_width, n.half_depth);
  if (n.shape >= low && n.shape <= high * (1 + 1e-12)) return;
  f.push_back({Severity::error, "profile." + std::string(type.shape_key), path_of(i, type.shape_key),
               std::string(type.shape_key) + " " + shortest(n.shape) + " is outside " + shortest(low) + " ... " +
                   shortest(high),
               type.shape_is_length ? "give a radius no larger than the shorter half size"
                                    : "2 is an ellipse; larger exponents are squarer"});
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
                     mm(value(s.shape, at)) + " exceeds the half size by " + mm(-worst),
                 "add a point there, or make the radius a little smaller at the points beside it"});
  }
}

ProfileNode node_of(const SectionType& type, const ProfilePoint& p) {
  ProfileNode n;
  n.height = p.height.value;
  n.half_width = p.half_width.value;
  n.half_depth = p.half_depth.known() ? p.half_depth.value : n.half_width;
  const Quantity& shape = type.shape_is_length ? static_cast<const Quantity&>(p.corner_radius) : p.squareness;
  n.shape = shape.known() ? shape.value : type.default_shape(n.half_width, n.half_depth);
  n.corner = p.corner;
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
  Result<Profile> profile = Profile::through(nodes);
  if (!profile) return profile.findings();
  check_between(*type, *profile, f);
  if (has_errors(f)) return f;
  return Form(*type, std::move(*profile));
}

SectionSize Form::size_at(double z) const { return profile_.at(profile_.at_height(z)).size; }

Vec3 Form::point(double t, int piece, double v) const {
  const ProfileJet j = profile_.at(t);
  const Vec2 p = section_->point(j.size, piece, v);
  return {p.x, p.y, j.z};
}

SurfaceJet Form::jet(const ProfileJet& j, int piece, double v) const {
  const SectionJet s = section_->jet(j.size, j.rate, j.rate2, piece, v);
  return {{s.p.x, s.p.y, j.z},          {s.p_t.x, s.p_t.y, j.z_t}, {s.p_v.x, s.p_v.y, 0},
          {s.p_tt.x, s.p_tt.y, j.z_tt}, {s.p_tv.x, s.p_tv.y, 0},   {s.p_vv.x, s.p_vv.y, 0}};
}

Form Form::scaled(double girth, double height) const {
  return Form(*section_, profile_.scaled(girth, height, section_->shape_is_length));
}

std::vector<Vec2> Form::silhouette(bool depth, double deviation_mm) const {
  std::vector<Vec2> out;
  for (const ProfileSpan& s : profile_.spans()) {
    const Cubic& half = depth ? s.half_depth : s.half_width;
    // |second difference| bound of a cubic: chord error <= step^2/8 max |p''|.
    const double bx = std::max(std::abs(bend(half, 0)), std::abs(bend(half, s.length)));
    const double bz = std::max(std::abs(bend(s.height, 0)), std::abs(bend(s.height, s.length)));
    const int n =
        std::max(1, static_cast<int>(std::ceil(s.length * std::sqrt(std::hypot(bx, bz) / (8 * deviation_mm)))));
    for (int i = out.empty() ? 0 : 1; i <= n; ++i) {
      const double u = s.length * i / n;
      out.push_back({value(half, u), value(s.height, u)});
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
  for (std::size_t k = 0; k < 4; ++k)
    for (std::size_t i = 0; i + 1 < n; ++i) {
      const Vec2 p = quarter[k % 2 == 0 ? i : n - 1 - i];
      loop.push_back({k == 1 || k == 2 ? -p.x : p.x, k >= 2 ? -p.y : p.y});
    }
  return loop;
}

}  // namespace kerfkiln::urn
