// What the files of this folder share: the sections, for table.cpp, and sampling by curvature.
#pragma once
#include "modeler/urn/section/section_type.hpp"

namespace kerfkiln::urn {

const SectionType& superellipse_section();
const SectionType& rounded_rectangle_section();

// SectionType::places for any smooth piece: chords from the curvature of `jet`, then measured and refined.
std::vector<double> places_by_curvature(const SectionType&, std::span<const SectionSize>, int piece, double deviation);

}  // namespace kerfkiln::urn
