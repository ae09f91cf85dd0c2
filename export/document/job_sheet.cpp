#include "export/document/job_sheet.hpp"

#include "export/document/flow.hpp"
#include "export/document/job_sections.hpp"
#include "export/document/title_block.hpp"

namespace kerfkiln::output {

namespace {

constexpr double kLeftMm = 18, kRightMm = 12, kTopMm = 10, kBottomMm = 14;  // room for a binder's holes on the left
constexpr double kOriginsLeastMm = 80;  // less of a page is not worth beginning the list of origins on
constexpr double kPieceHeadMm = 145;    // of name, pictures and main figures: they stay together

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

// `totals` follow the figures of a piece that is the whole job.
void add_piece(Flow& flow, const product::Product& piece, const std::vector<product::Figure>& totals, job::Units units,
               bool alone) {
  add_piece_head(flow, piece);
  add_lead(flow, piece, units);
  add_findings(flow, piece.findings);
  // Where no view fits what is left of the page, tables that do go first.
  std::size_t t = 0;
  while (t < piece.tables.size() && flow.room() < least_views_height(piece, flow.width(), units) &&
         flow.table_height(piece.tables[t]) <= flow.room())
    flow.table(piece.tables[t++]);
  add_views(flow, piece, units);
  for (; t < piece.tables.size(); ++t) flow.table(piece.tables[t]);
  add_part_list(flow, piece, units);
  if (alone) add_cautions(flow, {piece});
  add_steps(flow, piece);
  std::vector<product::Figure> figures = piece.figures;
  figures.insert(figures.end(), totals.begin(), totals.end());
  add_quantities(flow, totals.empty() ? "Quantities of one piece" : "Quantities", figures, units);
}

// What the pieces need together, on pages of its own.
void add_set(Flow& flow, const job::Set& set, job::Units units) {
  if (set.tables.empty()) return;
  flow.new_page();
  for (const product::Table& t : set.tables) flow.table(t);
  product::Product layouts;
  layouts.views = set.views;
  add_views(flow, layouts, units, "Cutting layouts");
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
  if (job.products.size() > 1) add_cautions(flow, job.products);
  for (std::size_t i = 0; i < job.products.size(); ++i) {
    if (i > 0 || flow.room() < kPieceHeadMm) flow.new_page();
    flow.space(9);
    const bool alone = job.products.size() == 1;
    add_piece(flow, job.products[i], alone ? job.totals : std::vector<product::Figure>{}, info.units, alone);
  }
  add_set(flow, job.set, info.units);
  if (flow.room() < kOriginsLeastMm) flow.new_page();
  if (job.products.size() == 1) {
    std::vector<product::Figure> all = job.products[0].figures;
    all.insert(all.end(), job.totals.begin(), job.totals.end());
    add_origins(flow, "Where each figure comes from", all, info.units);
  } else {
    for (const product::Product& piece : job.products)
      add_origins(flow, "Where each figure of \"" + piece.name + "\" comes from", piece.figures, info.units);
    add_origins(flow, "Where each figure of the whole job comes from", job.totals, info.units);
  }

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
