// A document of its own for what belongs together on a piece, such as all about a lid.
#pragma once
#include <string>

#include "export/document/document_type.hpp"

namespace kerfkiln::output {

const product::DetailSheet* detail_of(const product::Product*, const std::string& id);  // null: there is none
// Views, tables, findings and full-size parts whose path or id begins with the sheet's id.
Drawing detail_sheet(const Job&, const product::Product&, const product::DetailSheet&, const DocumentOptions&);

}  // namespace kerfkiln::output
