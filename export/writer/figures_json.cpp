#include "export/writer/figures_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <numeric>

namespace kerfkiln::output {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json figures(const std::vector<product::Figure>& list) {
  Json out = Json::array();
  for (const product::Figure& f : list) {
    Json one = {{"key", f.key}, {"value", number(f.value)}, {"unit", f.unit}};
    if (f.low) one["low"] = number(*f.low);
    if (f.high) one["high"] = number(*f.high);
    one["from"] = f.from;
    one["how"] = f.how;
    out.push_back(std::move(one));
  }
  return out;
}

void add(Json& to, const Finding& f) {
  static constexpr const char* kWords[] = {"note", "warning", "error"};
  to.push_back({{"severity", kWords[static_cast<int>(f.severity)]},
                {"code", f.code},
                {"path", f.path},
                {"message", f.message},
                {"remedy", f.remedy}});
}

bool concerns(const Finding& f, std::size_t piece) {
  const std::string path = "pieces/" + std::to_string(piece);
  return f.path == path || f.path.starts_with(path + "/");
}

}  // namespace

std::string figures_json(const Job& job, const std::vector<std::size_t>& places) {
  Json root = {{"title", job.info.title}, {"pieces", Json::array()}, {"totals", figures(job.totals)}};
  std::vector<bool> placed(job.findings.size(), false);
  for (std::size_t i = 0; i < job.products.size(); ++i) {
    const product::Product& p = job.products[i];
    Json findings = Json::array();
    for (std::size_t k = 0; k < job.findings.size(); ++k)
      if (concerns(job.findings[k], places[i])) add(findings, job.findings[k]), placed[k] = true;
    for (const Finding& f : p.findings) add(findings, f);
    root["pieces"].push_back({{"name", p.name}, {"kind", p.kind}, {"figures", figures(p.figures)}});
    root["pieces"].back()["findings"] = std::move(findings);
  }
  Json rest = Json::array();
  for (std::size_t k = 0; k < job.findings.size(); ++k)
    if (!placed[k]) add(rest, job.findings[k]);
  if (!rest.empty()) root["findings"] = std::move(rest);
  // Broken UTF-8 in a maker's words must not become an exception.
  return root.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string figures_json(const Job& job) {
  std::vector<std::size_t> all(job.products.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  return figures_json(job, all);
}

}  // namespace kerfkiln::output
