// The narrow waist: what a finished piece is, for every family alike. Documents and viewer read nothing else.
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "modeler/base/finding.hpp"
#include "modeler/base/result.hpp"
#include "modeler/product/drawn.hpp"
#include "modeler/product/sketch.hpp"
#include "modeler/product/views.hpp"
#include "modeler/solid/mesh.hpp"

namespace kerfkiln::product {

// One number with its origin. `from` holds keys of other figures and paths of fields ("layers/0/thickness").
struct Figure {
  std::string key;    // stable, design.md section 15
  std::string label;  // a maker's words
  double value = 0;
  std::string unit;  // "mm", "L", "kg", "m2", "mm2", "%", "deg", "" ...
  std::optional<double> low, high;
  std::vector<std::string> from;
  std::string how;  // a formula in words
};

// How many closed shells a solid has: known, or counted each time it is asked for (pure, on any thread).
class ShellCount {
 public:
  ShellCount(int known = 1) : known_(known) {}
  explicit ShellCount(std::function<int()> counted) : counted_(std::move(counted)) {}
  operator int() const { return counted_ ? counted_() : known_; }

 private:
  int known_ = 1;
  std::function<int()> counted_;
};

// A solid, meshed on demand. mesh() may be called from any thread and is pure; `deviation_mm` is the chord deviation.
struct Shape {
  std::string id;     // "core", "layer-1", "urn", "cavity": file name stem, stable
  std::string label;  // "Layer 1, firm foam"
  Colour colour{0.8, 0.75, 0.6};
  Hatch hatch = Hatch::none;
  bool whole = true;      // the piece as one; false: a component, such as a layer
  bool shown = true;      // part of the live picture (a cavity-size twin of the ware is not)
  Vec3 explode;           // where an exploded view moves it, mm at full explosion
  double volume_mm3 = 0;  // exact, by quadrature
  ShellCount components;
  std::function<Result<solid::Mesh>(double deviation_mm)> mesh;
  bool apart = false;  // a whole that the picture taken apart shows too, such as a lid beside its urn
};

// Something flat at full size.
struct FlatPart {
  std::string id;        // "plan", "gauge-front": file name stem, stable
  std::string label;     // "Plan template"
  std::string material;  // "template board", "foam firm 50 mm"
  std::string hand;      // "left", "right" or ""
  std::string face_up;   // "top face up"
  int count = 1;
  Sketch sketch;  // 1:1
};
using Parts = Drawn<FlatPart>;

struct Table {
  std::string id, title;
  std::vector<std::string> columns;
  std::vector<bool> numeric;  // right-aligned
  std::vector<std::vector<std::string>> rows;
};

// What belongs together on a document of its own, such as all about a lid.
struct DetailSheet {
  std::string id, title;  // "lid", "Lid"
  Views views;
  std::vector<Table> tables;
};

struct Step {
  std::string title, text;
};

// A rectangle to be cut from stock: what cutting layouts and costs are made from. 0 or NaN: the material does not say.
struct Blank {
  std::string name;      // "layer 2, zone 1"
  std::string material;  // "firm"
  Colour colour;
  Hatch hatch = Hatch::none;
  double width_mm = 0, depth_mm = 0, thickness_mm = 0;  // as cut, trim included
  double stock_mm = 0;                                  // thickness of the stock it is slit from
  double sheet_width_mm = 0, sheet_length_mm = 0;
  double kerf_mm = 0;
  double density_kg_m3 = 0;
  double price_m3 = 0;      // of a cubic metre of stock
  double finished_mm3 = 0;  // of what is shaped from it
  int count = 1;            // of one piece
  bool once = false;        // of the whole job instead, however many pieces are made
};

// A dimension that can be grasped in the picture: where it stands and which field it edits.
struct Handle {
  std::string id;
  Vec3 from, to;
  std::string field;  // path below the piece
  double factor = 1;  // length in the picture over the value of the field: not 1 where the program scaled the form
};

// A change of the design that the program has worked out and the maker may take over, in one step.
struct Offer {
  struct Edit {
    std::string field;     // path below the piece
    double length_mm = 0;  // NaN: the field is taken out
  };
  std::string id, label, help;  // "solved-sizes", "Adopt solved sizes", what it does
  std::vector<Edit> edits;
};

struct Product {
  std::string name, kind;  // "seat", "cushion"
  int count = 1;
  std::vector<Shape> shapes;
  Parts parts;
  Views views;
  std::vector<Table> tables;
  std::vector<DetailSheet> sheets;
  std::vector<Step> steps;
  std::vector<std::string> cautions;
  std::vector<Figure> figures;
  std::vector<Handle> handles;
  std::vector<Blank> blanks;
  std::vector<Offer> offers;
  Findings findings;
  const Figure* figure(const std::string& key) const {
    for (const Figure& f : figures)
      if (f.key == key) return &f;
    return nullptr;
  }
};

}  // namespace kerfkiln::product
