// The first pass over a drawing file: is it sound, and what of it is worth reading?
#pragma once
#include <map>
#include <string>
#include <string_view>

#include "modeler/base/result.hpp"

namespace kerfkiln::plane {

// The same drawing with nothing left but header unit, layers, blocks and the entities that can bound an outline: every
// number checked, every count rewritten to what follows, texts at most 255 bytes. The reading library believes whatever
// it is given; this is what it is given.
struct DrawingGroups {
  std::string text;
  std::map<std::string, int> left_out;  // entity types of the model space that were dropped, with their count
};
// Findings as read_drawing: drawing.size, drawing.binary, drawing.syntax, drawing.cut_off.
Result<DrawingGroups> drawing_groups(std::string_view bytes);

}  // namespace kerfkiln::plane
