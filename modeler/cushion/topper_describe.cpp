#include <array>

#include "modeler/cushion/topper_spec.hpp"

namespace kerfkiln::cushion {
namespace {

class DownToForms final : public Alternatives {
 public:
  explicit DownToForms(DownToSpec& d) : d_(d) {}
  std::size_t count() const override { return kForms.size(); }
  Alternative at(std::size_t i) const override { return kForms[i]; }
  std::size_t chosen() const override {
    std::size_t i = 0;
    while (i < count() && kForms[i].id != d_.where) ++i;
    return i;
  }
  void choose(std::size_t i) override { d_ = {std::string(kForms[i].id), {}}; }
  void fields(Visitor& v) override {
    if (d_.where == "depth") depth(v, d_.depth);
  }
  void prototype(Visitor& v, std::size_t i) override {
    Length fresh;
    if (i == kDepth) depth(v, fresh);
  }

 private:
  static constexpr std::size_t kDepth = 2;
  static constexpr auto kForms = std::to_array<Alternative>(
      {{.id = "bottom", .label = "Bottom", .help = "To where the bottom edge begins.", .word = true},
       {.id = "edge", .label = "Edge", .help = "To the end of the top edge's curve.", .word = true},
       {.id = "depth", .label = "Depth", .help = "To this depth below the core's top."}});
  static void depth(Visitor& v, Length& l) {
    quantity(v,
             {.key = "depth",
              .label = "Depth",
              .help = "Below the core's top, at the side.",
              .range = {0.1, 10000},
              .typical = {30, 100},
              .required = true},
             l);
  }
  DownToSpec& d_;
};

}  // namespace

void describe(Visitor& v, const FieldInfo& info, DownToSpec& d) {
  DownToForms forms(d);
  v.alternatives(info, forms);
}

}  // namespace kerfkiln::cushion
