#include "modeler/cushion/barrier.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/cushion/wrap_unroll.hpp"
#include "modeler/plane/offset.hpp"
#include "modeler/plane/region.hpp"
#include "modeler/product/lengths.hpp"
#include "modeler/product/sketch_tools.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kSampleMm = 8;        // along the rim of a rising face
constexpr double kLeastMarkedMm = 20;  // segments shorter than this carry no mark

struct Bag {
  double out_mm = 0;    // of the cloth's middle from the core, sideways and upward
  double under_mm = 0;  // below it
};

Bag bag_of(const Core& core) {
  Bag b;
  for (const Skin& s : core.skins.layers) {
    if (s.name == "topper" || s.name == "batting") b.out_mm += s.thickness_mm;
    if (s.name == "barrier") {
      b.out_mm += s.thickness_mm / 2;
      b.under_mm = s.thickness_mm / 2;
    }
  }
  return b;
}

plane::Loop placed(const plane::Loop& loop, const Unrolled& unrolled) {
  if (!unrolled.place) return loop;
  plane::Loop out;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const plane::Segment s = plane::segment(loop, i);
    const int n = std::max(1, static_cast<int>(std::ceil(s.length() / kSampleMm)));
    for (int k = 0; k < n; ++k) out.push_back({unrolled.place(s.point(static_cast<double>(k) / n)), 0, loop[i].side});
  }
  return out;
}

// The loop begins in the middle of its longest segment at the back: where the strip is closed.
plane::Loop begun_at_back(const plane::Outline& o, const plane::Loop& loop) {
  std::size_t best = 0;
  double most = -1;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const plane::Segment s = plane::segment(loop, i);
    const int side = loop[i].side;
    const bool back =
        side >= 0 && side < static_cast<int>(o.sides.size()) && o.sides[static_cast<std::size_t>(side)] == "back";
    const double score = s.length() + (back ? 1e6 : 0) + (side >= 0 ? 1e5 : 0);
    if (score > most + 1e-9) {
      most = score;
      best = i;
    }
  }
  const plane::Segment s = plane::segment(loop, best), first = plane::part(s, 0, 0.5), second = plane::part(s, 0.5, 1);
  plane::Loop out{{second.a, second.bulge, loop[best].side}};
  for (std::size_t k = 1; k < loop.size(); ++k) out.push_back(loop[(best + k) % loop.size()]);
  out.push_back({first.a, first.bulge, loop[best].side});
  return out;
}

// Marks on one side of a seam: every middle of a segment, but for the two that the strip's own seam divided.
std::vector<BarrierPanel::Mark> marks_on(const plane::Loop& seam, const Unrolled& unrolled) {
  std::vector<BarrierPanel::Mark> out;
  for (std::size_t i = 1; i + 1 < seam.size(); ++i) {
    const plane::Segment s = plane::segment(seam, i);
    if (s.length() < kLeastMarkedMm) continue;
    const Vec2 at = s.point(0.5);
    out.push_back({unrolled.place ? unrolled.place(at) : at, s.inward(0.5), std::to_string(out.size() + 1)});
  }
  return out;
}

// What an outline loses in growing: where a gap or a hole closes, the place and how wide it is at most.
void tell_closed(const plane::Outline& before, const plane::Outline& after, double by_mm, bool bag, Findings& out) {
  const Result<std::vector<plane::Outline>> back = plane::offset(after, -by_mm, plane::Join::mitre);
  if (!back) return;
  const Result<plane::Region> closed = plane::subtracted(*back, {before});
  if (!closed) return;
  // Inner corners rounder than sharp but by less than the growth come back sharp: there no gap closes.
  const double least = before.holes.size() > after.holes.size() ? 0 : 2.5 * by_mm * by_mm;
  const plane::Outline* largest = nullptr;
  for (const plane::Outline& o : *closed)
    if (plane::area(o) > least && (largest == nullptr || plane::area(o) > plane::area(*largest))) largest = &o;
  if (largest == nullptr) return;
  const Vec2 at = plane::centroid(*largest);
  const std::string where = "the gap at (" + number_text(at.x, 0) + ", " + number_text(at.y, 0) + ") mm";
  if (bag)
    out.push_back(warning("barrier.panel", "barrier",
                          where + " closes under the layers, " + mm_text(by_mm) +
                              " from both sides: the barrier's panels run across it; gaps of " + mm_text(2 * by_mm) +
                              " or more stay open",
                          "widen the gap, or take a thinner topper or batting"));
  else
    out.push_back(warning("barrier.panel", "barrier",
                          "in " + where + " the seam allowances of the barrier's panels, " + mm_text(by_mm) +
                              " on each side, meet: the cut line leaves it closed; gaps of " + mm_text(2 * by_mm) +
                              " or more stay open",
                          "cut along the middle between both seam lines and sew there with what is left"));
}

class Maker {
 public:
  explicit Maker(const Core& core) : core_(core), bag_(bag_of(core)) { top_ = unrolled(core.form, bag_.out_mm); }

  Result<BarrierBag> made(std::string material) {
    BarrierBag b;
    b.material = std::move(material);
    b.allowance_mm = kBarrierAllowanceMm;
    const Result<std::vector<plane::Outline>> grown = plane::offset(core_.outline(), bag_.out_mm);
    if (!grown) return grown.findings();
    const plane::Outline& plan = grown->front();
    BarrierPanel top{"barrier-top", "Barrier, top", {}, {}, {}},
        bottom{"barrier-bottom", "Barrier, bottom", {}, {}, {}};
    std::vector<BarrierPanel> strips;
    for (std::size_t i = 0; i <= plan.holes.size(); ++i) {
      const plane::Loop seam = begun_at_back(plan, i == 0 ? plan.outer : plan.holes[i - 1]);
      plane::Loop up = placed(seam, top_);
      (i == 0 ? top.seam.outer : top.seam.holes.emplace_back()) = up;
      (i == 0 ? bottom.seam.outer : bottom.seam.holes.emplace_back()) = seam;
      for (auto& m : marks_on(seam, top_)) top.marks.push_back(m);
      for (auto& m : marks_on(seam, {})) bottom.marks.push_back(m);
      BarrierPanel strip = strip_along(seam, i, b.seams);
      strips.push_back(std::move(strip));
    }
    // Seen from below, as it lies under the cushion.
    b.panels = {std::move(top), std::move(bottom)};
    for (BarrierPanel& s : strips) b.panels.push_back(std::move(s));
    for (BarrierPanel& p : b.panels) {
      const Result<std::vector<plane::Outline>> cut = plane::offset(p.seam, b.allowance_mm, plane::Join::mitre);
      if (!cut) return cut.findings();
      p.cut = cut->front();
    }
    tell_closed(core_.outline(), plan, bag_.out_mm, true, b.notes);
    if (b.notes.empty()) tell_closed(b.panels[1].seam, b.panels[1].cut, b.allowance_mm, false, b.notes);
    b.loose_mm = looseness();
    return b;
  }

 private:
  double height_at(Vec2 p) const {
    return core_.height() + bag_.out_mm + bag_.under_mm + core_.form.rise(Sheet::top).value(p) +
           core_.form.rise(Sheet::bottom).value(p);
  }

  // Both long edges step by step as long as the panels' seam lines are.
  BarrierPanel strip_along(const plane::Loop& seam, std::size_t loop, std::vector<BarrierSeam>& seams) const {
    BarrierPanel p;
    const std::string more = loop == 0 ? "" : "-" + std::to_string(loop),
                      hole = loop == 0 ? "" : ", hole " + std::to_string(loop);
    p.id = "barrier-boxing" + more;
    p.label = "Barrier, boxing strip" + hole;
    std::vector<Vec2> upper, lower;
    const double low = -core_.form.rise(Sheet::bottom).value(seam[0].at);
    upper.push_back({0, low + height_at(seam[0].at)});
    lower.push_back({0, low});
    double along = 0, top_seam = 0;
    for (std::size_t i = 0; i < seam.size(); ++i) {
      const plane::Segment s = plane::segment(seam, i);
      const int n = core_.form.risen() ? std::max(2, static_cast<int>(std::ceil(s.length() / kSampleMm))) : 2;
      for (int k = 1; k <= n; ++k) {
        const Vec2 a = s.point(static_cast<double>(k - 1) / n), b = s.point(static_cast<double>(k) / n);
        const double plain = s.length() / n;
        // On an arc the panel's chord stands for it where the face rises, the arc itself where it is level.
        const double over = top_.place ? norm(top_.place(b) - top_.place(a)) : plain;
        const double bottom_y = -core_.form.rise(Sheet::bottom).value(b), top_y = bottom_y + height_at(b);
        const auto step = [](std::vector<Vec2>& edge, double length, double y) {
          const double dy = y - edge.back().y;
          edge.push_back({edge.back().x + std::sqrt(std::max(0.0, length * length - dy * dy)), y});
        };
        step(upper, over, top_y);
        step(lower, plain, bottom_y);
        along += plain;
        top_seam += over;
        if (k == n / 2 && i > 0 && i + 1 < seam.size() && s.length() >= kLeastMarkedMm) {
          const std::string text = std::to_string(p.marks.size() / 2 + 1);
          p.marks.push_back({upper.back(), {0, -1}, text});
          p.marks.push_back({lower.back(), {0, 1}, text});
        }
      }
    }
    // The longer edge stands over both ends alike.
    const double shift = (lower.back().x - upper.back().x) / 2;
    plane::Loop out;
    const auto put = [&](Vec2 q) {
      // Level edges need no points on the way.
      while (out.size() > 1 && std::abs(cross(out.back().at - out[out.size() - 2].at, q - out.back().at)) < 1e-9)
        out.pop_back();
      out.push_back({q, 0, -1});
    };
    for (const Vec2 q : lower) put(q);
    for (std::size_t i = upper.size(); i-- > 0;) put(upper[i] + Vec2{shift, 0});
    for (BarrierPanel::Mark& m : p.marks)
      if (m.inward.y < 0) m.at.x += shift;
    p.seam.outer = std::move(out);
    const auto length = [](const std::vector<Vec2>& c) {
      double sum = 0;
      for (std::size_t i = 0; i + 1 < c.size(); ++i) sum += norm(c[i + 1] - c[i]);
      return sum;
    };
    seams.push_back({"top" + hole, "top panel", "boxing strip, upper edge", top_seam, length(upper)});
    seams.push_back({"bottom" + hole, "bottom panel", "boxing strip, lower edge", along, length(lower)});
    seams.push_back({"closing" + hole, "boxing strip, one end", "boxing strip, other end",
                     norm(upper.front() + Vec2{shift, 0} - lower.front()),
                     norm(upper.back() + Vec2{shift, 0} - lower.back())});
    return p;
  }

  double looseness() const {
    double most = 0;
    for (const Sheet sheet : {Sheet::top, Sheet::bottom}) {
      const double out = sheet == Sheet::top ? bag_.out_mm : bag_.under_mm;
      for (std::size_t i = 0; i < core_.plan.shown.size(); ++i) {
        const EdgeProfile& e = core_.form.edges(sheet).of(static_cast<int>(i));
        most = std::max(most, e.inset + e.drop + 2 * out - e.length() - out * std::numbers::pi / 2);
      }
    }
    return most;
  }

  const Core& core_;
  Bag bag_;
  Unrolled top_;
};

}  // namespace

double BarrierBag::area_mm2() const {
  double sum = 0;
  for (const BarrierPanel& p : panels) sum += plane::area(p.cut);
  return sum;
}

Result<BarrierBag> barrier_bag(const Core& core) {
  for (const Skin& s : core.skins.layers)
    if (s.name == "barrier") return Maker(core).made(s.material);
  return BarrierBag{};
}

std::vector<product::FlatPart> barrier_parts(const Core& core, const BarrierBag& bag) {
  using product::LineRole;
  std::vector<product::FlatPart> parts;
  for (const BarrierPanel& p : bag.panels) {
    product::FlatPart f;
    f.id = p.id;
    f.label = p.label;
    f.material = "barrier " + bag.material;
    f.hand = core.hand;
    f.face_up = p.id == "barrier-bottom" ? "inner face up" : "outer face up";
    product::add_outline(f.sketch, p.cut, LineRole::cut);
    product::add_outline(f.sketch, p.seam, LineRole::sew);
    const plane::Box b = plane::bounds(p.seam);
    // Notches from the cut line half way into the allowance, the number inside.
    for (const BarrierPanel::Mark& m : p.marks) {
      f.sketch.strokes.push_back(
          product::line(m.at - bag.allowance_mm * m.inward, m.at - bag.allowance_mm / 2 * m.inward, LineRole::station));
      f.sketch.labels.push_back({m.at + 5 * m.inward - Vec2{0, 1.4}, m.text, 4, product::Anchor::centre, 0});
    }
    double y = 0.5 * (b.low.y + b.high.y) + 6;
    for (const std::string& line : {core.name + ", " + p.label, std::string("allowance " + mm_text(bag.allowance_mm) +
                                                                            " included; same numbers meet")}) {
      const double room = 0.8 * b.width();
      f.sketch.labels.push_back({{b.low.x + 0.1 * b.width(), y},
                                 line,
                                 std::min(6.0, room / (0.6 * static_cast<double>(line.size() + 1))),
                                 product::Anchor::left,
                                 0});
      y -= 10;
    }
    parts.push_back(std::move(f));
  }
  return parts;
}

product::Table barrier_table(const BarrierBag& bag) {
  product::Table t;
  t.id = "barrier";
  t.title = "Barrier bag, " + bag.material + ": seams, mm; up to " + number_text(bag.loose_mm, 1) +
            " mm loose over the edges";
  t.columns = {"seam", "of", "with", "length", "length of partner", "difference"};
  t.numeric = {false, false, false, true, true, true};
  const auto bare = [](double mm, int decimals) { return product::bare_length(number_text(mm, decimals)); };
  for (const BarrierSeam& s : bag.seams)
    t.rows.push_back({s.name, s.first, s.second, bare(s.first_mm, 1), bare(s.second_mm, 1),
                      bare(std::abs(s.first_mm - s.second_mm), 2)});
  return t;
}

}  // namespace kerfkiln::cushion
