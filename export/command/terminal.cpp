#include "export/command/terminal.hpp"

#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <string_view>

#include "export/document/sentence.hpp"
#include "export/writer/safe_file.hpp"
#include "modeler/base/number_text.hpp"

namespace kerfkiln::output {
namespace {

std::string clean(std::string_view s) {
  std::string out;
  for (std::size_t i = 0; i < s.size(); ++i) {
    const auto c = static_cast<unsigned char>(s[i]);
    const bool c1 = c == 0xC2 && i + 1 < s.size() && static_cast<unsigned char>(s[i + 1]) < 0xA0;
    out += c < 0x20 || c == 0x7F || c1 ? ' ' : s[i];
    if (c1) ++i;
  }
  return out;
}

// With a full stop; a remedy follows one, so it begins with a capital.
std::string clean_sentence(std::string_view words, bool capital = false) { return sentence(clean(words), capital); }

std::size_t characters(std::string_view utf8) {
  return static_cast<std::size_t>(
      std::count_if(utf8.begin(), utf8.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}
std::string padded(const std::string& s, std::size_t width, bool to_the_right = false) {
  const std::string blanks(width > characters(s) ? width - characters(s) : 0, ' ');
  return to_the_right ? blanks + s : s + blanks;
}

// Six significant digits, no exponent, no trailing zeros: what a bench can read off.
std::string shown(double value) {
  if (!std::isfinite(value)) return "-";
  const int decimals = value == 0 ? 0 : std::clamp(5 - static_cast<int>(std::floor(std::log10(std::abs(value)))), 0, 9);
  std::string s = format_number(value, decimals);
  if (s.find('.') != std::string::npos) {
    while (s.ends_with('0')) s.pop_back();
    if (s.ends_with('.')) s.pop_back();
  }
  return s;
}

std::string table(const std::vector<product::Figure>& figures) {
  struct Row {
    std::string key, value, unit, band, label;
  };
  std::vector<Row> rows;
  std::size_t key = 0, value = 0, unit = 0, band = 0;
  for (const product::Figure& f : figures) {
    Row r{clean(f.key), shown(f.value), clean(f.unit), "", clean(f.label)};
    // A band narrower than the digits shown says nothing to the bench.
    if (f.low && f.high && shown(*f.low) != shown(*f.high)) r.band = shown(*f.low) + " to " + shown(*f.high);
    key = std::max(key, characters(r.key)), value = std::max(value, characters(r.value));
    unit = std::max(unit, characters(r.unit)), band = std::max(band, characters(r.band));
    rows.push_back(std::move(r));
  }
  std::string out;
  for (const Row& r : rows) {
    std::string line = "  " + padded(r.key, key) + "  " + padded(r.value, value, true) + " " + padded(r.unit, unit);
    if (band > 0) line += "  " + padded(r.band, band);
    line += "  " + r.label;
    while (line.ends_with(' ')) line.pop_back();
    out += line + "\n";
  }
  return out;
}

}  // namespace

std::string finding_line(const Finding& f) {
  static constexpr const char* kWords[] = {"note", "warning", "error"};
  std::string line = kWords[static_cast<int>(f.severity)];
  line += ": ";
  if (!f.path.empty()) line += clean(f.path) + ": ";
  line += clean_sentence(f.message);
  if (!f.remedy.empty()) line += " " + clean_sentence(f.remedy, true);
  return line + " [" + clean(f.code) + "]\n";
}

std::string finding_lines(const Findings& findings) {
  std::string out;
  for (const Finding& f : findings) out += finding_line(f);
  return out;
}

std::string summary(const Findings& findings) {
  std::string out;
  const auto count = [&](Severity s, const char* word) {
    const auto n = std::count_if(findings.begin(), findings.end(), [s](const Finding& f) { return f.severity == s; });
    if (n > 0) out += (out.empty() ? "" : ", ") + std::to_string(n) + " " + word + (n == 1 ? "" : "s");
  };
  count(Severity::error, "error"), count(Severity::warning, "warning"), count(Severity::note, "note");
  return out.empty() ? "no findings" : out;
}

Findings all_findings(const Job& job) {
  Findings all = job.findings;
  // The reader has told of names that no material has, and of kinds that no piece has; the piece that misses the
  // material, or whose members nobody can know, need not repeat it.
  const auto told = [&job](const Finding& f) {
    return std::any_of(job.findings.begin(), job.findings.end(), [&f](const Finding& r) {
      return (f.code == "material.unknown" && r.code == "name.unknown" && r.path == f.path) ||
             (f.code == "piece.incomplete" && r.severity == Severity::error && r.path == f.path + "/kind");
    });
  };
  for (const product::Product& p : job.products)
    for (const Finding& f : p.findings)
      if (!told(f)) all.push_back(f);
  return all;
}

std::string figures_text(const Job& job) {
  std::string out = clean(job.info.title) + "\n";
  for (const product::Product& p : job.products)
    out += "\n" + clean(p.name) + " (" + clean(p.kind) + ")\n" + table(p.figures);
  if (!job.totals.empty()) out += "\nTotals\n" + table(job.totals);
  return out;
}

Findings print(const std::string& text) {
  std::string_view rest = text;
  while (!rest.empty()) {
    const ssize_t n = ::write(STDOUT_FILENO, rest.data(), rest.size());
    if (n > 0)
      rest.remove_prefix(static_cast<std::size_t>(n));
    else if (n == 0 || errno != EINTR)
      return {unwritable("standard output", n == 0 ? ENOSPC : errno)};
  }
  return {};
}

void complain(const std::string& text) {
  std::string_view rest = text;
  while (!rest.empty()) {
    const ssize_t n = ::write(STDERR_FILENO, rest.data(), rest.size());
    if (n > 0)
      rest.remove_prefix(static_cast<std::size_t>(n));
    else if (n == 0 || errno != EINTR)
      return;
  }
}

Progress::Progress() : terminal_(::isatty(STDERR_FILENO) == 1) {}
Progress::~Progress() {
  if (shown_) complain("\r\x1b[K");
}
void Progress::show(double done, const std::string& what) {
  if (!terminal_) return;
  shown_ = true;
  complain("\r" + padded(std::to_string(static_cast<int>(100 * done)), 3, true) + " %  " + clean(what) + "\x1b[K");
}

}  // namespace kerfkiln::output
