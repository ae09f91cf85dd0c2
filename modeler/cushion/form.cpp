#include "modeler/cushion/form.hpp"

#include <algorithm>
#include <cmath>
#include <mutex>

#include "modeler/base/number_text.hpp"
#include "modeler/cushion/boundary.hpp"
#include "modeler/cushion/drop.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr double kMeets = 1e-9;  // drops that meet within this, mm, do not overlap

std::string mm(double x) { return format_number(x, 2) + " mm"; }

Findings side_findings(const plane::Outline& outline, double height, const EdgeProfiles& top,
                       const EdgeProfiles& bottom) {
  Findings findings;
  const auto check = [&](const EdgeProfile& t, const EdgeProfile& b, const std::string& side) {
    if (t.drop + b.drop <= height + kMeets) return;
    const bool on_top = t.drop >= b.drop;
    const double more = std::max(t.drop, b.drop), less = std::min(t.drop, b.drop);
    findings.push_back({Severity::error, "edges.height", std::string("edges/") + (on_top ? "top/" : "bottom/") + side,
                        (on_top ? "the top edge drops by " : "the bottom edge rises by ") + mm(more) +
                            (less > 0 ? (on_top ? " and the bottom edge rises by " : " and the top edge drops by ") +
                                            mm(less) + ", together more"
                                      : std::string(", more")) +
                            " than the height of " + mm(height) + "; permitted here is 0 mm to " +
                            mm(std::max(0.0, height - less)),
                        less > 0 ? "make the two drops together at most " + mm(height)
                                 : "make the edge smaller or the layers thicker"});
  };
  bool other = false;
  std::vector<char> used(outline.sides.size(), 0);
  const auto look = [&](const plane::Loop& loop) {
    bool any = false;
    for (const plane::Vertex& v : loop)
      if (v.side >= 0) {
        any = true;
        if (static_cast<std::size_t>(v.side) < used.size()) used[static_cast<std::size_t>(v.side)] = 1;
      }
    other = other || !any;
  };
  look(outline.outer);
  for (const plane::Loop& hole : outline.holes) look(hole);
  for (std::size_t i = 0; i < used.size(); ++i)
    if (used[i]) check(top.of(static_cast<int>(i)), bottom.of(static_cast<int>(i)), outline.sides[i]);
  if (other) check(top.other, bottom.other, "other");
  return findings;
}

// Drops fall off inward, so two of them are largest together somewhere on the boundary.
Findings overlap_findings(const Boundary& boundary, const DropField& top, const DropField& bottom, double height) {
  double worst = height + kMeets;
  Vec2 where;
  bool found = false;
  const double fine = std::max(std::min(top.inset_max(), bottom.inset_max()) / 8, 0.5);
  for (const Element& e : boundary.elements()) {
    const int n = std::clamp(static_cast<int>(std::ceil(e.length / fine)), 2, 256);
    for (int i = 0; i < n; ++i) {
      const Vec2 p = e.point(static_cast<double>(i) / n);
      const double sum = top.drop(p) + bottom.drop(p);
      if (sum <= worst) continue;
      worst = sum;
      where = p;
      found = true;
    }
  }
  if (!found) return {};
  return {{Severity::error, "edges.overlap", "edges",
           "at (" + format_number(where.x, 1) + ", " + format_number(where.y, 1) +
               ") mm the top edge of one side and the "
               "bottom edge of another take " +
               mm(worst) + " of a height of " + mm(height),
           "make one of the two drops smaller, or keep these sides farther apart"}};
}

// Places that tell how a rise runs: where its polynomials meet, and along the outline.
std::vector<Vec2> telling_places(const Rise& rise, const plane::Outline& outline) {
  std::vector<Vec2> places;
  const plane::Box box = plane::bounds(outline);
  constexpr double kParts = 24;
  const auto refined = [](const std::vector<double>& lines, double size) {
    std::vector<double> out;
    for (std::size_t i = 0; i + 1 < lines.size(); ++i) {
      const int n = std::max(1, static_cast<int>(std::ceil((lines[i + 1] - lines[i]) * kParts / size)));
      for (int k = 0; k < n; ++k) out.push_back(lines[i] + (lines[i + 1] - lines[i]) * k / n);
    }
    return out;
  };
  const Rise::Lines lines = rise.lines(box);
  for (double y : refined(lines.y, box.depth()))
    for (double x : refined(lines.x, box.width()))
      if (plane::contains(outline, {x, y})) places.push_back({x, y});
  const double step = std::min(box.width(), box.depth()) / kParts;
  const auto along = [&](const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const plane::Segment s = plane::segment(loop, i);
      const int n = std::clamp(static_cast<int>(std::ceil(s.length() / step)), 1, 64);
      for (int k = 0; k < n; ++k) places.push_back(s.point(static_cast<double>(k) / n));
    }
  };
  along(outline.outer);
  for (const plane::Loop& hole : outline.holes) along(hole);
  return places;
}

// Uphill (sign 1) or downhill from p by Newton's steps, as long as they gain and stay inside.
Vec2 climbed(const Rise& rise, const plane::Outline& outline, Vec2 p, double sign) {
  for (int i = 0; i < 8; ++i) {
    const RiseAt a = rise.at(p);
    const double det = a.xx * a.yy - a.xy * a.xy;
    if (!(det > 0 && sign * a.xx < 0)) break;
    const Vec2 step{(a.xy * a.slope.y - a.yy * a.slope.x) / det, (a.xy * a.slope.x - a.xx * a.slope.y) / det};
    const Vec2 q = p + step;
    if (!plane::contains(outline, q) || !(sign * rise.value(q) > sign * a.value)) break;
    p = q;
  }
  return p;
}

Form::RiseRange range_of(const Rise& rise, const plane::Outline& outline, const std::vector<Vec2>& telling) {
  Form::RiseRange r;
  if (rise.flat()) return r;
  r.low = INFINITY;
  r.high = -INFINITY;
  for (const Vec2 p : telling) {
    const double v = rise.value(p);
    if (v < r.low) r.low = v, r.low_at = p;
    if (v > r.high) r.high = v, r.high_at = p;
  }
  r.high_at = climbed(rise, outline, r.high_at, 1);
  r.low_at = climbed(rise, outline, r.low_at, -1);
  r.high = rise.value(r.high_at);
  r.low = rise.value(r.low_at);
  return r;
}

// With a rise the faces can meet anywhere.
Findings thickness_findings(const Form& form, const std::vector<Vec2> (&telling)[2]) {
  double least = INFINITY;
  Vec2 where;
  const auto look = [&](Vec2 p) {
    const double t = form.z_top(p) - form.z_bottom(p);
    if (t < least) least = t, where = p;
  };
  for (const std::vector<Vec2>& places : telling)
    for (const Vec2 p : places) look(p);
  const Boundary& boundary = form.field(Sheet::top).boundary();
  const double fine = std::max(std::min(form.inset(Sheet::top), form.inset(Sheet::bottom)) / 8, 2.0);
  for (const Element& e : boundary.elements()) {
    const int n = std::clamp(static_cast<int>(std::ceil(e.length / fine)), 2, 256);
    for (int i = 0; i < n; ++i) look(e.point(static_cast<double>(i) / n));
  }
  if (least >= -kMeets) return {};
  return {{Severity::error, "form.thickness", "contour",
           "at (" + format_number(where.x, 1) + ", " + format_number(where.y, 1) + ") mm the lower face stands " +
               mm(-least) +
               " above the upper one: crown, contour and edges take more "
               "than the height of " +
               mm(form.height()),
           "raise the contour or crown there, make the edges smaller, or the layers thicker"}};
}

}  // namespace

struct Form::State {
  State(plane::Outline o, double h, EdgeProfiles t, EdgeProfiles b, Rise on_top, Rise on_bottom)
      : outline(std::move(o)),
        height(h),
        edges{std::move(t), std::move(b)},
        rises{std::move(on_top), std::move(on_bottom)},
        boundary(outline),
        fields{DropField(boundary, edges[0]), DropField(boundary, edges[1])} {
    for (std::size_t i = 0; i < 2; ++i) {
      if (!rises[i].flat()) telling[i] = telling_places(rises[i], outline);
      ranges[i] = range_of(rises[i], outline, telling[i]);
    }
  }
  // One face of another form: what is known of it need not be found again.
  State(const State& of, std::size_t i)
      : outline(of.outline),
        height(of.height),
        edges{i == 0 ? of.edges[0] : EdgeProfiles{}, i == 1 ? of.edges[1] : EdgeProfiles{}},
        rises{i == 0 ? of.rises[0] : Rise{}, i == 1 ? of.rises[1] : Rise{}},
        boundary(outline),
        fields{DropField(boundary, edges[0]), DropField(boundary, edges[1])} {
    telling[i] = of.telling[i];
    ranges[i] = of.ranges[i];
  }
  plane::Outline outline;
  double height;
  EdgeProfiles edges[2];
  Rise rises[2];
  std::vector<Vec2> telling[2];  // places that tell how a rise runs; none for a level face
  RiseRange ranges[2];
  Boundary boundary;
  DropField fields[2];

  // Made when first asked for.
  mutable std::mutex mutex;
  mutable std::shared_ptr<const State> alone[2];  // null: not made
  mutable bool no_form_alone[2] = {false, false};
  mutable std::vector<std::pair<double, ReliefKept>> reliefs;
};

namespace {
std::size_t index(Sheet sheet) { return sheet == Sheet::top ? 0 : 1; }
}  // namespace

Result<Form> Form::make(plane::Outline outline, double height, EdgeProfiles top, EdgeProfiles bottom, Rise on_top,
                        Rise on_bottom) {
  const bool risen = !(on_top.flat() && on_bottom.flat());
  Findings findings;
  if (!risen) findings = side_findings(outline, height, top, bottom);
  if (has_errors(findings)) return findings;
  auto state = std::make_shared<const State>(std::move(outline), height, std::move(top), std::move(bottom),
                                             std::move(on_top), std::move(on_bottom));
  const DropField& t = state->fields[0];
  const DropField& b = state->fields[1];
  if (risen) {
    Form form(state);
    findings = thickness_findings(form, state->telling);
    if (has_errors(findings)) return findings;
    return form;
  }
  if (t.drop_max() + b.drop_max() > height + kMeets) {
    findings = overlap_findings(state->boundary, t, b, height);
    if (has_errors(findings)) return findings;
  }
  return Form(std::move(state));
}

Form::Form(std::shared_ptr<const State> state) : state_(std::move(state)) {}
Form::Form(const Form&) = default;
Form::Form(Form&&) noexcept = default;
Form& Form::operator=(const Form&) = default;
Form& Form::operator=(Form&&) noexcept = default;
Form::~Form() = default;

const plane::Outline& Form::outline() const { return state_->outline; }
double Form::height() const { return state_->height; }
const EdgeProfiles& Form::edges(Sheet s) const { return state_->edges[index(s)]; }
const Rise& Form::rise(Sheet s) const { return state_->rises[index(s)]; }
const Form::RiseRange& Form::rise_range(Sheet s) const { return state_->ranges[index(s)]; }
double Form::drop(Sheet s, Vec2 p) const { return state_->fields[index(s)].drop(p); }
bool Form::uniform(Sheet s) const { return state_->fields[index(s)].uniform(); }
double Form::inset(Sheet s) const { return state_->fields[index(s)].inset_max(); }
double Form::drop_max(Sheet s) const { return state_->fields[index(s)].drop_max(); }
const DropField& Form::field(Sheet s) const { return state_->fields[index(s)]; }

Form Form::alone(Sheet s) const {
  const std::size_t i = index(s);
  const std::lock_guard lock(state_->mutex);
  if (state_->no_form_alone[i]) return *this;
  if (!state_->alone[i]) {
    const Form made(std::make_shared<const State>(*state_, i));
    if (made.risen() && has_errors(thickness_findings(made, made.state_->telling))) {
      state_->no_form_alone[i] = true;
      return *this;
    }
    state_->alone[i] = made.state_;
  }
  return Form(state_->alone[i]);
}

Form::ReliefKept Form::kept_relief(double deviation, ReliefKept (*found)(const Form&, double)) const {
  const std::lock_guard lock(state_->mutex);
  for (const auto& [of, kept] : state_->reliefs)
    if (of == deviation) return kept;
  state_->reliefs.emplace_back(deviation, found(*this, deviation));
  return state_->reliefs.back().second;
}

}  // namespace kerfkiln::cushion
