// The one list of sections. The order is the order in menus and in the schema.
#include <array>

#include "modeler/urn/section/section_list.hpp"

namespace kerfkiln::urn {

std::span<const SectionType* const> section_types() {
  static const std::array<const SectionType*, 7> table{
      &superellipse_section(), &rounded_rectangle_section(), &hexagon_section(),      &octagon_section(),
      &decagon_section(),      &dodecagon_section(),         &sixteen_sided_section()};
  return table;
}

const SectionType* find_section(std::string_view id) {
  for (const SectionType* s : section_types())
    if (s->id == id) return s;
  return nullptr;
}

}  // namespace kerfkiln::urn
