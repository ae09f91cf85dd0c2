#include "export/command/commands.hpp"

#include <csignal>
#include <optional>

#include "export/writer/figures_json.hpp"
#include "modeler/base/units.hpp"
#include "modeler/job/design.hpp"

namespace kerfkiln::output {
namespace {

// The first signal that asked us to stop. A handler can reach nothing but an object like this.
volatile std::sig_atomic_t stop_signal = 0;
extern "C" void remember_signal(int number) { stop_signal = number; }

// While it lives, signals that would end the process are remembered instead, so that the staged files can be removed.
class SignalGuard {
 public:
  SignalGuard() {
    stop_signal = 0;
    struct sigaction action {};
    action.sa_handler = remember_signal;
    action.sa_flags = SA_RESTART;
    for (std::size_t i = 0; i < kCount; ++i) {
      ::sigaction(kSignals[i], nullptr, &before_[i]);
      // A process started with a signal ignored (nohup) keeps ignoring it.
      if (before_[i].sa_handler != SIG_IGN) ::sigaction(kSignals[i], &action, nullptr);
    }
  }
  ~SignalGuard() {
    for (std::size_t i = 0; i < kCount; ++i) ::sigaction(kSignals[i], &before_[i], nullptr);
  }
  int caught() const { return stop_signal; }

 private:
  static constexpr std::size_t kCount = 3;
  static constexpr int kSignals[kCount] = {SIGINT, SIGTERM, SIGHUP};
  struct sigaction before_[kCount];
};

Exit printed(const std::string& text, Exit otherwise = Exit::done) {
  const Findings failed = print(text);
  if (failed.empty()) return otherwise;
  complain(finding_lines(failed));
  return Exit::file;
}

std::optional<Job> load(const std::filesystem::path& design) {
  const Result<job::Document> document = job::read(design);
  if (!document) {
    complain(finding_lines(document.findings()));
    return std::nullopt;
  }
  return evaluate(*document);
}

// What went wrong with a packet, as an exit code: by the family of the first error's code.
Exit exit_of(const Findings& findings) {
  for (const Finding& f : findings) {
    if (f.severity != Severity::error) continue;
    if (f.code == "packet.deviation" || f.code == "packet.piece") return Exit::usage;
    if (f.code.starts_with("file.") || f.code == "packet.foreign" || f.code == "packet.changed" ||
        f.code == "packet.here")
      return Exit::file;
    // The design was sound, yet its solid is not: ours to mend, not the maker's.
    if (f.code.starts_with("solid.")) return Exit::fault;
  }
  return Exit::design;
}

}  // namespace

Exit check(const std::filesystem::path& design) {
  const std::optional<Job> job = load(design);
  if (!job) return Exit::file;
  const Findings findings = all_findings(*job);
  const Exit code = printed(finding_lines(findings), has_errors(findings) ? Exit::design : Exit::done);
  complain(design.string() + ": " + summary(findings) + "\n");
  return code;
}

Exit figures(const std::filesystem::path& design, bool json) {
  const std::optional<Job> job = load(design);
  if (!job) return Exit::file;
  const Findings findings = all_findings(*job);
  complain(finding_lines(findings));
  return printed(json ? figures_json(*job) : figures_text(*job), has_errors(findings) ? Exit::design : Exit::done);
}

Exit packet(const PacketArguments& arguments) {
  PacketOptions options;
  options.piece = arguments.piece;
  options.paper = arguments.paper;
  options.part_pdfs = arguments.part_pdfs;
  const Result<double> deviation = parse_quantity(arguments.deviation, Dimension::length);
  if (!deviation) {
    complain(finding_lines(under("--deviation", deviation.findings())));
    return Exit::usage;
  }
  options.deviation_mm = *deviation;
  if (!arguments.check_square.empty()) {
    const Result<PrintScale> print = parse_print_scale(arguments.check_square);
    if (!print) {
      complain(finding_lines(under("--check-square", print.findings())));
      return Exit::usage;
    }
    options.print = *print;
  }
  const std::optional<Job> job = load(arguments.design);
  if (!job) return Exit::file;
  complain(finding_lines(all_findings(*job)));

  std::optional<Result<PacketReport>> report;
  int signal = 0;
  {
    const SignalGuard guard;
    Progress progress;
    report = write_packet(*job, arguments.out, options, [&](double done, const std::string& what) {
      progress.show(done, what);
      return guard.caught() == 0;
    });
    signal = guard.caught();
  }
  if (signal != 0 && !*report) {
    std::raise(signal);  // its default action is back in place: whoever started us sees why we ended
    return Exit::fault;  // reached only where the signal is blocked
  }
  if (!*report) {
    complain(finding_lines(report->findings()));
    return exit_of(report->findings());
  }
  const PacketReport& written = report->value();
  std::string lines;
  for (const std::string& file : written.files) lines += (written.folder / file).string() + "\n";
  return printed(lines);
}

Exit starter(const std::string& kind) { return printed(job::starter(kind)); }

Exit schema() { return printed(job::schema()); }

}  // namespace kerfkiln::output
