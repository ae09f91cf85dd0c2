#pragma once
#include <string>

namespace kerfkiln::output {

// The PDF with /ViewerPreferences << /PrintScaling /None >> in its catalogue, so that viewers offer "actual size" first
// (ISO 32000-1, 12.2, table 150). Written as an incremental update (7.5.6): the bytes of the original stay untouched.
// Empty if the file is not laid out as cairo lays one out.
std::string with_print_scaling_none(const std::string& pdf);

}  // namespace kerfkiln::output
