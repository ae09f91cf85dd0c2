#include "modeler/job/design.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <exception>
#include <fstream>
#include <set>
#include <thread>

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
#include "modeler/product/lengths.hpp"
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

// Names out of one map of "materials", found by its key in the parameter table; out of all of them for no key.
class Names final : public Visitor {
 public:
  explicit Names(std::string_view map) : map_(map) {}
  std::vector<std::string> names;
  void map(const FieldInfo& info, Map& items) override {
    if (map_.empty() || info.key == map_)
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

std::vector<std::string> names_with_lengths(const Design& d) {
  Names all("");
  material::Library library = d.own;
  material::describe(all, library);
  for (const Piece& piece : d.pieces) all.names.push_back(name_of(piece));
  std::erase_if(all.names, [](const std::string& name) { return product::told_in(name, Units::inch) == name; });
  std::sort(all.names.begin(), all.names.end(), [](const std::string& a, const std::string& b) {
    return a.size() != b.size() ? a.size() > b.size() : a < b;
  });
  return std::move(all.names);
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

product::Product computed(const Piece& piece, const material::Library& materials) {
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

// work(0) ... work(count - 1), each once, on as many threads as there are cores and work. Whoever throws first is heard
// when all have ended.
template <class F>
void on_all_cores(std::size_t count, F work) {
  std::atomic<std::size_t> next = 0;
  std::atomic_flag failed;
  std::exception_ptr fault;
  const auto run = [&] {
    for (std::size_t i; !failed.test() && (i = next++) < count;) try {
        work(i);
      } catch (...) {
        if (!failed.test_and_set()) fault = std::current_exception();
      }
  };
  {
    std::vector<std::jthread> others;
    const std::size_t cores = std::max(1u, std::thread::hardware_concurrency());
    for (std::size_t i = 1; i < std::min(count, cores); ++i) others.emplace_back(run);
    run();
  }
  if (fault) std::rethrow_exception(fault);
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
  const std::size_t n = d.pieces.size();
  std::vector<Memo::Made> kept(n);
  std::vector<std::size_t> fresh;
  for (std::size_t i = 0; i < n; ++i) {
    kept[i].content = content_of(d, d.pieces[i]);
    const auto known =
        std::find_if(memo.made.begin(), memo.made.end(), [&](const auto& m) { return m.content == kept[i].content; });
    if (known != memo.made.end())
      kept[i].product = known->product;
    else
      fresh.push_back(i);
  }
  const std::vector<std::string> names = names_with_lengths(d);
  on_all_cores(fresh.size(), [&](std::size_t k) {
    product::Product& p = kept[fresh[k]].product;
    p = computed(d.pieces[fresh[k]], d.materials);
    product::tell_in(p, d.units, names);
  });
  std::vector<product::Product> products;
  for (std::size_t i = 0; i < n; ++i) {
    products.push_back(kept[i].product);
    products.back().findings = under("pieces/" + std::to_string(i), std::move(products.back().findings));
  }
  memo.made = std::move(kept);
  return products;
}

std::vector<product::Product> evaluate(const Design& d) {
  Memo none;
  return evaluate(d, none);
}

std::vector<product::Figure> totals(const Design& d, const std::vector<product::Product>& products, const Set& set) {
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
  out.insert(out.end(), set.figures.begin(), set.figures.end());
  return out;
}

std::vector<product::Figure> totals(const Design& d, const std::vector<product::Product>& products) {
  return totals(d, products, set_of(d, products));
}

}  // namespace kerfkiln::job
