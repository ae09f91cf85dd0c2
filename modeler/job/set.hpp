// What the pieces of a job need together: totals by foam, the set's table, and how its blanks are cut from sheets.
#pragma once
#include <vector>

#include "modeler/job/design.hpp"

namespace kerfkiln::job {

struct Set {
  std::vector<product::Figure> figures;  // foam.<name>.volume, .mass, .blanks, .sheets, .cost; total.glue, total.cost
  std::vector<product::Table> tables;    // the set, foam by grade; none for jobs without foam
  std::vector<product::View> views;      // a cutting layout for each foam and thickness
  Findings findings;                     // notes: set.pair (hands that do not make pairs), set.sheet (not laid out)
};
// products as evaluate() gives them. Counts included.
Set set_of(const Design&, const std::vector<product::Product>&);
// As totals() of design.hpp, where the set is known.
std::vector<product::Figure> totals(const Design&, const std::vector<product::Product>&, const Set&);

}  // namespace kerfkiln::job
