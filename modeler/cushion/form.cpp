#include "modeler/cushion/form.hpp"

#include <algorithm>
#include <cmath>

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
    findings.push_back({Severity::error, "edges.height", "edges/top/" + side,
                        "the top edge drops by " + mm(t.drop) + " and the bottom edge rises by " + mm(b.drop) +
                            ", together more than the height of " + mm(height),
                        "make the two drops together at most " + mm(height)});
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

}  // namespace

struct Form::State {
  State(plane::Outline o, double h, EdgeProfiles t, EdgeProfiles b)
      : outline(std::move(o)),
        height(h),
        edges{std::move(t), std::move(b)},
        boundary(outline),
        fields{DropField(boundary, edges[0]), DropField(boundary, edges[1])} {}
  plane::Outline outline;
  double height;
  EdgeProfiles edges[2];
  Boundary boundary;
  DropField fields[2];
};

namespace {
std::size_t index(Sheet sheet) { return sheet == Sheet::top ? 0 : 1; }
}  // namespace

Result<Form> Form::make(plane::Outline outline, double height, EdgeProfiles top, EdgeProfiles bottom) {
  Findings findings = side_findings(outline, height, top, bottom);
  if (has_errors(findings)) return findings;
  auto state = std::make_shared<const State>(std::move(outline), height, std::move(top), std::move(bottom));
  const DropField& t = state->fields[0];
  const DropField& b = state->fields[1];
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
double Form::drop(Sheet s, Vec2 p) const { return state_->fields[index(s)].drop(p); }
bool Form::uniform(Sheet s) const { return state_->fields[index(s)].uniform(); }
double Form::inset(Sheet s) const { return state_->fields[index(s)].inset_max(); }
double Form::drop_max(Sheet s) const { return state_->fields[index(s)].drop_max(); }
const DropField& Form::field(Sheet s) const { return state_->fields[index(s)]; }

}  // namespace kerfkiln::cushion
