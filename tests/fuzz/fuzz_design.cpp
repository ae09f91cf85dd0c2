// Any bytes as a design file: findings, a canonical form that is a fixed point, and edits that keep the text JSON.
#include <cstdint>
#include <cstdlib>
#include <string>

#include "modeler/job/design.hpp"
#include "modeler/job/json_tree.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace kerfkiln;
  const job::Document d = job::parse(std::string(reinterpret_cast<const char*>(data), size));
  for (const Finding& f : d.findings)
    if (f.code.empty() || f.message.empty() || f.remedy.empty()) std::abort();
  const std::string once = job::write(d.design);
  if (job::write(job::parse(once).design) != once) std::abort();
  const Result<job::JsonTree> tree = job::read_json(d.text);
  if (!tree) return 0;
  const int node = static_cast<int>(size % tree->nodes.size());
  for (const char* value : {"", "[1, 2]", "{ \"a\": \"9 mm\" } // end"}) {
    const Result<job::Document> e = job::edited(d, tree->path(node), value);
    if (e && !job::read_json(e->text)) std::abort();
  }
  return 0;
}
