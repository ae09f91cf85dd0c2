// What the files of this folder share: the sections, for table.cpp, and sampling by curvature.
#pragma once
#include "modeler/urn/section/section_type.hpp"

namespace kerfkiln::urn {

const SectionType& superellipse_section();
const SectionType& rounded_rectangle_section();
const SectionType& hexagon_section();
const SectionType& octagon_section();
const SectionType& decagon_section();
const SectionType& dodecagon_section();
const SectionType& sixteen_sided_section();

// SectionType::places for any smooth piece: chords from the curvature of `jet`, then measured and refined.
std::vector<double> places_by_curvature(const SectionType&, std::span<const SectionSize>, int piece, double deviation);
// The same for an arc of radius `shape` through `sweep`, and for a flat (`part` of -1 ... 1) that may be bowed.
std::vector<double> arc_places(std::span<const SectionSize>, double sweep, double deviation);
std::vector<double> flat_places(std::span<const SectionSize>, double part, double deviation);
// The perimeter of any section by quadrature.
double perimeter_by_rule(const SectionType&, const SectionSize&);

}  // namespace kerfkiln::urn
