// The figures of a job for other programs.
#pragma once
#include <string>
#include <vector>

#include "export/document/job_info.hpp"

namespace kerfkiln::output {

// {"title", "pieces": [{"name", "kind", "figures": [{"key", "value", "unit", "low"?, "high"?, "from", "how"}],
// "findings": [{"severity", "code", "path", "message", "remedy"}]}], "totals": [figures]}, indented, ending in a line
// feed. Numbers are the shortest text that reads back to the same double; a figure that is not finite is null.
// Findings of reading stand with the piece their path names; those of the file as a whole follow in "findings", which
// is absent where there are none. `places` says which piece of the design each product is, where some were left out.
std::string figures_json(const Job&, const std::vector<std::size_t>& places);
std::string figures_json(const Job&);

}  // namespace kerfkiln::output
