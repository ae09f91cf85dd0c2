#include "modeler/job/attachments.hpp"

#include <algorithm>
#include <array>
#include <fstream>
#include <map>

namespace kerfkiln::job {
namespace {

namespace fs = std::filesystem;
struct Held {
  std::shared_ptr<const Result<plane::Drawing>> drawing;
  std::shared_ptr<const std::string> bytes;  // none where the file could not be read
};

// Visits the drawings that pieces name.
template <class D, class F>
void each_drawing(D& design, F visit) {
  for (auto& piece : design.pieces)
    if (auto* c = std::get_if<cushion::Spec>(&piece))
      if (auto* dxf = std::get_if<cushion::DxfSpec>(&c->outline)) visit(*dxf);
}

Finding unreadable(const std::string& name, const std::string& why) {
  return {Severity::error, "file.unreadable", "", "the drawing \"" + name + "\" " + why,
          "Check its name, its place beside the design file and its permissions."};
}

// A name that leads out of the folder, or to a device, is refused before anything is opened.
bool stays_inside(const fs::path& name) {
  if (name.empty() || name.is_absolute() || name.has_root_path()) return false;
  return std::none_of(name.begin(), name.end(), [](const fs::path& part) { return part == ".."; });
}

Result<std::string> load(const fs::path& folder, const std::string& name) {
  const fs::path relative = fs::path(name);
  if (!stays_inside(relative))
    return Finding{Severity::error, "file.path", "", "\"" + name + "\" does not lie in the design file's folder",
                   "Put the drawing beside the design file, or in a folder below it, and name it from there."};
  std::error_code failed;
  const fs::path path = folder / relative;
  const fs::file_status status = fs::status(path, failed);
  if (failed || !fs::exists(status)) return unreadable(name, "is not there");
  if (!fs::is_regular_file(status)) return unreadable(name, "is no file");
  std::ifstream in(path, std::ios::binary);
  if (!in) return unreadable(name, "cannot be opened");
  std::string bytes;
  std::array<char, 65536> part{};
  while (bytes.size() <= plane::kLargestDrawing && in.read(part.data(), part.size()).gcount() > 0)
    bytes.append(part.data(), static_cast<std::size_t>(in.gcount()));
  if (in.bad()) return unreadable(name, "could not be read to the end");
  return bytes;
}

Held held_of(Result<std::string> bytes) {
  if (!bytes) return {std::make_shared<const Result<plane::Drawing>>(bytes.findings()), nullptr};
  auto kept = std::make_shared<const std::string>(std::move(bytes).value());
  return {std::make_shared<const Result<plane::Drawing>>(plane::read_drawing(*kept)), kept};
}

}  // namespace

void attach_files(Document& document, const Document* known) {
  std::map<std::string, Held> held, used;
  if (known && known->folder == document.folder) {
    each_drawing(known->design, [&held](const cushion::DxfSpec& d) {
      if (d.drawing) held.emplace(d.file, Held{d.drawing, nullptr});
    });
    for (const NamedFile& f : known->files) held[f.name].bytes = f.bytes;
  }
  each_drawing(document.design, [&](cushion::DxfSpec& d) {
    if (document.folder.empty() || d.file.empty()) return;
    Held& file = held[d.file];
    if (!file.drawing) file = held_of(load(document.folder, d.file));
    d.drawing = file.drawing;
    if (file.bytes) used[d.file] = file;
  });
  document.files.clear();
  for (const auto& [name, file] : used) document.files.push_back({name, file.bytes});
}

}  // namespace kerfkiln::job
