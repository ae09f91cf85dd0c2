#include "modeler/cushion/describe.hpp"

#include <array>

#include "modeler/cushion/edge/edge_type.hpp"

namespace kerfkiln::cushion {
namespace {

constexpr Range kSize{0.1, 10000};
constexpr Range kPlace{-10000, 10000};
constexpr Range kRadius{0, 10000};
constexpr auto kGivenAt = std::to_array<Choice>({{"core", "the shaped foam"},
                                                 {"topped", "the foam with its topper"},
                                                 {"dressed", "the finished cushion in its cover"}});

constexpr auto kHands = std::to_array<Choice>({{"left", "left"}, {"right", "right"}});

void describe_vertices(Visitor& v, const FieldInfo& info, std::vector<VertexSpec>& loop) {
  list(v, info, loop, [](Visitor& w, VertexSpec& x) { w.record({}, [&x](Visitor& y) { describe(y, x); }); });
}

class OutlineForms final : public Alternatives {
 public:
  explicit OutlineForms(OutlineSpec& outline) : outline_(outline) {}
  std::size_t count() const override { return kForms.size(); }
  Alternative at(std::size_t i) const override { return kForms[i]; }
  std::size_t chosen() const override { return outline_.index(); }
  void choose(std::size_t i) override { outline_ = fresh(i); }
  void fields(Visitor& v) override { form(v, outline_); }
  void prototype(Visitor& v, std::size_t i) override {
    OutlineSpec outline = fresh(i);
    form(v, outline);
  }

 private:
  static constexpr auto kForms = std::to_array<Alternative>(
      {{.id = "rectangle", .label = "Rectangle", .help = "Sides front, right, back, left; corners rounded alike."},
       {.id = "vertices", .label = "Vertices", .help = "Corners in counter-clockwise order, joined by lines or arcs."},
       {.id = "frame",
        .label = "Frame",
        .help = "Measured sides and diagonals of an existing frame, fitted by least squares."},
       {.id = "dxf", .label = "Drawing", .help = "A drawing file, its layer and unit; inner loops are holes."}});
  static OutlineSpec fresh(std::size_t i) {
    if (i == 0) return RectangleSpec{};
    if (i == 1) return VerticesSpec{};
    if (i == 2) return FrameSpec{};
    return DxfSpec{};
  }
  static void form(Visitor& v, OutlineSpec& outline) {
    if (auto* r = std::get_if<RectangleSpec>(&outline))
      v.record({.key = "rectangle", .label = "Rectangle", .help = kForms[0].help, .required = true},
               [r](Visitor& w) { describe(w, *r); });
    if (auto* f = std::get_if<FrameSpec>(&outline))
      v.record({.key = "frame", .label = "Frame", .help = kForms[2].help, .required = true},
               [f](Visitor& w) { describe(w, *f); });
    if (auto* d = std::get_if<DxfSpec>(&outline))
      v.record({.key = "dxf", .label = "Drawing", .help = kForms[3].help, .required = true},
               [d](Visitor& w) { describe(w, *d); });
    if (auto* typed = std::get_if<VerticesSpec>(&outline)) {
      VerticesSpec& x = *typed;
      describe_vertices(
          v, {.key = "vertices", .label = "Vertices", .help = kForms[1].help, .range = {2, 10000}, .required = true},
          x.outer);
      list(v,
           {.key = "holes",
            .label = "Holes",
            .help = "Inner loops, each a list of vertices; turned the right way if need be.",
            .range = {0, 256}},
           x.holes, [](Visitor& w, std::vector<VertexSpec>& hole) {
             describe_vertices(w, {.label = "Hole", .help = "Vertices of one hole.", .range = {2, 10000}}, hole);
           });
    }
  }
  OutlineSpec& outline_;
};

// One form a row of the edge table: a word, one length, or a list of lengths.
class EdgeForms final : public Alternatives {
 public:
  explicit EdgeForms(EdgeSpec& edge) : edge_(edge) {}
  std::size_t count() const override { return edge_types().size(); }
  Alternative at(std::size_t i) const override {
    const EdgeType& t = *edge_types()[i];
    return {.id = t.id, .label = t.label, .help = t.help, .word = t.lengths.empty()};
  }
  std::size_t chosen() const override {
    std::size_t i = 0;
    while (i < count() && edge_types()[i]->id != edge_.type) ++i;
    return i;
  }
  void choose(std::size_t i) override { edge_ = fresh(i); }
  void fields(Visitor& v) override {
    if (chosen() < count()) form(v, edge_, *edge_types()[chosen()]);
  }
  void prototype(Visitor& v, std::size_t i) override {
    EdgeSpec edge = fresh(i);
    form(v, edge, *edge_types()[i]);
  }

 private:
  static EdgeSpec fresh(std::size_t i) {
    const EdgeType& t = *edge_types()[i];
    return {std::string(t.id), std::vector<Length>(t.lengths.size())};
  }
  static FieldInfo info(const EdgeLength& l) {
    return {.label = l.label,
            .help = l.help,
            .range = {l.low_mm, l.high_mm},
            .typical = {l.default_mm / 4, l.default_mm * 2}};
  }
  static void form(Visitor& v, EdgeSpec& edge, const EdgeType& t) {
    edge.lengths.resize(t.lengths.size());
    if (t.lengths.size() == 1) {
      FieldInfo one = info(t.lengths[0]);
      one.key = t.id;
      one.required = true;
      quantity(v, one, edge.lengths[0]);
    } else if (!t.lengths.empty()) {
      std::vector<TupleItem> items;
      for (std::size_t k = 0; k < t.lengths.size(); ++k)
        items.push_back(tuple_item(info(t.lengths[k]), edge.lengths[k]));
      v.tuple({.key = t.id, .label = t.label, .help = t.help, .required = true}, items);
    }
  }
  EdgeSpec& edge_;
};

void describe_edges(Visitor& v, const FieldInfo& info, EdgeSet& set) {
  map(v, info, set.sides, [](Visitor& w, EdgeSpec& edge) {
    describe(w, {.label = "Edge", .help = "Profile of the edge along this side."}, edge);
  });
}

void describe_cover(Visitor& v, Spec& s) {
  v.text({.key = "material", .label = "Cover", .help = "Leather or cloth of the cover.", .refers_to = "covers"},
         s.cover);
  later(v, s.kept, "cover/style", "style", "Style", "boxed, knife edge, wrapped front.");
  later(v, s.kept, "cover/pull", "pull", "Pull", "How much smaller the cover is than the cushion, in width and depth.");
  later(v, s.kept, "cover/seams", "seams", "Seams", "Construction of each seam, by name.");
  later(v, s.kept, "cover/closure", "closure", "Closure", "Side and tape of the closure.");
  later(v, s.kept, "cover/insert", "insert", "Insert", "A panel of another material.");
}

void describe_skins(Visitor& v, Spec& s) {
  v.record({.key = "topper", .label = "Topper", .help = "Soft layer wrapped over the shaped core.", .part = true},
           [&s](Visitor& w) {
             w.text({.key = "foam",
                     .label = "Topper foam",
                     .help = "Foam of the topper.",
                     .required = true,
                     .refers_to = "foams"},
                    s.topper_foam);
             quantity(w,
                      {.key = "thickness",
                       .label = "Topper thickness",
                       .help = "Of the topper.",
                       .range = {0.1, 500},
                       .typical = {8, 25},
                       .default_text = "15 mm",
                       .source = "common practice"},
                      s.topper_thickness);
             describe(w,
                      {.key = "down_to",
                       .label = "Down to",
                       .help = "How far down the sides the topper runs; to the bottom edge if nothing is said."},
                      s.topper_down_to);
           });
  v.text({.key = "batting", .label = "Batting", .help = "Fibre fill under the cover.", .refers_to = "battings"},
         s.batting);
  v.text({.key = "barrier", .label = "Barrier", .help = "Barrier cloth under the cover.", .refers_to = "barriers"},
         s.barrier);
  v.record({.key = "cover", .label = "Cover", .help = "The sewn cover.", .part = true},
           [&s](Visitor& w) { describe_cover(w, s); });
}

}  // namespace

void describe(Visitor& v, RectangleSpec& r) {
  quantity(v,
           {.key = "width",
            .label = "Width",
            .help = "Left to right.",
            .range = kSize,
            .typical = {250, 900},
            .required = true},
           r.width);
  quantity(v,
           {.key = "depth",
            .label = "Depth",
            .help = "Front to back.",
            .range = kSize,
            .typical = {250, 800},
            .required = true},
           r.depth);
  quantity(v,
           {.key = "corner_radius",
            .label = "Corner radius",
            .help = "Of the four corners, seen from above.",
            .range = kRadius,
            .typical = {0, 90},
            .default_text = "0 mm",
            .source = "sharp corners"},
           r.corner_radius);
}

void describe(Visitor& v, VertexSpec& x) {
  const auto at = std::to_array<TupleItem>(
      {tuple_item({.label = "Across", .help = "To the right of the origin.", .range = kPlace, .typical = {0, 900}},
                  x.x),
       tuple_item({.label = "Back", .help = "Behind the origin.", .range = kPlace, .typical = {0, 800}}, x.y)});
  v.tuple({.key = "at", .label = "Place", .help = "[across, back], from an origin of your choice.", .required = true},
          at);
  quantity(v, {.key = "radius", .label = "Radius", .help = "Rounds this corner.", .range = kRadius, .typical = {0, 60}},
           x.radius);
  v.text({.key = "side", .label = "Side", .help = "Name of the side that starts here; edges are given by it."}, x.side);
  quantity(v,
           {.key = "bulge",
            .label = "Bulge",
            .help = "Of the side that starts here: tangent of a quarter of the arc's angle, positive "
                    "counter-clockwise, 0 straight.",
            .range = {-1, 1},
            .typical = {-0.3, 0.3}},
           x.bulge);
}

void describe(Visitor& v, const FieldInfo& info, EdgeSpec& edge) {
  EdgeForms forms(edge);
  v.alternatives(info, forms);
}

void describe(Visitor& v, LayerSpec& l) {
  v.text({.key = "foam", .label = "Foam", .help = "Foam of this layer.", .required = true, .refers_to = "foams"},
         l.foam);
  quantity(v,
           {.key = "thickness",
            .label = "Thickness",
            .help = "Of this layer, shaped.",
            .range = {0.1, 2000},
            .typical = {15, 80},
            .required = true},
           l.thickness);
  list(v, {.key = "zones", .label = "Zones", .help = "Parts of the layer in another foam.", .range = {0, 64}}, l.zones,
       [](Visitor& w, ZoneSpec& z) { w.record({}, [&z](Visitor& x) { describe(x, z); }); });
}

void describe(Visitor& v, Spec& s) {
  v.text({.key = "name",
          .label = "Name",
          .help = "Of the piece; each piece of a design has its own.",
          .required = true,
          .form = TextForm::name},
         s.name);
  v.integer({.key = "count",
             .label = "Count",
             .help = "How many are made.",
             .range = {1, 100000},
             .typical = {1, 12},
             .default_text = "1",
             .source = "one piece"},
            s.count);
  v.flag({.key = "mirrored",
          .label = "Other hand",
          .help = "Makes the mirror image.",
          .default_text = "false",
          .source = "as drawn"},
         s.mirrored);
  v.text({.key = "hand", .label = "Hand", .help = "Of a pair: printed on every part.", .choices = kHands}, s.hand);
  v.text({.key = "given_at",
          .label = "Sizes given at",
          .help = "Which surface outline, edges and heights describe.",
          .default_text = "dressed",
          .source = "what must fit the frame",
          .choices = kGivenAt},
         s.given_at);
  OutlineForms outline(s.outline);
  v.alternatives({.key = "outline", .label = "Outline", .help = "Seen from above.", .required = true}, outline);
  list(v,
       {.key = "layers",
        .label = "Layers",
        .help = "Foam layers from the underside up.",
        .range = {1, 32},
        .required = true},
       s.layers, [](Visitor& w, LayerSpec& l) { w.record({}, [&l](Visitor& x) { describe(x, l); }); });
  v.record({.key = "edges",
            .label = "Edges",
            .help = "Edge profiles of the top and of the underside, by side; \"other\" for all not named; square where "
                    "nothing is said."},
           [&s](Visitor& w) {
             describe_edges(
                 w, {.key = "top", .label = "Top edges", .help = "Edge profiles around the top.", .range = {0, 10000}},
                 s.top);
             describe_edges(w,
                            {.key = "bottom",
                             .label = "Bottom edges",
                             .help = "Edge profiles around the underside.",
                             .range = {0, 10000}},
                            s.bottom);
           });
  v.text({.key = "adhesive",
          .label = "Adhesive",
          .help = "Between the layers; the built-in contact adhesive if nothing is said.",
          .refers_to = "adhesives"},
         s.adhesive);
  quantity(v,
           {.key = "trim",
            .label = "Trim",
            .help = "Around a blank, each side.",
            .range = {0, 500},
            .typical = {5, 20},
            .default_text = "10 mm",
            .source = "common practice"},
           s.trim);
  quantity(v,
           {.key = "kerf",
            .label = "Kerf",
            .help = "Of the band knife: what the cut eats.",
            .range = {0, 20},
            .typical = {0, 1.5},
            .default_text = "0.5 mm",
            .source = "common practice"},
           s.kerf);
  describe_skins(v, s);
  v.record({.key = "crown", .label = "Crown", .help = "Doming of top or underside.", .part = true},
           [&s](Visitor& w) { describe(w, s.crown); });
  v.record({.key = "contour",
            .label = "Contour",
            .help = "Height curves of the top along depth and across width, all added to the crown.",
            .part = true},
           [&s](Visitor& w) { describe(w, s.contour); });
  list(v,
       {.key = "creases",
        .label = "Creases",
        .help = "Pull-in lines of the top: along a path, or a pattern of them.",
        .range = {0, 200}},
       s.creases, [](Visitor& w, CreaseSpec& c) { w.record({}, [&c](Visitor& x) { describe(x, c); }); });
  list(v, {.key = "pockets", .label = "Pockets", .help = "Hollows cut into the foam.", .range = {0, 100}}, s.pockets,
       [](Visitor& w, PocketSpec& p) { w.record({}, [&p](Visitor& x) { describe(x, p); }); });
  v.record({.key = "board", .label = "Board", .help = "The base board under the foam.", .part = true},
           [&s](Visitor& w) { describe(w, s.board); });
  list(v, {.key = "underside", .label = "Underside tapes", .help = "Tapes glued to the underside.", .range = {0, 100}},
       s.underside, [](Visitor& w, UndersideSpec& u) { w.record({}, [&u](Visitor& x) { describe(x, u); }); });
  list(v,
       {.key = "coupons",
        .label = "Test coupons",
        .help = "Samples of the piece's materials for burn tests, in the cut list.",
        .range = {0, 20}},
       s.coupons, [](Visitor& w, CouponSpec& c) { w.record({}, [&c](Visitor& x) { describe(x, c); }); });
  v.record({.key = "load", .label = "Load", .help = "Who sits on it: without it no sag is computed.", .part = true},
           [&s](Visitor& w) { describe(w, s.load); });
}

}  // namespace kerfkiln::cushion
