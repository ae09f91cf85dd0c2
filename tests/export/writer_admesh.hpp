// admesh's verdict on an STL file.
#pragma once
#include <regex>

#include "tests/export/writer_support.hpp"

namespace kerfkiln::test {

struct Admesh {
  std::size_t facets = 0;
  int parts = 0;
  double volume = 0;
  std::vector<std::string> faults;  // counts that should be zero and are not
  std::string text;
  bool clean() const { return facets > 0 && faults.empty(); }
};

inline Admesh admesh(const fs::path& path) {
  Admesh a;
  const Ran r = run({"admesh", path.string()});
  a.text = r.out + r.err;
  const auto number = [&](const char* label) {
    std::smatch m;
    if (std::regex_search(a.text, m, std::regex(std::string(label) + R"(\s*:\s*([-+0-9.eE]+))")))
      return std::stod(m[1]);
    a.faults.push_back(std::string("no line ") + label);
    return -1.0;
  };
  a.facets = static_cast<std::size_t>(number("Number of facets"));
  a.parts = static_cast<int>(number("Number of parts"));
  a.volume = number("Volume");
  for (const char* fault : {"Total disconnected facets", "Degenerate facets", "Edges fixed", "Facets removed",
                            "Facets added", "Facets reversed", "Backwards edges", "Normals fixed"})
    if (number(fault) != 0) a.faults.emplace_back(fault);
  return a;
}

}  // namespace kerfkiln::test
