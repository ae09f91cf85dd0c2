// "Did you mean": the known word that differs least from a typed one.
#pragma once
#include <span>
#include <string>
#include <string_view>

namespace kerfkiln {

// Insertions, deletions, substitutions and swaps of neighbours (optimal string alignment distance), case ignored.
std::size_t edit_distance(std::string_view, std::string_view);
// The nearest of `known`, the first of equals; empty if none is within a third of the typed length (at least 2).
std::string nearest_key(std::string_view typed, std::span<const std::string_view> known);

}  // namespace kerfkiln
