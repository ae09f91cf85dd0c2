// The edges of the cuts in a flat pattern: notches, wedges, slits and what fills them.
#pragma once
#include <vector>

#include "modeler/cushion/wrap_pattern.hpp"

namespace kerfkiln::cushion {

inline constexpr double kSamePatternMm = 1e-7;  // nearer than this two points of a pattern are one

double chain_length(const std::vector<Vec2>&);

// Nearer to each other than a blade is thick the two edges of a cut are one: it begins where they have parted, with
// the first of them on the right as the cut is seen from its apex.
// Precondition: both begin at the apex.
void part(std::vector<Vec2>& first, std::vector<Vec2>& second);

// Without the points that a line may leave out, within 0.004 mm (Douglas and Peucker).
std::vector<Vec2> drawn(const std::vector<Vec2>& chain);

// What fills a slit along `line` that opens by `first` and `second` on its two sides, at its points: its edges are as
// long as the slit's, step by step.
PatternInsert insert_of(const std::vector<Vec2>& line, const std::vector<double>& first,
                        const std::vector<double>& second);

}  // namespace kerfkiln::cushion
