#include <array>

#include "modeler/base/tolerance.hpp"
#include "modeler/cushion/describe.hpp"
#include "modeler/cushion/outline_spec.hpp"
#include "modeler/cushion/plan.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr Range kPlace{-10000, 10000};

class PlacedForms final : public Alternatives {
 public:
  explicit PlacedForms(std::optional<OutlineSpec>& shape) : shape_(shape) {}
  std::size_t count() const override { return kForms.size(); }
  Alternative at(std::size_t i) const override { return kForms[i]; }
  std::size_t chosen() const override { return shape_ ? shape_->index() : count(); }
  void choose(std::size_t i) override { shape_ = fresh(i); }
  void fields(Visitor& v) override {
    if (shape_) form(v, *shape_);
  }
  void prototype(Visitor& v, std::size_t i) override {
    OutlineSpec shape = fresh(i);
    form(v, shape);
  }

 private:
  static constexpr auto kForms =
      std::to_array<Alternative>({{.id = "rectangle", .label = "Rectangle", .help = "Corners rounded alike."},
                                  {.id = "vertices",
                                   .label = "Vertices",
                                   .help = "Corners in counter-clockwise order, joined by lines or arcs."}});
  static OutlineSpec fresh(std::size_t i) {
    return i == 0 ? OutlineSpec(RectangleSpec{}) : OutlineSpec(VerticesSpec{});
  }
  static void form(Visitor& v, OutlineSpec& shape) {
    if (auto* r = std::get_if<RectangleSpec>(&shape))
      v.record({.key = "rectangle", .label = "Rectangle", .help = kForms[0].help, .required = true},
               [r](Visitor& w) { describe(w, *r); });
    if (auto* x = std::get_if<VerticesSpec>(&shape))
      list(v, {.key = "vertices", .label = "Vertices", .help = kForms[1].help, .range = {2, 10000}, .required = true},
           x->outer, [](Visitor& w, VertexSpec& y) { w.record({}, [&y](Visitor& z) { describe(z, y); }); });
  }
  std::optional<OutlineSpec>& shape_;
};

}  // namespace

void describe(Visitor& v, PlacedOutlineSpec& s, std::string_view help, bool required) {
  PlacedForms forms(s.shape);
  v.alternatives({.key = "outline", .label = "Outline", .help = help, .required = required}, forms);
  const auto at = std::to_array<TupleItem>(
      {tuple_item({.label = "Across", .help = "To the right of the origin.", .range = kPlace, .typical = {0, 900}},
                  s.x),
       tuple_item({.label = "Back", .help = "Behind the origin.", .range = kPlace, .typical = {0, 800}}, s.y)});
  v.tuple({.key = "at",
           .label = "Place",
           .help = "[across, back] of the middle of the outline's extent, in the coordinates of the piece's outline; "
                   "left out, the outline's own coordinates are those of the piece."},
          at);
}

Result<plane::Outline> placed_outline(const PlacedOutlineSpec& s) {
  Result<Plan> plan = plan_of(*s.shape, false);
  if (!plan) return plan.findings();
  plane::Outline outline = std::move(plan->outline);
  if (!s.placed() && std::holds_alternative<RectangleSpec>(*s.shape))
    return Finding{Severity::error, "outline.place", "at", "the rectangle has no place in the piece",
                   "add \"at\": [across, back] of its middle"};
  if (!s.placed()) return outline;
  const plane::Box box = plane::bounds(outline);
  return plane::snapped(plane::moved(outline, Vec2{s.x.value, s.y.value} - 0.5 * (box.low + box.high)));
}

}  // namespace kerfkiln::cushion
