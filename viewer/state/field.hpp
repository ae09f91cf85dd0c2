// The parameter table of a design as a tree of fields to be shown and edited, and the JSON text of each edit.
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "modeler/base/parameter.hpp"
#include "modeler/base/result.hpp"
#include "modeler/base/units.hpp"

namespace kerfkiln::viewer {

struct Field {
  enum class Kind { quantity, integer, flag, choice, text, record, list, map, alternatives, kept };
  Kind kind = Kind::record;
  std::string path;   // in the design file: "pieces/0/layers/1/thickness"
  std::string label;  // a maker's words
  std::string help, source, default_text;
  Dimension dimension = Dimension::plain;
  double value = 0;  // quantity (NaN: says nothing), integer, flag (0 or 1)
  std::string
      written;  // quantity: as in the file, empty for a default; text and choice: the words; alternatives: the id
  Range range, typical;
  bool computed = true, required = false, part = false;
  std::vector<std::pair<std::string, std::string>> choices;  // value, label; for alternatives the forms
  std::vector<std::string> fresh;  // alternatives: JSON text of each form, list: of one element
  std::string refers_to;
  std::vector<Field> children;

  bool is_group() const {
    return kind == Kind::record || kind == Kind::list || kind == Kind::map || kind == Kind::alternatives;
  }
};

// Walks a description; `path` is where its top stands ("" the whole design).
Field field_tree(const Fields& description, const std::string& path = "");

const Field* find_field(const Field& tree, const std::string& path);
std::string json_string(const std::string& text);

// JSON text that sets a quantity to a canonical value, in the form and unit it was written in (a bare number stays a
// bare number, "50 mm" stays millimetres, "1 1/2 in" stays sixteenths of an inch).
std::string json_for_value(const Field&, double canonical, Units file_units);
// JSON text for what was typed; findings where it is not a number with a fitting unit. A bare number takes the unit
// the field is written in.
Result<std::string> json_for_typed(const Field&, const std::string& typed, Units file_units);
// The canonical value of what stands in the box; nothing where it is no value.
std::optional<double> typed_value(const Field&, const std::string& typed, Units file_units);
// As the field stands in its box: the written words, or the default.
std::string shown_text(const Field&, Units file_units);

// Where a slider runs, canonical units: the usual range, widened to hold the value; nothing where no range is known.
struct Slide {
  double low, high, step;
};
std::optional<Slide> slide_of(const Field&, Units file_units);
double snapped(const Slide&, double canonical);

}  // namespace kerfkiln::viewer
