// What a design says that this version does not compute yet: kept, so that saving loses nothing.
#pragma once
#include <functional>
#include <map>
#include <string>

namespace kerfkiln {

// JSON text by the member's path inside the record that keeps it ("creases", "cover/seams").
using Kept = std::map<std::string, std::string, std::less<>>;

}  // namespace kerfkiln
