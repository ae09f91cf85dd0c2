// Binary STL, the format every slicer reads: 80 bytes of header, a count, then 50 bytes a triangle (unit normal, three
// vertices counter-clockwise seen from outside, all little-endian IEEE floats; two attribute bytes, zero).
#pragma once
#include <filesystem>
#include <string>

#include "export/writer/safe_file.hpp"
#include "modeler/solid/solid.hpp"

namespace kerfkiln::output {

// The header reads "kerfkiln VERSION unit mm NAME" in ASCII (other characters as '?'), padded with blanks; it never
// begins with "solid", which readers take for the text format. Coordinates are the solid's, in mm, rounded to float as
// Solid::checked has verified them; normals follow from the rounded corners and are unit vectors within 1e-5. Same
// solid, same bytes. Only a checked solid has a way in.
void pack_stl(const solid::Solid&, const std::string& name, WholeFile& into);
Findings write_stl(const solid::Solid&, const std::string& name, const std::filesystem::path&, Sync = Sync::durable);

}  // namespace kerfkiln::output
