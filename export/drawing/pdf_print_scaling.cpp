#include "export/drawing/pdf_print_scaling.hpp"

#include <algorithm>
#include <optional>

namespace kerfkiln::output {

namespace {

// The text after `key` up to `end`, looked for from `from`.
std::optional<std::string> between(const std::string& pdf, const std::string& key, const std::string& end,
                                   std::size_t from) {
  const std::size_t start = pdf.find(key, from);
  if (start == std::string::npos) return std::nullopt;
  const std::size_t stop = pdf.find(end, start + key.size());
  if (stop == std::string::npos) return std::nullopt;
  return pdf.substr(start + key.size(), stop - start - key.size());
}

std::string trimmed(std::string s) {
  s.erase(0, s.find_first_not_of(" \r\n"));
  s.erase(s.find_last_not_of(" \r\n") + 1);
  return s;
}

bool is_number(const std::string& s) {
  return !s.empty() && std::all_of(s.begin(), s.end(), [](char c) { return c >= '0' && c <= '9'; });
}

}  // namespace

std::string with_print_scaling_none(const std::string& pdf) {
  const std::size_t trailer = pdf.rfind("trailer");
  if (trailer == std::string::npos) return {};
  const auto root = between(pdf, "/Root ", " 0 R", trailer), info = between(pdf, "/Info ", " 0 R", trailer);
  const auto size = between(pdf, "/Size ", "\n", trailer), previous = between(pdf, "startxref", "%%EOF", trailer);
  if (!root || !info || !size || !previous) return {};
  const std::string number = trimmed(*root), count = trimmed(*size), table = trimmed(*previous);
  if (!is_number(number) || !is_number(count) || !is_number(table) || !is_number(trimmed(*info))) return {};
  const auto catalogue = between(pdf, "\n" + number + " 0 obj", "endobj", 0);
  if (!catalogue) return {};
  const std::size_t close = catalogue->rfind(">>");
  if (close == std::string::npos || catalogue->find("/Catalog") == std::string::npos) return {};

  std::string out = pdf;
  if (out.back() != '\n') out += '\n';
  std::string offset = std::to_string(out.size());
  offset.insert(0, 10 - std::min<std::size_t>(10, offset.size()), '0');
  out +=
      number + " 0 obj" + catalogue->substr(0, close) + "   /ViewerPreferences << /PrintScaling /None >>\n>>\nendobj\n";
  const std::size_t xref = out.size();
  out += "xref\n" + number + " 1\n" + offset + " 00000 n \ntrailer\n<< /Size " + count + "\n   /Root " + number +
         " 0 R\n   /Info " + trimmed(*info) + " 0 R\n   /Prev " + table + "\n>>\nstartxref\n" + std::to_string(xref) +
         "\n%%EOF\n";
  return out;
}

}  // namespace kerfkiln::output
