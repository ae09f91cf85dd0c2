#include "export/document/document_type.hpp"

#include "export/document/detail_sheet.hpp"
#include "export/document/job_sheet.hpp"
#include "export/document/part_sheet.hpp"

namespace kerfkiln::output {

namespace {

bool has_pieces(const Job& job, const product::Product*) { return !job.products.empty(); }
Drawing compose_job_sheet(const Job& job, const product::Product*, const DocumentOptions& options) {
  return job_sheet(job, options);
}

bool has_parts(const Job&, const product::Product* piece) { return piece && !piece->parts.empty(); }
// All parts of the piece in one file, for one trip to the printer.
Drawing compose_templates(const Job& job, const product::Product* piece, const DocumentOptions& options) {
  Drawing all;
  all.title = job.info.title + ": full-size parts of " + piece->name;
  all.keywords = job.info.order.drawing + " " + job.info.order.revision + " " + job.info.hash;
  all.date = job.info.order.date;
  for (const product::FlatPart& part : piece->parts) {
    Drawing one = part_sheet(job.info, *piece, part, options.paper, options.print);
    for (Page& page : one.pages) all.pages.push_back(std::move(page));
  }
  return all;
}

bool has_lid(const Job&, const product::Product* piece) { return detail_of(piece, "lid") != nullptr; }
Drawing compose_lid_sheet(const Job& job, const product::Product* piece, const DocumentOptions& options) {
  return detail_sheet(job, *piece, *detail_of(piece, "lid"), options);
}

}  // namespace

const std::vector<DocumentType>& document_types() {
  static const std::vector<DocumentType> table = {
      {"job-sheet", "Job sheet", Scope::job, has_pieces, compose_job_sheet},
      {"lid-sheet", "Lid sheet", Scope::piece, has_lid, compose_lid_sheet},
      {"templates", "Full-size parts", Scope::piece, has_parts, compose_templates},
  };
  return table;
}

const DocumentType* document_type(const std::string& id) {
  for (const DocumentType& type : document_types())
    if (type.id == id) return &type;
  return nullptr;
}

}  // namespace kerfkiln::output
