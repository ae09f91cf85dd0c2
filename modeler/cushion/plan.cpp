#include "modeler/cushion/plan.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/corners.hpp"
#include "modeler/plane/region.hpp"

namespace kerfkiln::cushion {

namespace {

constexpr std::size_t kMostVertices = 10000;  // design limit of an outline

double or_zero(const Quantity& q) { return q.known() ? q.value : 0; }

bool check_size(Findings& out, const std::string& path, const std::string& what, double mm) {
  if (mm >= kSmallestSizeMm && mm <= kLargestSizeMm) return true;
  out.push_back(error("outline.size", path,
                      what + (std::isnan(mm) ? " is missing" : " is " + mm_text(mm)) + "; permitted is 0.1 mm to 10 m",
                      "give a size in that range"));
  return false;
}

// Sizes that no cushion has are as a rule typed in another unit.
constexpr double kSmallestCushionMm = 50, kLargestCushionMm = 4000;
void note_scale(const OutlineSpec& spec, const plane::Outline& outline, Findings& out) {
  const plane::Box box = plane::bounds(outline);
  const bool rectangle = std::holds_alternative<RectangleSpec>(spec);
  const auto look = [&](const char* key, double mm) {
    if (mm >= kSmallestCushionMm && mm <= kLargestCushionMm) return;
    out.push_back(warning("outline.scale", rectangle ? std::string("outline/rectangle/") + key : "outline",
                          std::string("the ") + key + (mm < kSmallestCushionMm ? " is only " : " is ") + mm_text(mm) +
                              "; cushions are as a rule " + mm_text(kSmallestCushionMm) + " to " +
                              mm_text(kLargestCushionMm),
                          "if another unit is meant, write it: \"48 cm\", \"0.48 m\", \"19 in\""));
  };
  look("width", box.width());
  look("depth", box.depth());
}

std::optional<plane::Outline> rectangle_of(const RectangleSpec& r, Findings& out) {
  const std::string path = "outline/rectangle/";
  const double w = r.width.value, d = r.depth.value, corner = or_zero(r.corner_radius);
  bool good = check_size(out, path + "width", "the width", w);
  good = check_size(out, path + "depth", "the depth", d) && good;
  const double most = good ? std::min(w, d) / 2 : kLargestSizeMm;
  if (!(corner >= 0 && corner <= most)) {
    out.push_back(error("outline.radius", path + "corner_radius",
                        "the corner radius " + mm_text(corner) + " does not fit; permitted is 0 mm to " +
                            mm_text(most) + ", half the shorter side",
                        "make the radius smaller or the rectangle larger"));
    good = false;
  }
  if (!good) return std::nullopt;
  return plane::rectangle(snap_to_plan_grid(w), snap_to_plan_grid(d), snap_to_plan_grid(corner));
}

int side_index(plane::Outline& outline, const std::string& name) {
  const auto it = std::find(outline.sides.begin(), outline.sides.end(), name);
  if (it != outline.sides.end()) return static_cast<int>(it - outline.sides.begin());
  outline.sides.push_back(name);
  return static_cast<int>(outline.sides.size()) - 1;
}

// The typed corners of one loop, sides entered into the outline.
std::vector<plane::Corner> corners_of(const std::vector<VertexSpec>& spec, const std::string& path, std::size_t hole,
                                      plane::Outline& outline, Findings& out) {
  std::vector<plane::Corner> corners;
  for (std::size_t i = 0; i < spec.size(); ++i) {
    const VertexSpec& v = spec[i];
    if (v.side == "other")
      out.push_back(error("outline.name", path + "/" + std::to_string(i) + "/side",
                          "\"other\" stands for all sides that edges do not name", "give this side another name"));
    const std::string unnamed = hole == 0 ? "side " + std::to_string(i + 1) : "hole " + std::to_string(hole);
    corners.push_back({{snap_to_plan_grid(v.x.value), snap_to_plan_grid(v.y.value)},
                       or_zero(v.radius),
                       or_zero(v.bulge),
                       side_index(outline, v.side.empty() ? unnamed : v.side)});
  }
  return corners;
}

bool runs_left(const std::vector<plane::Corner>& corners) {
  plane::Loop plain;
  for (const plane::Corner& c : corners) plain.push_back({c.at, c.bulge, c.side});
  return plane::area(plain) > 0;
}

// The same loop walked the other way: segment i of the result is segment n - 2 - i of the source.
std::vector<plane::Corner> walked_back(const std::vector<plane::Corner>& corners) {
  const std::size_t n = corners.size();
  std::vector<plane::Corner> back(n);
  for (std::size_t i = 0; i < n; ++i) {
    const plane::Corner& segment = corners[(2 * n - 2 - i) % n];
    back[i] = {corners[n - 1 - i].at, corners[n - 1 - i].radius, -segment.bulge, segment.side};
  }
  return back;
}

// Findings of a loop that was walked back name its corners in that order; the maker counts them as typed.
void count_as_typed(Findings& findings, std::size_t n) {
  for (Finding& f : findings) {
    std::size_t corner = 0;
    const char* end = f.path.data() + f.path.size();
    const auto read = std::from_chars(f.path.data(), end, corner);
    if (read.ec == std::errc() && corner < n) f.path = std::to_string(n - 1 - corner) + std::string(read.ptr, end);
  }
}

// Outer loops run counter-clockwise, holes clockwise: the foam on the left. Empty after an error.
plane::Loop loop_of(const std::vector<VertexSpec>& spec, const std::string& path, std::size_t hole,
                    plane::Outline& outline, Findings& out) {
  if (spec.size() > kMostVertices) {
    out.push_back(error("outline.vertices", path, std::to_string(spec.size()) + " vertices; permitted are 3 to 10000",
                        "leave out vertices, or give curves as arcs"));
    return {};
  }
  std::vector<plane::Corner> corners = corners_of(spec, path, hole, outline, out);
  const bool outer = hole == 0, turn = runs_left(corners) != outer;
  if (turn) corners = walked_back(corners);
  Result<plane::Loop> loop = plane::rounded(corners);
  if (!loop) {
    Findings findings = loop.findings();
    if (turn) count_as_typed(findings, corners.size());
    append(out, under(path, std::move(findings)));
    return {};
  }
  if (turn && outer)
    out.push_back(note("outline.clockwise", path, "the outline runs clockwise and is read the other way round",
                       "list the corners counter-clockwise, seen from above"));
  return std::move(*loop);
}

// Paths of segments count corner arcs too: what is left is the loop, and the place that the message names.
Findings in_typed_paths(Findings findings) {
  for (Finding& f : findings) {
    const std::size_t hole = f.path.rfind("holes/", 0) == 0 ? f.path.find('/', 6) : std::string::npos;
    f.path = f.path.rfind("holes/", 0) == 0 ? "outline/" + f.path.substr(0, hole) : "outline/vertices";
  }
  return findings;
}

std::optional<plane::Outline> vertices_of(const VerticesSpec& spec, Findings& out) {
  plane::Outline outline;
  outline.outer = loop_of(spec.outer, "outline/vertices", 0, outline, out);
  for (std::size_t k = 0; k < spec.holes.size(); ++k)
    outline.holes.push_back(loop_of(spec.holes[k], "outline/holes/" + std::to_string(k), k + 1, outline, out));
  if (has_errors(out)) return std::nullopt;
  const plane::Box box = plane::bounds(outline);
  const bool wide = check_size(out, "outline/vertices", "the width of the outline", box.width());
  const bool deep = check_size(out, "outline/vertices", "the depth of the outline", box.depth());
  if (!wide || !deep) return std::nullopt;
  return outline;
}

}  // namespace

Result<Plan> plan_of(const OutlineSpec& spec, bool is_mirrored) {
  Findings out;
  std::optional<plane::Outline> outline;
  if (const auto* r = std::get_if<RectangleSpec>(&spec)) outline = rectangle_of(*r, out);
  if (const auto* v = std::get_if<VerticesSpec>(&spec)) outline = vertices_of(*v, out);
  std::vector<product::Table> tables;
  const auto sourced = [&](Result<SourcedOutline> found) {
    append(out, found ? found->notes : found.findings());
    if (!found) return;
    outline = std::move(found->outline);
    tables = std::move(found->tables);
  };
  if (const auto* f = std::get_if<FrameSpec>(&spec)) sourced(frame_outline(*f));
  if (const auto* d = std::get_if<DxfSpec>(&spec)) sourced(dxf_outline(*d));
  if (!outline) return out;
  if (std::holds_alternative<VerticesSpec>(spec)) append(out, in_typed_paths(plane::check_outline(*outline)));
  if (has_errors(out)) return out;
  note_scale(spec, *outline, out);
  Plan plan{*outline, outline->sides, std::move(out), std::move(tables)};
  if (!is_mirrored) return plan;
  plan.outline = plane::mirrored(*outline);
  for (std::string& name : plan.shown) name = name == "left" ? "right" : name == "right" ? "left" : name;
  return plan;
}

}  // namespace kerfkiln::cushion
