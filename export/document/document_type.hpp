// The documents the program can compose: one table, so that a new document touches one place.
#pragma once
#include <string>
#include <vector>

#include "export/document/job_info.hpp"
#include "export/document/print_scale.hpp"
#include "export/drawing/canvas.hpp"

namespace kerfkiln::output {

struct DocumentOptions {
  Paper paper = Paper::a4;  // `sheet` concerns full-size parts; documents to be read come on A4 then
  PrintScale print = {};    // concerns full-size parts only
};

// One document of the whole job, or one of each piece.
enum class Scope { job, piece };
struct DocumentType {
  std::string id;     // file name stem, stable: "job-sheet", "templates"
  std::string title;  // "Job sheet"
  Scope scope = Scope::job;
  // `piece` is null for Scope::job. compose may be called only if applies says so; the drawing owns all it shows.
  bool (*applies)(const Job&, const product::Product* piece) = nullptr;
  Drawing (*compose)(const Job&, const product::Product* piece, const DocumentOptions&) = nullptr;
};
const std::vector<DocumentType>& document_types();
const DocumentType* document_type(const std::string& id);

}  // namespace kerfkiln::output
