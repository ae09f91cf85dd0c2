#include "modeler/cushion/crease_draft.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/plane/curve.hpp"
#include "modeler/plane/offset.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kShortestMm = 10;   // stretch of a path
constexpr std::size_t kMost = 1000;  // creases of one pattern

class Drafting {
 public:
  Drafting(const plane::Outline& given, bool mirrored, const plane::Outline& core, Findings& out)
      : box_(plane::bounds(given)), mirrored_(mirrored), core_(core), out_(out) {}

  void add(const CreaseSpec& c, std::size_t index) {
    field_ = "creases/" + std::to_string(index);
    spec_ = &c;
    const bool diamonds = c.diamonds.width.known() || c.diamonds.length.known();
    const bool channels = c.channels.spacing.known();
    const int ways = !c.path.empty() + !c.points.empty() + diamonds + channels;
    if (ways != 1) {
      out_.push_back(error("crease.form", field_,
                           ways == 0 ? "the crease has no course" : "the crease has more than one course",
                           "give one of path, points, diamonds and channels"));
      return;
    }
    if (diamonds) return add_diamonds(c.diamonds);
    if (channels) return add_channels(c.channels);
    add_path(c.path.empty() ? c.points : c.path, c.closed, c.path.empty() ? "points" : "path", index);
  }
  std::vector<CreaseDraft> take() { return std::move(drafts_); }

 private:
  void add_path(const std::vector<CreasePoint>& points, bool closed, const std::string& key, std::size_t index) {
    const std::size_t least = closed ? 3 : 2;
    bool arcs = false;
    for (const CreasePoint& p : points) arcs = arcs || (p.bulge.known() && p.bulge.value != 0);
    if (points.size() < (closed && arcs ? 2 : least)) {
      out_.push_back(error("crease.path", field_ + "/" + key,
                           std::to_string(points.size()) + " points; a " + (closed ? "closed" : "open") +
                               " crease needs at least " + std::to_string(closed && arcs ? 2 : least),
                           "add points"));
      return;
    }
    plane::Loop path;
    for (const CreasePoint& p : points)
      path.push_back(
          {{snap_to_plan_grid(p.x.value), snap_to_plan_grid(p.y.value)}, p.bulge.known() ? p.bulge.value : 0, 0});
    for (std::size_t i = 0; i + (closed ? 0 : 1) < path.size(); ++i) {
      const double length = norm(path[(i + 1) % path.size()].at - path[i].at);
      if (length >= kShortestMm) continue;
      out_.push_back(error("crease.path", field_ + "/" + key + "/" + std::to_string(i),
                           "the crease goes on only " + mm_text(length) + " from here; permitted is " +
                               mm_text(kShortestMm) + " or more",
                           "leave the point out or move it"));
      return;
    }
    if (mirrored_)
      for (plane::Vertex& v : path) {
        v.at.x = box_.low.x + box_.high.x - v.at.x;
        v.bulge = -v.bulge;
      }
    drafts_.push_back({"crease " + std::to_string(index + 1), field_, std::move(path), closed, false, spec_});
  }

  // Where straight lines of a pattern lie within the region.
  std::vector<plane::Outline> region_of(const Length& margin) {
    if (!margin.known() || margin.value == 0) return {core_};
    Result<std::vector<plane::Outline>> inside = plane::offset(core_, -margin.value);
    if (inside && !inside->empty()) return std::move(*inside);
    out_.push_back(error("crease.pattern", field_,
                         "the margin of " + mm_text(margin.value) + " leaves nothing of the core for a pattern",
                         "make the margin smaller"));
    return {};
  }
  void add_lines(const std::vector<plane::Outline>& region, bool runs_out, Vec2 from, Vec2 along,
                 const std::string& what) {
    const Vec2 d = unit(along);
    const double reach = 2 * norm(box_.high - box_.low);
    const plane::Curve line = plane::curve({from - reach * d, from + reach * d, 0});
    for (const plane::Outline& o : region) {
      std::vector<double> at;
      const auto meet = [&](const plane::Loop& loop) {
        for (std::size_t i = 0; i < loop.size(); ++i) {
          const plane::Meetings m = plane::meetings(line, plane::curve(plane::segment(loop, i)));
          for (int k = 0; k < m.count; ++k) at.push_back(m.list[static_cast<std::size_t>(k)].on_first);
        }
      };
      meet(o.outer);
      for (const plane::Loop& hole : o.holes) meet(hole);
      std::sort(at.begin(), at.end());
      for (std::size_t i = 0; i + 1 < at.size(); ++i) {
        const Vec2 a = line.a + at[i] * d, b = line.a + at[i + 1] * d;
        if (at[i + 1] - at[i] < kPatternMm || !plane::contains(o, 0.5 * (a + b)) || drafts_.size() >= kMost) continue;
        const double over = runs_out ? 1 : 0;  // past the edge
        drafts_.push_back({what + " " + std::to_string(++count_),
                           field_,
                           {{a - over * d, 0, 0}, {b + over * d, 0, 0}},
                           false,
                           true,
                           spec_});
      }
    }
  }
  static bool runs_out(const Length& margin) { return !margin.known() || margin.value == 0; }

  void add_diamonds(const DiamondSpec& s) {
    const std::vector<plane::Outline> region = region_of(s.margin);
    const Vec2 middle = 0.5 * (box_.low + box_.high);
    const double w = s.width.value, l = s.length.value;
    // Lines x / w -+ y / l = k + 1/2 about the middle.
    const int most = static_cast<int>(std::ceil(box_.width() / w + box_.depth() / l)) + 1;
    if (!sensible(most)) return;
    for (const double sign : {1.0, -1.0})
      for (int k = -most; k < most; ++k)
        add_lines(region, runs_out(s.margin), middle + Vec2{(k + 0.5) * w, 0}, {w, sign * l}, "diamond crease");
  }
  void add_channels(const ChannelSpec& s) {
    const std::vector<plane::Outline> region = region_of(s.margin);
    const Vec2 middle = 0.5 * (box_.low + box_.high);
    const bool across = s.direction == "left to right";
    const double room = (across ? box_.depth() : box_.width()) / 2;
    const int most = static_cast<int>(std::ceil(room / s.spacing.value));
    if (!sensible(most)) return;
    for (int k = -most; k < most; ++k) {
      const double off = (k + 0.5) * s.spacing.value;
      // Nearer to the side than half a channel there is no room for another.
      if (std::abs(off) > room - s.spacing.value / 2 + 1e-9) continue;
      add_lines(region, runs_out(s.margin), middle + (across ? Vec2{0, off} : Vec2{off, 0}),
                across ? Vec2{1, 0} : Vec2{0, 1}, "channel crease");
    }
  }
  bool sensible(int lines) {
    if (lines <= 200) return true;
    out_.push_back(
        error("crease.pattern", field_, "the pattern would have more than 200 creases a family", "make it wider"));
    return false;
  }

  static constexpr double kPatternMm = 30;  // shorter creases of a pattern are left out
  plane::Box box_;
  bool mirrored_;
  const plane::Outline& core_;
  Findings& out_;
  std::string field_;
  const CreaseSpec* spec_ = nullptr;
  int count_ = 0;
  std::vector<CreaseDraft> drafts_;
};

}  // namespace

std::vector<CreaseDraft> drafted(const std::vector<CreaseSpec>& list, const plane::Outline& given, bool mirrored,
                                 const plane::Outline& core, Findings& out) {
  Drafting drafting(given, mirrored, core, out);
  for (std::size_t i = 0; i < list.size(); ++i) drafting.add(list[i], i);
  return drafting.take();
}

}  // namespace kerfkiln::cushion
