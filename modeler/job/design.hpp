// The design file in memory: typed values for the kernel, the maker's own text for saving.
#pragma once
#include <filesystem>
#include <string>
#include <variant>
#include <vector>

#include "modeler/base/result.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"
#include "modeler/urn/spec.hpp"

namespace kerfkiln::job {

enum class Units { mm, inch };

struct Order { std::string customer, drawing, revision = "A", date, drawn, approved; };

using Piece = std::variant<cushion::Spec, urn::Spec>;
struct Design {
  std::string title;
  Units units = Units::mm;
  Order order;
  material::Library materials;  // the design's own, completed by the built-in ones
  std::vector<Piece> pieces;
};

// A design and the exact text it was read from. Editing splices the text, so comments, order and spelling of all that
// was not touched stay as the maker wrote them.
struct Document {
  std::string text;
  Design design;
  Findings findings;  // of reading: warnings and notes, errors too (the design then holds what could be read)
};

// Never fails outright: syntax errors and wrong values are findings of the document.
Document parse(std::string text);
// Fails only when the file cannot be read (code "file.unreadable"); otherwise as parse.
Result<Document> read(const std::filesystem::path&);
// The document with the value at `path` ("pieces/0/wall") replaced by, or created as, the JSON text `value`.
Result<Document> edited(const Document&, const std::string& path, const std::string& value);
// The design written anew, canonical order, quantities as written. write(parse(x)) is a fixed point.
std::string write(const Design&);
// 16 hexadecimal digits of the canonical content (comments and white space do not count); printed on every part.
std::string hash(const Design&);
std::string schema();                         // JSON Schema 2020-12
std::string starter(const std::string& kind); // commented design, "cushion" or "urn"; empty for another kind

// All pieces, in order, findings with full paths ("pieces/0/...").
std::vector<product::Product> evaluate(const Design&);
// Figures over the whole design: total.mass and the like.
std::vector<product::Figure> totals(const Design&, const std::vector<product::Product>&);

}  // namespace kerfkiln::job
