// The design file in memory: typed values for the kernel, the maker's own text for saving.
#pragma once
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "modeler/base/kept.hpp"
#include "modeler/base/result.hpp"
#include "modeler/base/units.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"
#include "modeler/urn/spec.hpp"

namespace kerfkiln::job {

using kerfkiln::Units;
inline constexpr int kFileVersion = 1;  // the value of "kerfkiln"

struct Order {
  std::string customer, drawing, revision = "A", date, drawn, approved;
};

using Piece = std::variant<cushion::Spec, urn::Spec>;
struct Design {
  int version = kFileVersion;
  std::string title;
  Units units = Units::mm;
  Order order;
  material::Library own;        // materials as the file defines them: what is written
  material::Library materials;  // own, completed by the built-in ones: what is computed with
  std::vector<Piece> pieces;
  Kept kept;                     // records
  std::string schema_reference;  // "$schema", for editors
};

// A file that the design names, byte for byte.
struct NamedFile {
  std::string name;  // as the design writes it: a path below its folder
  std::shared_ptr<const std::string> bytes;
};

// A design and the exact text it was read from. Editing splices the text, so comments, order and spelling of all that
// was not touched stay as the maker wrote them.
struct Document {
  std::string text;
  Design design;
  std::filesystem::path folder;  // where the files it names lie; empty: nowhere
  std::vector<NamedFile> files;  // those that could be read, by name
  Findings findings;  // of reading: warnings and notes, errors too (the design then holds what could be read)
};

// Never fails outright: syntax errors and wrong values are findings of the document, in the order of the parameter
// tables, at most 200. A value that cannot be used is left unknown and keeps its text. Codes:
//   file.size  json.syntax  json.nesting  key.unknown  key.duplicate  key.not_computed (note)  value.missing
//   value.type  value.range  value.integer  value.choice  value.form  value.not_computed  list.count  text.form
//   name.duplicate  name.unknown  version.unsupported  quantity.* (base/units.hpp)
Document parse(std::string text);
// As parse, in the folder of `previous`; files that it has read are not read again.
Document reparsed(const Document& previous, std::string text);
// Fails only when the file cannot be read (code "file.unreadable"); otherwise as parse, with the files that the design
// names (attachments.hpp).
Result<Document> read(const std::filesystem::path&);
// The document with the value at `path` ("pieces/0/wall") replaced by, or created as, the JSON text `value`; missing
// records on the way are created, an index one past the end appends, an empty value removes. Fails with
// "edit.value" (not one JSON value) or "edit.path" (no such place); wrong values are findings of the new document.
Result<Document> edited(const Document&, const std::string& path, const std::string& value);
// The document with an offer of piece `piece` taken over: lengths as numbers in the file's unit, to a thousandth of a
// millimetre. Fails as edited() does.
Result<Document> taken(const Document&, std::size_t piece, const product::Offer&);
// The design written anew, canonical order, quantities as written. write(parse(x)) is a fixed point.
std::string write(const Design&);
// 16 hexadecimal digits of the canonical content (comments and white space do not count) and of the drawings it is made
// from; printed on every part.
std::string hash(const Design&);
std::string schema();                          // JSON Schema 2020-12
std::string starter(const std::string& kind);  // commented design, "cushion" or "urn"; empty for another kind

// The names a text field may refer to: those of the design's own map ("foams", ...), then the built-in ones.
std::vector<std::string> material_names(const Design&, std::string_view map);

// Names of pieces and of materials of the design that hold a length themselves, such as "ply 9 mm", longest first: they
// stay as they are where texts are told in inches (product/lengths.hpp).
std::vector<std::string> names_with_lengths(const Design&);

// All pieces, in order, findings with full paths ("pieces/0/..."), texts in the design's units.
// A piece with a required value unknown or out of its range is not built: its product has the finding
// "piece.incomplete" (the reasons are findings of the document).
std::vector<product::Product> evaluate(const Design&);
// What was made last, by the content each piece was made from: a change of one piece leaves the others as they are.
// One caller's own, no two threads at a time.
struct Memo {
  struct Made {
    std::string content;
    product::Product product;  // paths below the piece
  };
  std::vector<Made> made;
};
// The same products; pieces that `memo` holds are taken from there. Afterwards it holds those of this design.
std::vector<product::Product> evaluate(const Design&, Memo& memo);
// Figures over the whole design, counts included: total.pieces, total.mass (where every piece has one), and those of
// set.hpp.
std::vector<product::Figure> totals(const Design&, const std::vector<product::Product>&);

}  // namespace kerfkiln::job
