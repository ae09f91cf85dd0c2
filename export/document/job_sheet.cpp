#include "export/document/job_sheet.hpp"

#include "export/document/flow.hpp"
#include "export/document/job_sections.hpp"
#include "export/document/title_block.hpp"

namespace kerfkiln::output {

namespace {

constexpr double kLeftMm = 18, kRightMm = 12, kTopMm = 10, kBottomMm = 14;  // room for a binder's holes on the left
constexpr double kPieceHeadMm = 145;  // of name, pictures and main figures: they stay together

product::Table overview(const Job& job) {
  product::Table t;
  t.title = "Pieces of this job";
  t.columns = {"piece", "kind", "make", "full-size parts", "errors", "warnings"};
  t.numeric = {false, false, true, true, true, true};
  for (const product::Product& p : job.products) {
    int errors = 0, warnings = 0;
    for (const Finding& f : p.findings) {
      errors += f.severity == Severity::error;
      warnings += f.severity == Severity::warning;
    }
    t.rows.push_back({p.name, p.kind, std::to_string(p.count), std::to_string(p.parts.size()), std::to_string(errors),
                      std::to_string(warnings)});
  }
  return t;
}

void add_piece(Flow& flow, const product::Product& piece, job::Units units) {
  add_piece_head(flow, piece);
  add_lead(flow, piece, units);
  add_findings(flow, piece.findings);
  add_views(flow, piece, units);
  for (const product::Table& t : piece.tables) flow.table(t);
  add_part_list(flow, piece, units);
  add_cautions(flow, piece);
  add_steps(flow, piece);
  add_quantities(flow, "Quantities", piece.figures, units);
}

}  // namespace

Drawing job_sheet(const Job& job, const DocumentOptions& options) {
  const PageSize size = page_size(options.paper == Paper::letter ? Paper::letter : Paper::a4);
  const double width = size.width_mm - kLeftMm - kRightMm;
  const JobInfo info = job.info;
  Flow flow(size, kLeftMm, kRightMm, kTopMm + title_block_height(info, width) + 5, kBottomMm);
  if (job.products.size() > 1) {
    flow.table(overview(job));
    add_quantities(flow, "The whole job", job.totals, info.units);
  }
  add_findings(flow, job.findings);
  for (std::size_t i = 0; i < job.products.size(); ++i) {
    if (i > 0 || flow.room() < kPieceHeadMm) flow.new_page();
    flow.space(9);
    add_piece(flow, job.products[i], info.units);
  }
  if (job.products.size() == 1) add_quantities(flow, "The whole job", job.totals, info.units);
  flow.new_page();
  for (const product::Product& piece : job.products)
    add_origins(flow, "Where each figure of \"" + piece.name + "\" comes from", piece.figures, info.units);
  add_origins(flow, "Where each figure of the whole job comes from", job.totals, info.units);

  Drawing drawing;
  drawing.title = "Job sheet: " + info.title;
  drawing.keywords = info.order.drawing + " " + info.order.revision + " " + info.hash;
  drawing.date = info.order.date;
  drawing.pages = flow.pages([info, width, size](Canvas& canvas, int page, int count) {
    draw_title_block(canvas, {kLeftMm, kTopMm}, width, info, page, count);
    draw_foot(canvas, {kLeftMm, size.height_mm - 7}, width, info, "Job sheet");
  });
  return drawing;
}

}  // namespace kerfkiln::output
