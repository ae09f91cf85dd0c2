// The job sheet: all that the bench reads, in the order in which it is needed.
#pragma once
#include "export/document/document_type.hpp"

namespace kerfkiln::output {

// Title block on every page; for each piece its picture, main sizes, views, tables, steps, cautions (of several pieces
// once, at the front) and findings; then the totals and, for each piece, every figure with its origin. Paper::sheet
// comes on A4.
Drawing job_sheet(const Job&, const DocumentOptions&);

}  // namespace kerfkiln::output
