#include "export/document/detail_sheet.hpp"

#include "export/document/flow.hpp"
#include "export/document/job_sections.hpp"
#include "export/document/title_block.hpp"

namespace kerfkiln::output {

namespace {

constexpr double kLeftMm = 18, kRightMm = 12, kTopMm = 10, kBottomMm = 14;  // as the job sheet

bool begins(const std::string& text, const std::string& head) { return text.rfind(head, 0) == 0; }

}  // namespace

const product::DetailSheet* detail_of(const product::Product* piece, const std::string& id) {
  if (piece)
    for (const product::DetailSheet& sheet : piece->sheets)
      if (sheet.id == id) return &sheet;
  return nullptr;
}

Drawing detail_sheet(const Job& job, const product::Product& piece, const product::DetailSheet& sheet,
                     const DocumentOptions& options) {
  const PageSize size = page_size(options.paper == Paper::letter ? Paper::letter : Paper::a4);
  const double width = size.width_mm - kLeftMm - kRightMm;
  const JobInfo info = job.info;
  Flow flow(size, kLeftMm, kRightMm, kTopMm + title_block_height(info, width) + 5, kBottomMm);
  // A product of its own, so that the sections of the job sheet serve here too.
  product::Product part;
  part.name = sheet.title + " of " + piece.name;
  part.kind = piece.kind;
  part.count = piece.count;
  part.views = sheet.views;
  for (const product::FlatPart& p : piece.parts)
    if (begins(p.id, sheet.id + "-")) part.parts.push_back(p);
  Findings findings;
  for (const Finding& f : piece.findings)
    if (begins(f.code, sheet.id + ".")) findings.push_back(f);
  std::vector<product::Figure> figures;
  for (const product::Figure& f : piece.figures)
    if (begins(f.key, sheet.id + ".")) figures.push_back(f);

  flow.space(4);
  add_piece_head(flow, part);
  add_findings(flow, findings);
  add_views(flow, part, info.units);
  for (const product::Table& t : sheet.tables) flow.table(t);
  add_part_list(flow, part, info.units);
  add_quantities(flow, "Quantities of one piece", figures, info.units);

  const std::string foot = sheet.title + " sheet";
  Drawing drawing;
  drawing.title = foot + ": " + info.title;
  drawing.keywords = info.order.drawing + " " + info.order.revision + " " + info.hash;
  drawing.date = info.order.date;
  drawing.pages = flow.pages([info, width, size, foot](Canvas& canvas, int page, int count) {
    draw_title_block(canvas, {kLeftMm, kTopMm}, width, info, page, count);
    draw_foot(canvas, {kLeftMm, size.height_mm - 7}, width, info, foot);
  });
  return drawing;
}

}  // namespace kerfkiln::output
