#include "modeler/job/design.hpp"

#include <algorithm>
#include <array>
#include <fstream>
#include <set>

#include "modeler/base/number_text.hpp"
#include "modeler/cushion/build.hpp"
#include "modeler/job/attachments.hpp"
#include "modeler/job/complete.hpp"
#include "modeler/job/describe.hpp"
#include "modeler/job/json_tree.hpp"
#include "modeler/job/reader.hpp"
#include "modeler/job/set.hpp"
#include "modeler/job/writer.hpp"
#include "modeler/material/describe.hpp"
#include "modeler/urn/build.hpp"

namespace kerfkiln::job {
namespace {

const std::string& name_of(const Piece& piece) {
  return std::visit([](const auto& spec) -> const std::string& { return spec.name; }, piece);
}
int count_of(const Piece& piece) {
  return std::visit([](const auto& spec) { return spec.count; }, piece);
}

void check_whole(const Design& d, Findings& findings) {
  if (d.version != kFileVersion)
    findings.push_back(
        {Severity::error, "version.unsupported", "kerfkiln",
         "the file has version " + std::to_string(d.version) + "; this program reads version " +
             std::to_string(kFileVersion),
         "Open it with the program that wrote it, or write version " + std::to_string(kFileVersion) + "."});
  std::set<std::string_view> names;
  for (std::size_t i = 0; i < d.pieces.size() && findings.size() < Reader::kMostFindings; ++i)
    if (const std::string& name = name_of(d.pieces[i]); !name.empty() && !names.insert(name).second)
      findings.push_back({Severity::error, "name.duplicate", "pieces/" + std::to_string(i) + "/name",
                          "two pieces have the name \"" + name + "\"",
                          "Give each piece its own name; use \"count\" for copies."});
}

// Names out of one map of "materials", found by its key in the parameter table.
class Names final : public Visitor {
 public:
  explicit Names(std::string_view map) : map_(map) {}
  std::vector<std::string> names;
  void map(const FieldInfo& info, Map& items) override {
    if (info.key == map_)
      for (std::size_t i = 0; i < items.size(); ++i) names.emplace_back(items.name(i));
  }
  void quantity(const FieldInfo&, Dimension, Quantity&) override {}
  void integer(const FieldInfo&, int&) override {}
  void flag(const FieldInfo&, bool&) override {}
  void text(const FieldInfo&, std::string&) override {}
  void tuple(const FieldInfo&, std::span<const TupleItem>) override {}
  void record(const FieldInfo&, const Fields&) override {}
  void list(const FieldInfo&, List&) override {}
  void alternatives(const FieldInfo&, Alternatives&) override {}
  void kept(const FieldInfo&, KeptSlot) override {}

 private:
  std::string_view map_;
};

JsonValue as_json(Design d, Writer::Style style) {
  Writer writer(d.units, style);
  describe(writer, d);
  return writer.take();
}

product::Product build(const Piece& piece, const material::Library& materials) {
  if (const auto* c = std::get_if<cushion::Spec>(&piece)) return cushion::build(*c, materials);
  return urn::build(std::get<urn::Spec>(piece), materials);
}

}  // namespace

std::vector<std::string> material_names(const Design& d, std::string_view map) {
  Names own(map), usual(map);
  material::Library library = d.own;
  material::describe(own, library);
  library = material::built_in();
  material::describe(usual, library);
  for (std::string& name : usual.names)
    if (std::find(own.names.begin(), own.names.end(), name) == own.names.end()) own.names.push_back(std::move(name));
  return own.names;
}

Document parse(std::string text) {
  Document document;
  document.text = std::move(text);
  if (const Result<JsonTree> tree = read_json(document.text)) {
    Reader reader(*tree, document.design, document.findings);
    reader.read_root([&document](Visitor& v) { describe(v, document.design); });
    check_whole(document.design, document.findings);
  } else {
    document.findings = tree.findings();
  }
  document.design.materials = material::completed(document.design.own);
  return document;
}

Result<Document> read(const std::filesystem::path& path) {
  const auto failed = [&path](std::string why) {
    return Finding{Severity::error, "file.unreadable", "", path.string() + ": " + why,
                   "Check the name, the folder and the permissions."};
  };
  std::error_code error;
  const auto status = std::filesystem::status(path, error);
  if (!std::filesystem::exists(status)) return failed("there is no such file");
  if (std::filesystem::is_directory(status)) return failed("this is a folder");
  std::ifstream in(path, std::ios::binary);
  if (!in) return failed("it cannot be opened");
  // One byte more than is read, so that a device without an end is refused like any file that is too large.
  std::string text;
  std::array<char, 65536> part{};
  while (text.size() <= kLargestFile && in.read(part.data(), part.size()).gcount() > 0)
    text.append(part.data(), static_cast<std::size_t>(in.gcount()));
  if (in.bad()) return failed("it could not be read to the end");
  Document document = parse(std::move(text));
  document.folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
  attach_files(document);
  return document;
}

Document reparsed(const Document& previous, std::string text) {
  Document document = parse(std::move(text));
  document.folder = previous.folder;
  attach_files(document, &previous);
  return document;
}

std::string write(const Design& d) { return pretty(as_json(d, Writer::Style::plain)) + "\n"; }

std::string hash(const Design& d) {
  Design content = d;
  content.schema_reference.clear();  // where the schema lies is no part of the job
  static constexpr char kHex[] = "0123456789abcdef";
  std::string text = compact(as_json(std::move(content), Writer::Style::plain));
  for (const Piece& piece : d.pieces) {
    const auto* c = std::get_if<cushion::Spec>(&piece);
    const auto* dxf = c ? std::get_if<cushion::DxfSpec>(&c->outline) : nullptr;
    if (dxf && dxf->drawing && *dxf->drawing) text += std::to_string((*dxf->drawing)->digest());
  }
  std::uint64_t h = fnv1a(text);
  std::string out(16, '0');
  for (auto digit = out.rbegin(); digit != out.rend(); ++digit, h >>= 4) *digit = kHex[h & 15];
  return out;
}

namespace {

product::Product made(const Piece& piece, const material::Library& materials) {
  if (const Findings missing = incomplete(piece); !missing.empty()) {
    product::Product p;
    p.name = name_of(piece);
    p.kind = std::holds_alternative<cushion::Spec>(piece) ? "cushion" : "urn";
    p.count = count_of(piece);
    p.findings = missing;
    return p;
  }
  return build(piece, materials);
}

// Everything that a piece is made from: itself, the materials, the unit of bare numbers, its drawing.
std::string content_of(const Design& d, const Piece& piece) {
  Design alone;
  alone.units = d.units;
  alone.own = d.own;
  alone.pieces = {piece};
  return hash(alone);
}

}  // namespace

std::vector<product::Product> evaluate(const Design& d, Memo& memo) {
  std::vector<Memo::Made> kept;
  std::vector<product::Product> products;
  for (std::size_t i = 0; i < d.pieces.size(); ++i) {
    std::string content = content_of(d, d.pieces[i]);
    const auto known = std::find_if(memo.made.begin(), memo.made.end(),
                                    [&content](const Memo::Made& m) { return m.content == content; });
    product::Product p = known != memo.made.end() ? known->product : made(d.pieces[i], d.materials);
    kept.push_back({std::move(content), p});
    p.findings = under("pieces/" + std::to_string(i), std::move(p.findings));
    products.push_back(std::move(p));
  }
  memo.made = std::move(kept);
  return products;
}

std::vector<product::Product> evaluate(const Design& d) {
  std::vector<product::Product> products;
  for (std::size_t i = 0; i < d.pieces.size(); ++i) {
    products.push_back(made(d.pieces[i], d.materials));
    products.back().findings = under("pieces/" + std::to_string(i), std::move(products.back().findings));
  }
  return products;
}

std::vector<product::Figure> totals(const Design& d, const std::vector<product::Product>& products) {
  product::Figure pieces, mass;
  pieces.key = "total.pieces";
  pieces.label = "Pieces in all";
  pieces.how = "sum of the counts";
  mass.key = "total.mass";
  mass.label = "Mass of all pieces";
  mass.unit = "kg";
  mass.how = "sum of count times mass of each piece";
  bool all = !products.empty();
  for (std::size_t i = 0; i < products.size(); ++i) {
    const std::string path = "pieces/" + std::to_string(i);
    const int count = i < d.pieces.size() ? count_of(d.pieces[i]) : products[i].count;
    pieces.value += count;
    pieces.from.push_back(path + "/count");
    const product::Figure* own = nullptr;
    for (const char* key : {"total.mass", "fired.mass", "core.mass"})
      if (own == nullptr) own = products[i].figure(key);
    all = all && own != nullptr;
    if (own == nullptr) continue;
    mass.value += count * own->value;
    mass.from.push_back(path + "/count");
    mass.from.push_back(path + "/" + own->key);
  }
  std::vector<product::Figure> out{pieces};
  if (all) out.push_back(mass);
  for (product::Figure& f : set_of(d, products).figures) out.push_back(std::move(f));
  return out;
}

}  // namespace kerfkiln::job
