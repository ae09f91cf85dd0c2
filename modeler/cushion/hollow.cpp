#include "modeler/cushion/hollow.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>
#include <map>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/level.hpp"
#include "modeler/cushion/region_rays.hpp"
#include "modeler/cushion/relief.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kOutsideMm = 1;     // rays start so far outside
constexpr double kPastMm = 5;        // a side's pocket is run so far out, to be cut off by what lies within the core
constexpr double kStepMm = 0.5;      // on arcs, between looks for the edge of a cut
constexpr double kPolygonMm = 0.02;  // where a form has no smooth level curve
constexpr double kPictureMm = 0.01;  // chords of a pocket that a section meets aslant

bool apart(const plane::Box& a, const plane::Box& b) {
  return a.low.x > b.high.x || a.high.x < b.low.x || a.low.y > b.high.y || a.high.y < b.low.y;
}

plane::Outline polygon(std::initializer_list<Vec2> points) {
  plane::Outline o;
  for (const Vec2 p : points) o.outer.push_back({p, 0, -1});
  return o;
}

Vec2 in_side(const Pocket& p, Vec2 plan) { return {dot(plan - p.origin, p.along), dot(plan - p.origin, p.inward)}; }

using Part = RegionRays::Part;
// Of an outline in a side's plane: its heights at a place along the side.
std::vector<Part> heights_at(std::span<const plane::Outline> region, const plane::Box& box, double along) {
  std::vector<Part> parts;
  std::uint64_t label = 0;
  const double from = box.low.y - kOutsideMm;
  RegionRays(region).along({along, from}, {0, 1}, box.depth() + 2 * kOutsideMm, parts, label);
  for (Part& p : parts) p = {p.from + from, p.to + from};
  return parts;
}

// Joins what touches.
void tidy(std::vector<HeightRange>& ranges) {
  std::sort(ranges.begin(), ranges.end(), [](const HeightRange& a, const HeightRange& b) { return a.low < b.low; });
  std::vector<HeightRange> apart_now;
  for (const HeightRange& r : ranges) {
    if (!apart_now.empty() && r.low <= apart_now.back().high)
      apart_now.back().high = std::max(apart_now.back().high, r.high);
    else
      apart_now.push_back(r);
  }
  ranges = std::move(apart_now);
}

class LevelHollow {
 public:
  LevelHollow(const Form& form, const Cuts& cuts, double z) : form_(form), cuts_(cuts), z_(z) {}

  Result<plane::Region> run() {
    for (const Cut& c : cuts_.cuts) {
      const plane::Outline& region = cuts_.regions[c.region];
      const bool empty = c.kind == Cut::Kind::floor  ? c.mm <= z_ + kSameMm
                         : c.kind == Cut::Kind::roof ? c.mm >= z_ - kSameMm
                                                     : false;
      if (empty) add({region});
      if (c.kind == Cut::Kind::below_top) crease(region, z_ + c.mm);
    }
    for (auto& [lifted, regions] : crossed_) below(lifted, std::move(regions));
    for (const Pocket& p : cuts_.pockets)
      if (p.from == Pocket::From::side) side(p);
    if (has_errors(findings_)) return std::move(findings_);
    return std::move(all_);
  }

 private:
  static constexpr double kSameMm = 1e-9;
  static constexpr int kHalvings = 10;  // of a region's box

  void add(plane::Region more) {
    for (plane::Outline& o : more) {
      const plane::Box box = plane::bounds(o);
      bool alone = true;
      for (const plane::Outline& a : all_) alone = alone && apart(plane::bounds(a), box);
      if (alone)
        all_.push_back(std::move(o));
      else
        take(plane::united(all_, {std::move(o)}), all_);
    }
  }
  void take(Result<plane::Region> r, plane::Region& into) {
    if (r)
      into = std::move(*r);
    else
      append(findings_, r.findings());
  }

  // Empty where the top lies below `lifted`: there the crease's floor lies below the plane.
  void crease(const plane::Outline& region, double lifted) {
    const Form::RiseRange& rise = form_.rise_range(Sheet::top);
    const bool risen = !form_.rise(Sheet::top).flat();
    const double margin = risen ? 1e-3 : kSameMm;
    if (lifted >= form_.height() + rise.high - kSameMm) return add({region});
    if (lifted < form_.height() + rise.low - form_.drop_max(Sheet::top) - margin) return;
    // Where no edge reaches the floor is the risen face moved down; of a level one it lies above the plane.
    if (!dropped(region.outer)) {
      if (!risen) return;
      const Found found = against(lifted - form_.height(), region, plane::bounds(region), 0);
      if (found == Found::over) return;
      if (found == Found::under) return add({region});
    }
    crossed_[lifted].push_back(region);
  }
  enum class Found { over, under, both, nothing };
  // Where the rise over the part of a region within a box lies against a level, as far as bounds tell.
  Found against(double level, const plane::Outline& region, const plane::Box& box, int depth) const {
    const Rise::Bounds b = form_.rise(Sheet::top).bounds(box);
    if (b.low > level + kSameMm) return Found::over;
    if (b.high < level) return Found::under;
    const Vec2 middle = 0.5 * (box.low + box.high);
    if (plane::nearest(region, middle).distance > norm(box.high - middle) && !plane::contains(region, middle))
      return Found::nothing;
    if (depth == kHalvings) return Found::both;
    plane::Box first = box, second = box;
    if (box.width() > box.depth())
      first.high.x = second.low.x = middle.x;
    else
      first.high.y = second.low.y = middle.y;
    const Found one = against(level, region, first, depth + 1);
    if (one == Found::both) return one;
    const Found other = against(level, region, second, depth + 1);
    return one == Found::nothing ? other : other == Found::nothing || other == one ? one : Found::both;
  }
  // Creases of one depth share the level curve.
  void below(double lifted, plane::Region regions) {
    Result<std::vector<plane::Outline>> above =
        form_.risen() ? risen_outlines(form_, lifted)
                      : level_outlines(form_, form_.height() - lifted, std::numeric_limits<double>::infinity());
    if (!above) above = section(form_, lifted, kPolygonMm);
    if (!above) return append(findings_, above.findings());
    plane::Region low;
    take(plane::subtracted(regions, *above), low);
    add(std::move(low));
  }
  bool dropped(const plane::Loop& loop) const {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      const int n = 1 + static_cast<int>(s.length() / 2);
      for (int k = 0; k < n; ++k)
        if (form_.drop(Sheet::top, s.point(static_cast<double>(k) / n)) > 0) return true;
    }
    return false;
  }

  void side(const Pocket& p) {
    const plane::Box box = plane::bounds(p.outline);
    if (z_ <= box.low.y || z_ >= box.high.y) return;
    std::vector<Part> parts;
    std::uint64_t label = 0;
    const double from = box.low.x - kOutsideMm;
    RegionRays(std::span(&p.outline, 1)).along({from, z_}, {1, 0}, box.width() + 2 * kOutsideMm, parts, label);
    for (const Part& part : parts) {
      const Vec2 a = p.origin + (part.from + from) * p.along - kPastMm * p.inward,
                 b = p.origin + (part.to + from) * p.along - kPastMm * p.inward, in = (p.depth_mm + kPastMm) * p.inward;
      // Seen from outside `along` runs to the right, so inward is to its left.
      add({polygon({a, b, b + in, a + in})});
    }
  }

  const Form& form_;
  const Cuts& cuts_;
  double z_;
  plane::Region all_;
  std::map<double, plane::Region> crossed_;  // by the height at which the top bounds them
  Findings findings_;
};

// Parameters where a segment enters or leaves a region.
void add_breaks(const plane::Outline& region, const plane::Segment& s, std::vector<double>& breaks) {
  if (apart(plane::bounds(region), plane::bounds(plane::Loop{{s.a, s.bulge, -1}, {s.b, 0, -1}}))) return;
  if (s.is_line()) {
    std::vector<Part> parts;
    std::uint64_t label = 0;
    RegionRays(std::span(&region, 1)).along(s.a, s.tangent(0), s.length(), parts, label);
    for (const Part& p : parts) breaks.insert(breaks.end(), {p.from / s.length(), p.to / s.length()});
    return;
  }
  const int n = 1 + static_cast<int>(s.length() / kStepMm);
  bool before = plane::contains(region, s.point(0));
  for (int k = 1; k <= n; ++k) {
    double low = static_cast<double>(k - 1) / n, high = static_cast<double>(k) / n;
    const bool after = plane::contains(region, s.point(high));
    if (after == before) continue;
    for (int step = 0; step < 40; ++step) {
      const double mid = (low + high) / 2;
      (plane::contains(region, s.point(mid)) == before ? low : high) = mid;
    }
    breaks.push_back(high);
    before = after;
  }
}

// In the plane of the section, at right angles to it or along it exact; aslant the pocket's arcs are chords.
void add_side(const Pocket& p, bool across, double place, double from, double to, std::vector<plane::Outline>& empty) {
  const Vec2 start = across ? Vec2{from, place} : Vec2{place, from}, run = across ? Vec2{1, 0} : Vec2{0, 1};
  const Vec2 at = in_side(p, start), rate{dot(run, p.along), dot(run, p.inward)};
  // The stretch of the section between the side and the pocket's floor.
  double low = from, high = to;
  if (std::abs(rate.y) > 1e-9) {
    const double a = from + (-kPastMm - at.y) / rate.y, b = from + (p.depth_mm - at.y) / rate.y;
    low = std::min(a, b);
    high = std::max(a, b);
  } else if (at.y < 0 || at.y > p.depth_mm) {
    return;
  }
  const auto rectangle = [](double x0, double x1, double y0, double y1) {
    return polygon({{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}});
  };
  if (std::abs(rate.x) < 1e-9) {
    for (const Part& h : heights_at(std::span(&p.outline, 1), plane::bounds(p.outline), at.x))
      empty.push_back(rectangle(low, high, h.from, h.to));
    return;
  }
  const bool exact = std::abs(std::abs(rate.x) - 1) < 1e-12;
  const auto seen = [&](const plane::Loop& loop) {
    plane::Loop source = loop;
    if (!exact) {
      source.clear();
      for (const Vec2 q : plane::flattened(loop, kPictureMm)) source.push_back({q, 0, -1});
    }
    if (rate.x < 0) source = plane::mirrored_x(source);
    for (plane::Vertex& v : source) {
      const double along = rate.x < 0 ? -v.at.x : v.at.x;
      v.at.x = from + (along - at.x) / rate.x;
    }
    return source;
  };
  plane::Outline o{seen(p.outline.outer), {}, {}};
  for (const plane::Loop& hole : p.outline.holes) o.holes.push_back(seen(hole));
  if (const Result<plane::Region> within = plane::intersected({o}, {rectangle(low, high, -1, kLargestSizeMm)}))
    empty.insert(empty.end(), within->begin(), within->end());
}

}  // namespace

plane::Outline footprint(const Pocket& p, double past) {
  const plane::Box b = plane::bounds(p.outline);
  const Vec2 a = p.origin + b.low.x * p.along, e = p.origin + b.high.x * p.along;
  return polygon({a - past * p.inward, e - past * p.inward, e + p.depth_mm * p.inward, a + p.depth_mm * p.inward});
}

Result<plane::Region> hollow_at(const Form& form, const Cuts& cuts, double z) {
  return LevelHollow(form, cuts, z).run();
}

std::vector<HeightRange> hollow_over(const Form& form, const Cuts& cuts, Vec2 p) {
  std::vector<HeightRange> ranges;
  for (const Cut& c : cuts.cuts) {
    if (!plane::contains(cuts.regions[c.region], p)) continue;
    if (c.kind == Cut::Kind::roof)
      ranges.push_back({-INFINITY, c.mm});
    else
      ranges.push_back({c.kind == Cut::Kind::floor ? c.mm : form.z_top(p) - c.mm, INFINITY});
  }
  for (const Pocket& pocket : cuts.pockets) {
    if (pocket.from != Pocket::From::side) continue;
    const Vec2 at = in_side(pocket, p);
    if (at.y < 0 || at.y > pocket.depth_mm) continue;
    for (const Part& h : heights_at(std::span(&pocket.outline, 1), plane::bounds(pocket.outline), at.x))
      ranges.push_back({h.from, h.to});
  }
  tidy(ranges);
  return ranges;
}

std::vector<double> hollow_breaks(const Cuts& cuts, const plane::Segment& s) {
  std::vector<double> breaks{0, 1};
  for (const Cut& c : cuts.cuts) add_breaks(cuts.regions[c.region], s, breaks);
  for (const Pocket& p : cuts.pockets) {
    if (p.from != Pocket::From::side) continue;
    add_breaks(footprint(p, kPastMm), s, breaks);
    if (!s.is_line()) continue;
    const double from = in_side(p, s.a).x, to = in_side(p, s.b).x;
    if (std::abs(to - from) < 1e-9) continue;
    for (const Vec2 turn : RegionRays(std::span(&p.outline, 1)).turns_parallel({0, 1}))
      if (const double t = (turn.x - from) / (to - from); t > 0 && t < 1) breaks.push_back(t);
  }
  std::sort(breaks.begin(), breaks.end());
  return breaks;
}

std::vector<plane::Outline> hollow_in(const Form& form, const Cuts& cuts, bool across, double place) {
  std::vector<plane::Outline> empty;
  const plane::Box box = plane::bounds(form.outline());
  const double low = (across ? box.low.x : box.low.y) - kOutsideMm,
               high = (across ? box.high.x : box.high.y) + kOutsideMm, far = kLargestSizeMm;
  const Vec2 start = across ? Vec2{low, place} : Vec2{place, low}, run = across ? Vec2{1, 0} : Vec2{0, 1};
  for (const Cut& cut : cuts.cuts) {
    std::vector<Part> parts;
    std::uint64_t label = 0;
    RegionRays(std::span(&cuts.regions[cut.region], 1)).along(start, run, high - low, parts, label);
    for (const Part& r : parts) {
      const double from = r.from + low, to = r.to + low;
      if (cut.kind == Cut::Kind::below_top) {
        plane::Outline o;
        constexpr int kSteps = 24;
        for (int i = 0; i <= kSteps; ++i) {
          const double x = from + (to - from) * i / kSteps;
          o.outer.push_back({{x, form.z_top(across ? Vec2{x, place} : Vec2{place, x}) - cut.mm}, 0, -1});
        }
        o.outer.push_back({{to, far}, 0, -1});
        o.outer.push_back({{from, far}, 0, -1});
        empty.push_back(std::move(o));
      } else {
        const double bottom = cut.kind == Cut::Kind::floor ? cut.mm : -far,
                     top = cut.kind == Cut::Kind::floor ? far : cut.mm;
        empty.push_back(polygon({{from, bottom}, {to, bottom}, {to, top}, {from, top}}));
      }
    }
  }
  for (const Pocket& p : cuts.pockets)
    if (p.from == Pocket::From::side) add_side(p, across, place, low, high, empty);
  return empty;
}

double side_volume_over(const Pocket& p, const plane::Region& region, double low, double high, Findings& out) {
  const plane::Box box = plane::bounds(p.outline);
  const plane::Outline band = polygon({{box.low.x - kOutsideMm, low},
                                       {box.high.x + kOutsideMm, low},
                                       {box.high.x + kOutsideMm, high},
                                       {box.low.x - kOutsideMm, high}});
  const Result<plane::Region> face = plane::intersected({p.outline}, {band}),
                              plan = plane::intersected(region, {footprint(p, kPastMm)});
  if (!face || !plan) {
    append(out, face ? plan.findings() : face.findings());
    return 0;
  }
  if (face->empty() || plan->empty()) return 0;
  const RegionRays above(*plan);
  std::vector<double> breaks;
  for (const Vec2 turn : RegionRays(*face).turns_parallel({0, 1})) breaks.push_back(turn.x);
  for (const Vec2 turn : above.turns_parallel(p.inward)) breaks.push_back(in_side(p, turn).x);
  std::sort(breaks.begin(), breaks.end());
  const auto section = [&](double x) {
    double height = 0, depth = 0;
    for (const Part& h : heights_at(*face, box, x)) height += h.to - h.from;
    std::vector<Part> parts;
    std::uint64_t label = 0;
    const double past = kPastMm + kOutsideMm;
    above.along(p.origin + x * p.along - past * p.inward, p.inward, p.depth_mm + past + kOutsideMm, parts, label);
    for (const Part& d : parts) depth += d.to - d.from;
    return height * depth;
  };
  double sum = 0;
  for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
    const double from = breaks[i], to = breaks[i + 1];
    if (to - from < 1e-9) continue;
    // Arcs begin and end like square roots.
    const auto even = [&](double u) {
      return section(from + (to - from) * u * u * (3 - 2 * u)) * 6 * u * (1 - u) * (to - from);
    };
    sum += boost::math::quadrature::gauss_kronrod<double, 15>::integrate(even, 0.0, 1.0, 10, 1e-11);
  }
  return sum;
}

}  // namespace kerfkiln::cushion
