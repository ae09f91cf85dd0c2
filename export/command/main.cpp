// kerfkiln: arguments to a command, faults to an exit code.
#include <CLI/CLI.hpp>

#include <csignal>
#include <exception>
#include <functional>
#include <map>
#include <new>
#include <sstream>

#include "export/command/commands.hpp"

namespace {

using namespace kerfkiln;
using output::Exit;

constexpr const char* kClosing =
    "Lengths are millimetres unless a unit is given. Exit codes: 0 done, 1 the design has errors, 2 usage,\n"
    "3 a file could not be read or written, 70 a fault of the program. Manual: man kerfkiln";

Exit run(int argc, char** argv) {
  CLI::App app{
      "Shapes laminated-foam cushions and slip-cast urns: one design file in, a packet of solids, full-size "
      "templates and a job sheet out.",
      "kerfkiln"};
  app.set_version_flag("--version", "kerfkiln " KERFKILN_VERSION);
  app.footer(kClosing);
  app.require_subcommand(1);
  std::function<Exit()> chosen;

  std::string file, kind;
  bool json = false;
  output::PacketArguments packet;

  CLI::App* check = app.add_subcommand("check", "Print what there is to say about a design");
  check->add_option("FILE", file, "the design")->required();
  check->callback([&] { chosen = [&] { return output::check(file); }; });

  CLI::App* figures = app.add_subcommand("figures", "Print the figures of a design");
  figures->add_option("FILE", file, "the design")->required();
  figures->add_flag("--json", json, "as JSON, with the origin of each figure");
  figures->callback([&] { chosen = [&] { return output::figures(file, json); }; });

  CLI::App* write = app.add_subcommand("packet", "Write solids, templates and the job sheet into a folder");
  write->add_option("FILE", file, "the design")->required();
  write->add_option("--out", packet.out, "the folder: new, empty, or an unchanged packet, which is replaced")
      ->required();
  write->add_option("--piece", packet.piece, "only the piece of this name");
  write->add_option("--deviation", packet.deviation, "chord deviation of the solids, 0.005 mm to 2 mm")
      ->default_str("0.05 mm");
  const std::map<std::string, output::Paper> papers = {
      {"A4", output::Paper::a4}, {"Letter", output::Paper::letter}, {"sheet", output::Paper::sheet}};
  write->add_option("--paper", packet.paper, "paper of the full-size PDF templates: A4, Letter, or one sheet each")
      ->transform(CLI::CheckedTransformer(papers, CLI::ignore_case).description(""))
      ->type_name("A4|Letter|sheet")
      ->default_str("A4");
  write
      ->add_option("--check-square", packet.check_square,
                   "what the 100 mm check square measured on your printer, short side of the paper first: the "
                   "full-size PDFs make up for it")
      ->type_name("LENGTH[xLENGTH]");
  write->add_flag("--part-pdfs", packet.part_pdfs, "each full-size part in a PDF of its own too");
  write->callback([&] {
    packet.design = file;
    chosen = [&] { return output::packet(packet); };
  });

  CLI::App* starter = app.add_subcommand("starter", "Print a commented design to begin with");
  starter->add_option("KIND", kind, "cushion or urn")
      ->required()
      ->check(CLI::IsMember({"cushion", "urn"}).description(""))
      ->type_name("cushion|urn");
  starter->callback([&] { chosen = [&] { return output::starter(kind); }; });

  CLI::App* schema = app.add_subcommand("schema", "Print the JSON Schema of designs");
  schema->callback([&] { chosen = [] { return output::schema(); }; });

  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    std::ostringstream out, err;
    const bool asked_for = app.exit(e, out, err) == 0;  // help and version
    output::complain(err.str());
    if (!asked_for) return Exit::usage;
    const Findings failed = output::print(out.str());
    output::complain(output::finding_lines(failed));
    return failed.empty() ? Exit::done : Exit::file;
  }
  return chosen();
}

int fault(const std::string& what) {
  output::complain("kerfkiln: a fault of the program: " + what + ". Nothing was left half written.\n");
  return static_cast<int>(Exit::fault);
}

}  // namespace

int main(int argc, char** argv) {
  // A closed pipe and a size limit are then errors of write(), which we report, instead of a silent end.
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
  try {
    return static_cast<int>(run(argc, argv));
  } catch (const std::bad_alloc&) {
    return fault("memory ran out");
  } catch (const std::exception& e) {
    return fault(e.what());
  } catch (...) {
    return fault("of an unknown kind");
  }
}
