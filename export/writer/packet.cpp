#include "export/writer/packet.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <set>
#include <thread>
#include <utility>

#include "export/document/document_type.hpp"
#include "export/document/part_sheet.hpp"
#include "export/document/part_title.hpp"
#include "export/drawing/picture.hpp"
#include "export/writer/dxf.hpp"
#include "export/writer/figures_json.hpp"
#include "export/writer/manifest.hpp"
#include "export/writer/safe_file.hpp"
#include "export/writer/stl.hpp"
#include "modeler/base/nearest_key.hpp"
#include "modeler/base/number_text.hpp"

namespace kerfkiln::output {
namespace fs = std::filesystem;
namespace {

Finding error(std::string code, std::string message, std::string remedy) {
  return {Severity::error, std::move(code), "", std::move(message), std::move(remedy)};
}

// Hands out names that are distinct within one folder, on disks that ignore the case of letters too.
class Names {
 public:
  explicit Names(std::initializer_list<std::string_view> taken = {}) {
    for (std::string_view t : taken) taken_.insert(std::string(t));
  }
  std::string take(std::string_view wanted, std::string_view fallback) {
    const std::string base = safe_name(wanted, fallback);
    std::string name = base;
    for (int n = 2; !taken_.insert(lower(name)).second; ++n) name = base + "-" + std::to_string(n);
    return name;
  }
  void reserve(const std::string& name) { taken_.insert(lower(name)); }
  bool has(const std::string& name) const { return taken_.contains(lower(name)); }

 private:
  static std::string lower(std::string s) {
    for (char& c : s)
      if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return s;
  }
  std::set<std::string> taken_;
};

// One file to be made. `make` writes it at the path given; tasks share nothing, so their order does not show.
struct Task {
  std::string file;  // relative
  std::string what;  // for progress
  std::function<Findings(const fs::path&)> make;
};

Findings write_text(const fs::path& path, const Result<std::string>& bytes) {
  return bytes ? write_whole(path, *bytes, Sync::later) : bytes.findings();
}

Findings write_shape(const product::Shape& shape, const std::string& name, double deviation_mm, const fs::path& path) {
  Result<solid::Mesh> mesh = shape.mesh(deviation_mm);
  if (!mesh) return mesh.findings();
  solid::CheckOptions checks;
  checks.components = shape.components;
  const Result<solid::Solid> solid = solid::Solid::checked(std::move(mesh).value(), checks);
  if (!solid) {
    Findings out = solid.findings();
    for (Finding& f : out) f.message = name + ": " + f.message;
    return out;
  }
  return write_stl(*solid, name, path, Sync::later);
}

// The words of the part's sheets, below a DXF drawing, which has no sheet around it.
std::vector<std::string> notes(const JobInfo& info, const product::Product& piece, const product::FlatPart& part) {
  const PartTitle title = part_title(info, piece, part);
  const auto joined = [](const std::vector<std::string>& words) {
    std::string line;
    for (const std::string& w : words) line += (line.empty() ? "" : " | ") + w;
    return line;
  };
  // Plain bars: not every reader decodes escaped characters, and these lines should be read in all of them.
  std::string name = title.name;
  for (std::size_t at; (at = name.find("\u00b7")) != std::string::npos;) name.replace(at, 2, "|");
  return {name, joined(title.make), joined(title.state), "UNITS MM | full size | check the bar before cutting"};
}

// shared: solids and pictures, for whichever thread is free; sheets: for the caller's thread alone.
struct Tasks {
  std::vector<Task> shared, sheets;
};

void add_documents(Tasks& tasks, Names& names, const Job& job, const product::Product* piece, const std::string& folder,
                   const DocumentOptions& options) {
  const Scope scope = piece ? Scope::piece : Scope::job;
  for (const DocumentType& type : document_types()) {
    if (type.scope != scope || !type.applies(job, piece)) continue;
    tasks.sheets.push_back({folder + names.take(type.id, "document") + ".pdf", type.title,
                            [&job, piece, options, compose = type.compose](const fs::path& path) {
                              return write_text(path, pdf_bytes(compose(job, piece, options)));
                            }});
  }
}

void add_pictures(Tasks& tasks, Names& names, const product::Product& piece, const std::string& folder) {
  for (const auto& [mode, stem] :
       {std::pair{PictureMode::solid, "picture"}, {PictureMode::exploded, "picture-apart"}}) {
    if (!has_picture(piece, mode)) continue;
    tasks.shared.push_back({folder + names.take(stem, "picture") + ".png", piece.name + ": picture",
                            [&piece, mode = mode](const fs::path& path) -> Findings {
                              PictureOptions options;
                              options.wide = 560;
                              options.high = 440;
                              options.mode = mode;
                              const Result<Picture> shown = picture(piece, options);
                              return shown ? write_text(path, png_bytes(*shown)) : shown.findings();
                            }});
  }
}

void add_piece(Tasks& tasks, const Job& job, const product::Product& piece, const std::string& folder,
               const PacketOptions& options) {
  Names names{"solids", "parts"};
  add_documents(tasks, names, job, &piece, folder, {options.paper, options.print});
  add_pictures(tasks, names, piece, folder);
  Names solids, parts;
  for (const product::Shape& shape : piece.shapes) {
    const std::string title = piece.name + " " + shape.id;
    tasks.shared.push_back({folder + "solids/" + solids.take(shape.id, "solid") + ".stl",
                            piece.name + ": " + shape.label,
                            [&shape, title, deviation = options.deviation_mm](const fs::path& path) {
                              return write_shape(shape, title, deviation, path);
                            }});
  }
  for (const product::FlatPart& part : piece.parts) {
    const std::string stem = folder + "parts/" + parts.take(part.id, "part");
    const std::string what = piece.name + ": " + part.label;
    tasks.sheets.push_back({stem + ".dxf", what, [&](const fs::path& path) {
                              return write_text(path, dxf_bytes(part.sketch, notes(job.info, piece, part)));
                            }});
    tasks.sheets.push_back({stem + ".svg", what, [&](const fs::path& path) {
                              const Drawing one = part_sheet(job.info, piece, part, Paper::sheet);
                              return write_text(path, svg_bytes(one.pages.at(0)));
                            }});
    if (options.part_pdfs)
      tasks.sheets.push_back({stem + ".pdf", what, [&](const fs::path& path) {
                                return write_text(
                                    path, pdf_bytes(part_sheet(job.info, piece, part, options.paper, options.print)));
                              }});
  }
}

// The files that the design names. A piece's folder gives way to theirs; what stands at the top of every packet cannot.
Findings add_named_files(Tasks& tasks, Names& names, const Job& job) {
  for (const DocumentType& type : document_types())
    if (type.scope == Scope::job) names.reserve(type.id + ".pdf");
  Findings wrong;
  std::set<fs::path> seen;  // "a.dxf" and "./a.dxf" are one file
  for (const job::NamedFile& f : job.files) {
    const fs::path path = fs::path(f.name).lexically_normal();
    if (!seen.insert(path).second) continue;
    if (names.has(path.begin()->string()))
      wrong.push_back(error("packet.drawing",
                            "The design names a file \"" + f.name + "\", where the packet has its own",
                            "Give the drawing another name, or put it into a folder beside the design."));
    tasks.sheets.push_back({path.generic_string(), "drawing " + f.name,
                            [bytes = f.bytes](const fs::path& at) { return write_whole(at, *bytes, Sync::later); }});
  }
  for (const fs::path& path : seen) names.reserve(path.begin()->string());
  return wrong;
}

// Runs the tasks: shared ones on two threads, drawings on the caller's only (fonts and their caches are per thread).
// Entries and findings come back in the order of the tasks, whoever was first.
class Runner {
 public:
  Runner(Tasks tasks, fs::path folder, const std::function<bool(double, const std::string&)>& progress)
      : tasks_(std::move(tasks)), folder_(std::move(folder)), progress_(progress) {
    shared_results_.resize(tasks_.shared.size());
    sheet_results_.resize(tasks_.sheets.size());
  }

  Result<std::vector<ManifestFile>> run() {
    std::exception_ptr fault;
    {
      std::jthread second;
      if (tasks_.shared.size() > 1 || !tasks_.sheets.empty())
        second = std::jthread([this, &fault] {
          try {
            while (next_shared([](const Task&) { return true; })) {
            }
          } catch (...) {
            fault = std::current_exception();
            stop_ = true;
          }
        });
      try {
        for (std::size_t i = 0; i < tasks_.sheets.size() && ask(tasks_.sheets[i]); ++i)
          carry_out(tasks_.sheets[i], sheet_results_[i]);
        while (next_shared([this](const Task& t) { return ask(t); })) {
        }
      } catch (...) {
        stop_ = true;  // the second thread ends after its present solid; the exception goes on when it has been joined
        throw;
      }
    }
    if (fault) std::rethrow_exception(fault);
    if (cancelled_) return error("packet.cancelled", "Writing was cancelled", "Nothing was left behind; start again.");
    std::vector<ManifestFile> entries;
    Findings findings;
    for (std::vector<Outcome>* results : {&shared_results_, &sheet_results_})
      for (Outcome& o : *results) {
        append(findings, std::move(o.findings));
        entries.push_back(std::move(o.entry));
      }
    if (!findings.empty()) return findings;
    return entries;
  }

 private:
  struct Outcome {
    ManifestFile entry;
    Findings findings;
  };

  template <class Permit>
  bool next_shared(Permit permit) {
    if (stop_) return false;
    const std::size_t i = next_++;
    if (i >= tasks_.shared.size() || !permit(tasks_.shared[i])) return false;
    carry_out(tasks_.shared[i], shared_results_[i]);
    return true;
  }
  bool ask(const Task& task) {
    if (stop_) return false;
    const auto total = static_cast<double>(tasks_.shared.size() + tasks_.sheets.size());
    if (progress_ && !progress_(done_ / total, task.what)) cancelled_ = stop_ = true;
    return !stop_;
  }
  void carry_out(const Task& task, Outcome& out) {
    out.findings = task.make(folder_ / task.file);
    if (out.findings.empty()) {
      Result<ManifestFile> entry = manifest_entry(folder_, task.file);
      if (entry)
        out.entry = std::move(entry).value();
      else
        out.findings = entry.findings();
    }
    if (!out.findings.empty()) stop_ = true;
    ++done_;
  }

  Tasks tasks_;
  fs::path folder_;
  const std::function<bool(double, const std::string&)>& progress_;
  std::vector<Outcome> shared_results_, sheet_results_;
  std::atomic<std::size_t> next_ = 0;
  std::atomic<int> done_ = 0;
  std::atomic<bool> stop_ = false, cancelled_ = false;
};

Findings check_options(const Job& job, const PacketOptions& options) {
  Findings out;
  if (!(options.deviation_mm >= kFinestDeviationMm && options.deviation_mm <= kCoarsestDeviationMm))
    out.push_back(error("packet.deviation",
                        "The deviation " + shortest_number(options.deviation_mm) + " mm is outside " +
                            shortest_number(kFinestDeviationMm) + " mm to " + shortest_number(kCoarsestDeviationMm) +
                            " mm",
                        "0.05 mm suits printing and milling; a coarser one makes smaller files."));
  if (!options.piece.empty()) {
    std::vector<std::string_view> known;
    for (const product::Product& p : job.products) known.push_back(p.name);
    if (std::find(known.begin(), known.end(), options.piece) == known.end()) {
      const std::string nearest = nearest_key(options.piece, known);
      std::string all;
      for (std::string_view name : known) all += (all.empty() ? "\"" : ", \"") + std::string(name) + "\"";
      out.push_back(error("packet.piece", "There is no piece \"" + options.piece + "\"",
                          nearest.empty() ? "The pieces are " + (all.empty() ? "none" : all) + "."
                                          : "Did you mean \"" + nearest + "\"? The pieces are " + all + "."));
    }
  }
  return out;
}

// The job with the wanted pieces only, and the places they have in the design: paths of findings count by those.
struct Selection {
  Job job;
  std::vector<std::size_t> places;
};
Selection select(const Job& job, const std::string& piece) {
  Selection s;
  s.job.info = job.info;
  s.job.text = job.text;
  s.job.files = job.files;
  s.job.findings = job.findings;
  if (piece.empty()) {
    s.job.totals = job.totals;
    s.job.set = job.set;
  }
  for (std::size_t i = 0; i < job.products.size(); ++i) {
    if (piece.empty() || job.products[i].name == piece) {
      s.job.products.push_back(job.products[i]);
      s.places.push_back(i);
    } else {
      const std::string path = "pieces/" + std::to_string(i);
      std::erase_if(s.job.findings, [&](const Finding& f) { return f.path == path || f.path.starts_with(path + "/"); });
    }
  }
  return s;
}

Findings check_errors(const Job& job) {
  Findings all = job.findings;
  for (const product::Product& p : job.products) append(all, p.findings);
  std::erase_if(all, [](const Finding& f) { return f.severity != Severity::error; });
  if (all.empty()) {
    if (job.products.empty())
      return {error("packet.empty", "The design holds no piece", "Add a piece: a cushion or an urn.")};
    return {};
  }
  const std::string count = all.size() == 1 ? "an error" : std::to_string(all.size()) + " errors";
  const std::string place = all[0].path.empty() ? "" : all[0].path + ": ";
  return {error("packet.errors", "The design has " + count + ", the first: " + place + all[0].message,
                "Mend what the findings name; a packet is written from a sound design only.")};
}

Findings make_folders(const fs::path& root, const Tasks& tasks) {
  for (const std::vector<Task>* list : {&tasks.shared, &tasks.sheets})
    for (const Task& t : *list) {
      std::error_code failed;
      fs::create_directories((root / t.file).parent_path(), failed);
      if (failed) return {unwritable(root / t.file, failed.value())};
    }
  return {};
}

}  // namespace

Result<PacketReport> write_packet(const Job& whole, const fs::path& out, const PacketOptions& options,
                                  const std::function<bool(double, const std::string&)>& progress) {
  if (Findings wrong = check_options(whole, options); !wrong.empty()) return wrong;
  const Selection selection = select(whole, options.piece);
  const Job& job = selection.job;
  if (Findings wrong = check_errors(job); !wrong.empty()) return wrong;

  Result<StagedFolder> staged = StagedFolder::create(out);
  if (!staged) return staged.findings();
  // Asked before the work as well as at the swap: nobody wants to wait for a refusal.
  std::error_code ignored;
  if (fs::exists(staged->target(), ignored))
    if (Findings refused = replaceable(staged->target()); !refused.empty()) return refused;

  Tasks tasks;
  Names names{"design.json", "figures.json", kManifestName};
  if (Findings failed = add_named_files(tasks, names, job); !failed.empty()) return failed;
  add_documents(tasks, names, job, nullptr, "", {options.paper, options.print});
  for (const product::Product& p : job.products)
    add_piece(tasks, job, p, names.take(p.name, p.kind.empty() ? "piece" : p.kind) + "/", options);
  tasks.sheets.push_back(
      {"design.json", "design", [&](const fs::path& path) { return write_whole(path, job.text, Sync::later); }});
  tasks.sheets.push_back({"figures.json", "figures", [&](const fs::path& path) {
                            return write_whole(path, figures_json(job, selection.places), Sync::later);
                          }});
  if (Findings failed = make_folders(staged->folder(), tasks); !failed.empty()) return failed;

  Runner runner(std::move(tasks), staged->folder(), progress);
  Result<std::vector<ManifestFile>> entries = runner.run();
  if (!entries) return entries.findings();
  PacketReport report;
  report.folder = staged->target();
  for (const ManifestFile& f : *entries) report.files.push_back(f.path);
  report.files.emplace_back(kManifestName);
  std::sort(report.files.begin(), report.files.end());
  const Manifest manifest{job.info.program, job.info.title, job.info.hash, std::move(entries).value()};
  if (Findings failed = write_whole(staged->folder() / kManifestName, manifest_text(manifest), Sync::later);
      !failed.empty())
    return failed;
  if (progress && !progress(1, "onto the disk"))
    return error("packet.cancelled", "Writing was cancelled", "Nothing was left behind; start again.");
  if (Findings failed = staged->swap_in(replaceable); !failed.empty()) return failed;
  return report;
}

}  // namespace kerfkiln::output
