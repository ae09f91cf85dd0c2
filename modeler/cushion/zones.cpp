#include "modeler/cushion/zones.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/region_rays.hpp"
#include "modeler/cushion/words.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kBehindMm = 2.37;     // by which strips run past the outline
constexpr double kSmallestMm2 = 1e-3;  // less is what rounding leaves of an edge
constexpr double kOnOutlineMm = 1e-6;
constexpr double kStitchMm = 1e-5;  // bands that only touch overlap by this much, so that rounding leaves no crack

plane::Outline disc(Vec2 centre, double radius) {
  return {{{centre + Vec2{radius, 0}, 1, -1}, {centre - Vec2{radius, 0}, 1, -1}}, {}, {}};
}

Vec2 turned(Vec2 v, double angle) {
  const double c = std::cos(angle), d = std::sin(angle);
  return {c * v.x - d * v.y, d * v.x + c * v.y};
}

// What lies between `behind` on the outer side of one segment and `width` on its inner side. At an end where the side
// meets more foam, what is behind draws back aslant, so that it meets the outline in that one point.
struct Ends {
  bool stops_at_a = false, stops_at_b = false;
};
plane::Outline band_of(const plane::Segment& s, double width, double behind, Ends ends = {}) {
  const double back = std::min(behind, s.length() / 3);
  if (s.is_line()) {
    const Vec2 n = s.inward(0), t = s.tangent(0);
    plane::Outline o;
    const auto add = [&o](Vec2 p) { o.outer.push_back({p, 0, -1}); };
    if (ends.stops_at_a) add(s.a);
    add(s.a - behind * n + (ends.stops_at_a ? back : 0) * t);
    add(s.b - behind * n - (ends.stops_at_b ? back : 0) * t);
    if (ends.stops_at_b) add(s.b);
    add(s.b + width * n);
    add(s.a + width * n);
    return o;
  }
  const Vec2 c = s.centre();
  const double r = s.radius();
  const bool ccw = s.bulge > 0;
  // A side that bends round the foam has its parallel nearer the centre, down to the centre itself.
  const double inner = ccw ? std::max(r - width, 0.0) : std::max(r - behind, r / 2);
  const double outer = ccw ? r + behind : r + width;
  // Counter-clockwise from `from` to `to`, whichever way the side runs.
  const Vec2 from = (1 / r) * ((ccw ? s.a : s.b) - c), to = (1 / r) * ((ccw ? s.b : s.a) - c);
  const bool stops_from = ccw ? ends.stops_at_a : ends.stops_at_b, stops_to = ccw ? ends.stops_at_b : ends.stops_at_a;
  const double sweep = std::abs(s.sweep()), slant = back / r;
  plane::Outline o;
  // One arc about the centre, drawn back where it is the one behind.
  const auto add_arc = [&](double radius, bool forward, bool is_behind) {
    const double start = is_behind && stops_from ? slant : 0, end = is_behind && stops_to ? slant : 0;
    const double bulge = std::tan((sweep - start - end) / 4);
    const Vec2 first = c + radius * turned(from, start), last = c + radius * turned(to, -end);
    const Vec2 on_from = c + r * from, on_to = c + r * to;
    if (start > 0 && forward) o.outer.push_back({on_from, 0, -1});
    if (end > 0 && !forward) o.outer.push_back({on_to, 0, -1});
    o.outer.push_back({forward ? first : last, forward ? bulge : -bulge, -1});
    o.outer.push_back({forward ? last : first, 0, -1});
    if (end > 0 && forward) o.outer.push_back({on_to, 0, -1});
    if (start > 0 && !forward) o.outer.push_back({on_from, 0, -1});
  };
  add_arc(outer, true, ccw);
  if (inner > 0)
    add_arc(inner, false, !ccw);
  else
    o.outer.push_back({c, 0, -1});
  return o;
}

// One unbroken run of segments of a side.
struct Run {
  std::vector<plane::Segment> segments;
  bool closed = false;
};
std::vector<Run> runs_of(const plane::Outline& outline, int side) {
  std::vector<Run> runs;
  const auto add = [&](const plane::Loop& loop) {
    const std::size_t n = loop.size();
    std::size_t first = 0;  // after a segment of another side
    while (first < n && loop[(first + n - 1) % n].side == side) ++first;
    const bool closed = first == n;
    bool open = false;
    for (std::size_t k = 0; k < n; ++k) {
      const std::size_t i = (first + k) % n;
      if (loop[i].side == side) {
        if (!open) runs.push_back({{}, closed});
        runs.back().segments.push_back(plane::segment(loop, i));
      }
      open = loop[i].side == side;
    }
  };
  add(outline.outer);
  for (const plane::Loop& hole : outline.holes) add(hole);
  return runs;
}

// How far a side is run on past its end `at`: without end round a corner of the foam, halfway across a gap; not at all
// where foam goes on beyond it.
double run_on(const plane::Outline& outline, Vec2 at, Vec2 along, Vec2 outward, double far, double behind) {
  std::vector<RegionRays::Part> foam;
  std::uint64_t label = 0;
  RegionRays(std::span(&outline, 1)).along(at + 0.01 * outward, along, far, foam, label);
  if (foam.empty()) return far;
  return foam.front().from > 4 * behind ? foam.front().from / 2 : 0;
}

Result<plane::Region> run_band(const plane::Outline& outline, const Run& run, double width, double behind, double far) {
  const std::vector<plane::Segment>& s = run.segments;
  const Vec2 a = s.front().a, b = s.back().b, back = -1.0 * s.front().tangent(0), on = s.back().tangent(1);
  const double before = run.closed ? 0 : run_on(outline, a, back, -1.0 * s.front().inward(0), far, behind);
  const double after = run.closed ? 0 : run_on(outline, b, on, -1.0 * s.back().inward(1), far, behind);
  std::vector<plane::Outline> parts;
  for (std::size_t i = 0; i < s.size(); ++i)
    parts.push_back(band_of(s[i], width, behind,
                            {!run.closed && i == 0 && before == 0, !run.closed && i + 1 == s.size() && after == 0}));
  const std::size_t joints = run.closed ? s.size() : s.size() - 1;
  for (std::size_t i = 0; i < joints; ++i) {
    const Vec2 at = s[i].b, along = s[i].tangent(1);
    const double turn = cross(along, s[(i + 1) % s.size()].tangent(0));
    if (turn < -1e-9) parts.push_back(disc(at, width));
    if (std::abs(turn) <= 1e-6)
      parts.push_back(band_of({at - kStitchMm * along, at + kStitchMm * along, 0}, width, behind));
  }
  if (before > 0) parts.push_back(band_of({a + before * back, a - kStitchMm * back, 0}, width, behind));
  if (after > 0) parts.push_back(band_of({b - kStitchMm * on, b + after * on, 0}, width, behind));
  plane::Region band{parts.front()};
  for (std::size_t i = 1; i < parts.size(); ++i) {
    Result<plane::Region> more = plane::united(band, {parts[i]});
    if (!more) return more;
    band = std::move(*more);
  }
  return band;
}

// Of the parts of a cut-out strip those that touch the side; the side run on can meet others beyond a hollow.
plane::Region touching(const plane::Region& parts, const std::vector<Run>& runs) {
  plane::Region kept;
  for (const plane::Outline& part : parts) {
    bool touches = false;
    for (const Run& run : runs)
      for (const plane::Segment& s : run.segments)
        for (double t : {0.5, 0.1, 0.9}) touches = touches || plane::contains(part, s.point(t) + 0.01 * s.inward(t));
    if (touches) kept.push_back(part);
  }
  return kept;
}

plane::Region without_slivers(plane::Region region) {
  std::erase_if(region, [](const plane::Outline& o) { return plane::area(o) < kSmallestMm2; });
  return region;
}

class Divider {
 public:
  Divider(const plane::Outline& core, const plane::Outline& given, bool mirrored)
      : core_(core), given_(given), mirrored_(mirrored) {}

  std::optional<ZonePlan> zone(const ZoneSpec& z, const std::string& path) {
    const bool outline = z.outline.shape.has_value();
    if (z.strip.known() == outline || z.outline.x.known() != z.outline.y.known()) {
      out.push_back(error("zones.where", path,
                          outline && z.strip.known()
                              ? "the zone has a strip and an outline; permitted is one of the two"
                          : outline ? "the zone's place has one coordinate; two are needed"
                                    : "the zone says neither \"strip\" nor \"outline\"",
                          "say where it lies: a strip along a side, or an outline"));
      return std::nullopt;
    }
    std::optional<ZonePlan> plan = outline ? placed(z.outline, path) : strip(z.strip, path + "/strip");
    if (!plan) return std::nullopt;
    plan->region = without_slivers(std::move(plan->region));
    if (plan->region.empty()) {
      out.push_back(error("zones.outside", path, "nothing of the zone lies within the core's outline",
                          "move it, or leave it out"));
      return std::nullopt;
    }
    return plan;
  }

  Findings out;

 private:
  template <class T>
  std::optional<T> take(Result<T> r, const std::string& path) {
    if (r) return std::move(*r);
    append(out, under(path, r.findings()));
    return std::nullopt;
  }

  std::optional<ZonePlan> placed(const PlacedOutlineSpec& spec, const std::string& path) {
    std::optional<plane::Outline> shape = take(placed_outline(spec), path);
    if (!shape) return std::nullopt;
    if (mirrored_) {
      const plane::Box box = plane::bounds(given_), own = plane::bounds(*shape);
      const double turn = box.low.x + box.high.x - own.low.x - own.high.x;
      *shape = plane::moved(plane::mirrored(*shape), {turn, 0});
    }
    ZonePlan plan{{}, {*shape}};
    std::optional<plane::Region> region = take(plane::intersected(plan.reach, {core_}), path);
    if (!region) return std::nullopt;
    plan.region = std::move(*region);
    return plan;
  }

  std::optional<ZonePlan> strip(const StripSpec& spec, const std::string& path) {
    const auto it = std::find(core_.sides.begin(), core_.sides.end(), spec.side);
    if (it == core_.sides.end()) {
      out.push_back(error("zones.side", path + "/side", "there is no side called \"" + spec.side + "\"",
                          offer(spec.side, core_.sides)));
      return std::nullopt;
    }
    if (!(spec.width.value > 0 && spec.width.value <= kLargestSizeMm)) {
      out.push_back(error("zones.width", path + "/width",
                          "the strip is " + (spec.width.known() ? mm_text(spec.width.value) : std::string("not")) +
                              " wide; permitted is above 0 mm to 10 m",
                          "give a width in that range"));
      return std::nullopt;
    }
    const int side = static_cast<int>(it - core_.sides.begin());
    const std::vector<Run> runs = runs_of(core_, side);
    if (runs.empty()) {
      out.push_back(error("zones.side", path + "/side", "the skins leave nothing of the side \"" + spec.side + "\"",
                          "give the zone by another side, or by an outline"));
      return std::nullopt;
    }
    std::optional<plane::Region> band = take(side_band(core_, side, spec.width.value, kBehindMm), path);
    if (!band) return std::nullopt;
    std::optional<plane::Region> cut = take(plane::intersected(*band, {core_}), path);
    if (!cut) return std::nullopt;
    ZonePlan plan{touching(*cut, runs), {}};
    // Where all of the band counts it may run out; else only what was kept.
    plan.reach = plan.region.size() == cut->size() ? std::move(*band) : plan.region;
    return plan;
  }

  const plane::Outline& core_;
  const plane::Outline& given_;
  bool mirrored_;
};

}  // namespace

Result<plane::Region> side_band(const plane::Outline& outline, int side, double width, double behind) {
  const plane::Box box = plane::bounds(outline);
  const double far = box.width() + box.depth() + 10 * behind;
  plane::Region band;
  for (const Run& run : runs_of(outline, side)) {
    Result<plane::Region> more = run_band(outline, run, width, behind, far);
    if (!more) return more;
    if (band.empty()) {
      band = std::move(*more);
      continue;
    }
    Result<plane::Region> both = plane::united(band, *more);
    if (!both) return both;
    band = std::move(*both);
  }
  return band;
}

Result<ZonesOfLayer> zones_of(const std::vector<ZoneSpec>& specs, const plane::Outline& core,
                              const plane::Outline& given, bool mirrored) {
  ZonesOfLayer layer;
  Divider divider(core, given, mirrored);
  Findings& out = divider.out;
  std::vector<std::size_t> typed;  // index in the design of each zone
  layer.rest = {core};
  for (std::size_t k = 0; k < specs.size(); ++k) {
    const std::string path = "zones/" + std::to_string(k);
    std::optional<ZonePlan> zone = divider.zone(specs[k], path);
    if (!zone) continue;
    for (std::size_t i = 0; i < layer.zones.size(); ++i) {
      const Result<plane::Region> shared = plane::intersected(layer.zones[i].region, zone->region);
      if (!shared) {
        append(out, under(path, shared.findings()));
        continue;
      }
      const double area = plane::area(*shared);
      if (area > kSmallestMm2)
        out.push_back(error("zones.overlap", path,
                            "the zone shares " + number_text(area / 100, 2) + " cm2 with zone " +
                                std::to_string(typed[i] + 1) + " of the layer; permitted is none",
                            "make one of them smaller, or move it"));
    }
    Result<plane::Region> rest = plane::subtracted(layer.rest, zone->reach);
    if (!rest)
      append(out, under(path, rest.findings()));
    else
      layer.rest = without_slivers(std::move(*rest));
    typed.push_back(k);
    layer.zones.push_back(std::move(*zone));
  }
  if (!has_errors(out) && layer.rest.empty())
    out.push_back(error("zones.nothing_left", "zones",
                        "the zones cover the whole layer: nothing is left of its own foam",
                        "make a zone smaller, or give the layer the foam of one of them"));
  if (has_errors(out)) return out;
  return layer;
}

std::vector<plane::Segment> inner_boundary(const plane::Region& region, const plane::Outline& outline) {
  std::vector<plane::Segment> inner;
  const auto add = [&](const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      if (plane::nearest(outline, s.point(0.5)).distance > kOnOutlineMm) inner.push_back(s);
    }
  };
  for (const plane::Outline& o : region) {
    add(o.outer);
    for (const plane::Loop& hole : o.holes) add(hole);
  }
  return inner;
}

}  // namespace kerfkiln::cushion
