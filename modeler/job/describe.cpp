#include "modeler/job/describe.hpp"

#include <array>

#include "modeler/cushion/describe.hpp"
#include "modeler/material/describe.hpp"
#include "modeler/urn/describe.hpp"

namespace kerfkiln::job {
namespace {

constexpr auto kUnitWords = std::to_array<Choice>({{"mm", "millimetres"}, {"in", "inches"}});

class PieceForms final : public Alternatives {
 public:
  explicit PieceForms(Piece& piece) : piece_(piece) {}
  std::string_view tag() const override { return "kind"; }
  std::size_t count() const override { return kKinds.size(); }
  Alternative at(std::size_t i) const override { return kKinds[i]; }
  std::size_t chosen() const override { return piece_.index(); }
  void choose(std::size_t i) override { piece_ = fresh(i); }
  void fields(Visitor& v) override { members(v, piece_); }
  void prototype(Visitor& v, std::size_t i) override {
    Piece piece = fresh(i);
    members(v, piece);
  }

 private:
  static constexpr auto kKinds = std::to_array<Alternative>(
      {{.id = "cushion", .label = "Cushion", .help = "Layers of foam, shaped and covered."},
       {.id = "urn", .label = "Urn", .help = "A thrown form, slip-cast in a plaster mould."}});
  static Piece fresh(std::size_t i) { return i == 0 ? Piece(cushion::Spec{}) : Piece(urn::Spec{}); }
  static void members(Visitor& v, Piece& piece) {
    if (auto* c = std::get_if<cushion::Spec>(&piece)) cushion::describe(v, *c);
    if (auto* u = std::get_if<urn::Spec>(&piece)) urn::describe(v, *u);
  }
  Piece& piece_;
};

void describe_order(Visitor& v, Order& o) {
  v.text({.key = "customer", .label = "Customer", .help = "Whom the job is for."}, o.customer);
  v.text({.key = "drawing", .label = "Drawing", .help = "Number of the drawing, printed on every part."}, o.drawing);
  v.text(
      {.key = "revision", .label = "Revision", .help = "Of the drawing.", .default_text = "A", .source = "the first"},
      o.revision);
  v.text({.key = "date", .label = "Date", .help = "As year-month-day.", .form = TextForm::date}, o.date);
  v.text({.key = "drawn", .label = "Drawn by", .help = "Who drew it."}, o.drawn);
  v.text({.key = "approved", .label = "Approved by", .help = "Who approved it; empty until then."}, o.approved);
}

}  // namespace

void describe(Visitor& v, const FieldInfo& info, Piece& piece) {
  PieceForms forms(piece);
  v.alternatives(info, forms);
}

void describe(Visitor& v, Design& d) {
  v.text({.key = "$schema", .label = "Schema", .help = "Where an editor finds the JSON Schema of design files."},
         d.schema_reference);
  v.integer({.key = "kerfkiln",
             .label = "Version",
             .help = "Of the design file's form.",
             .range = {1, 1e6},
             .required = true},
            d.version);
  v.text({.key = "title", .label = "Title", .help = "Of the job."}, d.title);
  // Before all lengths: numbers without a unit depend on it.
  std::string units(d.units == Units::inch ? kUnitWords[1].value : kUnitWords[0].value);
  v.text({.key = "units",
          .label = "Units",
          .help = "Of lengths written without a unit, and of the documents.",
          .default_text = "mm",
          .source = "the workshop's usual",
          .choices = kUnitWords},
         units);
  d.units = units == kUnitWords[1].value ? Units::inch : Units::mm;
  v.record({.key = "order", .label = "Order", .help = "What the title block says."},
           [&d](Visitor& w) { describe_order(w, d.order); });
  v.record({.key = "materials",
            .label = "Materials",
            .help = "The design's own materials by name; generic ones are built in."},
           [&d](Visitor& w) { material::describe(w, d.own); });
  list(v, {.key = "pieces", .label = "Pieces", .help = "What is made.", .range = {1, 256}, .required = true}, d.pieces,
       [](Visitor& w, Piece& piece) { describe(w, {.label = "Piece", .help = "A cushion or an urn."}, piece); });
  v.kept({.key = "records", .label = "Records", .help = "What was measured on real pieces.", .computed = false},
         {&d.kept, "records"});
}

}  // namespace kerfkiln::job
