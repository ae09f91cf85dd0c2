// Any bytes as a drawing: findings with code and remedy, or outlines that pass their own check on every layer.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "modeler/plane/drawing.hpp"
#include "modeler/plane/region.hpp"

namespace {

void check(const kerfkiln::Findings& findings) {
  for (const kerfkiln::Finding& f : findings)
    if (f.code.empty() || f.message.empty() || f.remedy.empty()) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace kerfkiln;
  const Result<plane::Drawing> drawing =
      plane::read_drawing(std::string_view(reinterpret_cast<const char*>(data), size));
  check(drawing.findings());
  if (!drawing) return 0;
  for (const plane::DrawingLayer& layer : drawing->layers())
    for (const double gap_mm : {0.0, 5.0}) {
      const Result<plane::DrawnOutline> outline = plane::outline_of(*drawing, {layer.name, 1, gap_mm});
      check(outline.findings());
      if (!outline) continue;
      check(outline->notes);
      if (!plane::check_outline(outline->outline).empty() || !(plane::area(outline->outline) > 0)) std::abort();
    }
  return 0;
}
