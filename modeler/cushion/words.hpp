// The words and numbers of cushion findings, tables and labels. Lengths here are always printed in millimetres.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "modeler/base/finding.hpp"

namespace kerfkiln::cushion {

// At most `decimals` decimals, no trailing zeros: "25", "9.4".
std::string number_text(double value, int decimals = 2);
std::string mm_text(double mm);  // "25 mm", "9.4 mm"

Finding error(std::string code, std::string path, std::string message, std::string remedy);
Finding warning(std::string code, std::string path, std::string message, std::string remedy);
Finding note(std::string code, std::string path, std::string message, std::string remedy);

// "front, right and back"
std::string listed(const std::vector<std::string>& words);
// "use one of firm, soft" or "did you mean \"firm\"?", for a name that is not among `known`.
std::string offer(std::string_view typed, const std::vector<std::string>& known);

}  // namespace kerfkiln::cushion
