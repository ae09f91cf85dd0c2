// The commands, each from its arguments to an exit code.
#pragma once
#include <filesystem>
#include <string>

#include "export/command/terminal.hpp"
#include "export/writer/packet.hpp"

namespace kerfkiln::output {

// Findings only, on standard output: they are the result.
Exit check(const std::filesystem::path& design);
// Figures on standard output, also where the design has errors; findings on standard error.
Exit figures(const std::filesystem::path& design, bool json);
struct PacketArguments {
  std::filesystem::path design, out;
  std::string piece;
  std::string deviation = "0.05 mm";
  std::string check_square;  // what it measured; empty: as it should
  Paper paper = Paper::a4;
  bool part_pdfs = false;
};
// The files written, one a line, on standard output. An interrupt, hang-up or termination signal cancels cleanly, and
// then ends the process as that signal does.
Exit packet(const PacketArguments&);
Exit starter(const std::string& kind);
Exit schema();

}  // namespace kerfkiln::output
