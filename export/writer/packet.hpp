// The packet: everything the bench gets, written whole or not at all.
#pragma once
#include <filesystem>
#include <functional>

#include "export/document/job_info.hpp"
#include "export/document/print_scale.hpp"
#include "export/drawing/canvas.hpp"

namespace kerfkiln::output {

inline constexpr double kFinestDeviationMm = 0.005, kCoarsestDeviationMm = 2;

struct PacketOptions {
  double deviation_mm = 0.05;  // chord deviation of the solids
  Paper paper = Paper::a4;
  PrintScale print = {};   // of the printer that the full-size PDFs are for
  bool part_pdfs = false;  // each full-size part in a PDF of its own too, not only in the piece's templates.pdf
  std::string piece;       // empty: all; else only pieces of that name, and no totals
};
struct PacketReport {
  std::filesystem::path folder;
  std::vector<std::string> files;  // relative, sorted
};

// Writes into `out`:
//   job-sheet.pdf and the other documents of the table; <piece>/<document>.pdf for those of one piece
//   <piece>/solids/<shape>.stl   every shape, checked (solid.hpp) at the deviation
//   <piece>/parts/<part>.dxf, .svg (one sheet), both 1:1; .pdf where part_pdfs asks for it
//   design.json (the text as read) and the files it names, where it names them, so that it opens there as it did here
//   figures.json, packet.json (paths, sizes and SHA-256 of all the others)
// Names are made safe (safe_file.hpp) and distinct, also where a disk does not tell capitals. Same job and options,
// same bytes.
//
// progress(done 0 ... 1, what) is called from the calling thread between files and returns false to cancel ("packet.
// cancelled"). Whatever fails, nothing is left behind and an older packet stays as it was. Findings: "packet.errors" (a
// piece to be written has errors), "packet.empty", "packet.deviation", "packet.piece" (with the nearest name),
// "packet.drawing" (a file that the design names would stand where one of the packet's own does),
// "packet.foreign" and "packet.changed" (the folder holds files that are not ours, or that were edited), "packet.here",
// "file.unwritable", and those of a solid that did not pass its checks ("solid. ...").
Result<PacketReport> write_packet(const Job&, const std::filesystem::path& out, const PacketOptions&,
                                  const std::function<bool(double, const std::string&)>& progress = {});

}  // namespace kerfkiln::output
