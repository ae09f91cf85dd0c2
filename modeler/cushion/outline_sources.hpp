// Outlines that are taken from somewhere: a measured frame, a drawing file.
#pragma once
#include <memory>
#include <string>
#include <string_view>

#include "modeler/base/parameter.hpp"
#include "modeler/base/quantity.hpp"
#include "modeler/base/result.hpp"
#include "modeler/plane/drawing.hpp"
#include "modeler/plane/outline.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct FrameSpec {
  Length front, back, left, right;
  Length diagonal, other_diagonal;  // front left to back right; front right to back left
  Length corner_radius;
};
struct DxfSpec {
  std::string file;  // relative to the design file's folder
  std::string layer, unit;
  Length gap;
  // The file as read by whoever read the design, who owns files; null: nobody did.
  std::shared_ptr<const Result<plane::Drawing>> drawing;
};

void describe(Visitor&, FrameSpec&);
void describe(Visitor&, DxfSpec&);

struct SourcedOutline {
  plane::Outline outline;
  Findings notes;
  std::vector<product::Table> tables;  // how well the source fits
};
// Paths "outline/frame/...": frame.size (a measure missing or not 0.1 mm ... 10 m), frame.impossible, outline.radius;
// warning frame.residual (the measures disagree by more than 2 mm), note frame.square (a corner more than half a degree
// from square). Table "frame".
Result<SourcedOutline> frame_outline(const FrameSpec&);
// Paths "outline/dxf/...": dxf.file (nobody read it: a design without a folder), those of the reader and of
// plane::outline_of.
Result<SourcedOutline> dxf_outline(const DxfSpec&);

// Millimetres of "mm", "cm", "m", "in", "ft"; 0 for anything else.
double drawing_unit_mm(std::string_view word);

}  // namespace kerfkiln::cushion
