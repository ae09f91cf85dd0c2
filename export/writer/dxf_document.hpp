// The group codes of a DXF file and the parts that every drawing has alike: header, tables, blocks, objects.
#pragma once
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::output {

struct DxfLayer {
  std::string_view name;
  int colour;  // colour index as the format numbers it, 1 ... 255
  std::string_view linetype;
};

// Appends pairs of group code and value; hands out handles.
class DxfWriter {
 public:
  void text(int code, std::string_view value);
  void number(int code, double value);
  void integer(int code, int value);
  void handle(int code, unsigned value);
  void point(int code, Vec2);            // code and code + 10
  void point(int code, Vec2, double z);  // and code + 20
  void start_section(std::string_view name);
  void end_section() { text(0, "ENDSEC"); }
  // An entity of model space: type, fresh handle, owner, layer, subclass markers.
  void start_entity(std::string_view type, std::string_view layer, std::string_view subclass);
  const std::string& bytes() const { return out_; }
  unsigned next_handle() const { return next_; }

 private:
  std::string out_;
  unsigned next_ = 0x100;  // below lie the fixed handles of tables and objects
};

// A whole file around the entities written by another writer.
std::string dxf_document(const DxfWriter& entities, plane::Box extents, const std::vector<DxfLayer>&);

}  // namespace kerfkiln::output
