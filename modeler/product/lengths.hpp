// Lengths in the words of a product. Families write every text in millimetres; whoever shows it in inches changes the
// words here, at the edge, and no family knows of it. What is a length in a text is told by the text itself:
//   "12.5 mm", "(40, 25) mm", "10 to 15 mm"    numbers that the word "mm" follows
//   bare_length("12.5")                        a number whose unit is not written: marked, unseen
//   a column headed "width mm", a row that begins with "height mm": cells that are numbers, or "56 to 92"
// "mm2", "kPa/mm" and the like are not lengths and stay.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "modeler/base/units.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::product {

// A number of millimetres in a text that names no unit: "run 18.9". The mark never leaves tell_in.
std::string bare_length(std::string_view number);
std::size_t shown_size(std::string_view text);  // bytes without marks

// The text as it is to be read: marks taken off, lengths in inches where asked for. Names that hold a length of their
// own ("ply 9 mm") are the maker's and stay as they are.
std::string told_in(std::string_view text, Units, const std::vector<std::string>& names = {});
// Inches say no less than the millimetres did: fractions where a multiple of 1/32 in is meant, or where the length is
// half an inch or more and given to a tenth of a millimetre at best, as a tape reads; else decimals to a thousandth.
std::string inches(std::string_view millimetres);

// All texts of a product but ids, keys, paths and names. Figures keep value and unit.
void tell_in(Product&, Units, const std::vector<std::string>& names = {});
void tell_in(Table&, Units, const std::vector<std::string>& names = {});
void tell_in(View&, Units, const std::vector<std::string>& names = {});
void tell_in(Findings&, Units, const std::vector<std::string>& names = {});
void tell_in(std::vector<Figure>&, Units, const std::vector<std::string>& names = {});

}  // namespace kerfkiln::product
