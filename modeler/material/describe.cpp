#include "modeler/material/describe.hpp"

#include <array>

#include "modeler/material/kept_fields.hpp"

namespace kerfkiln::material {
namespace {

constexpr auto kHatches = std::to_array<Choice>(
    {{"none", "none"}, {"lines", "lines"}, {"cross", "crossed lines"}, {"dots", "dots"}, {"waves", "waves"}});
constexpr Range kSize{0.1, 10000};
constexpr Range kShrinkage{0, 0.5, true, true};  // of a stage: none is no stage, half and more is a slip of the pen
constexpr Range kModelShrinkage{0, 0.5, false, true};  // printed and plaster models do not shrink
constexpr auto kVolumeOf = std::to_array<Choice>(
    {{"before", "of the volume before (plastic)"}, {"after", "of the volume after (dry), as in older tables"}});

template <class T>
void entries(Visitor& v, const FieldInfo& info, Named<T>& items) {
  map(v, info, items, [](Visitor& w, T& item) { w.record({}, [&item](Visitor& x) { describe(x, item); }); });
}

}  // namespace

void describe(Visitor& v, Hardness& h) {
  constexpr Range kForce{1, 20000};
  quantity(v,
           {.key = "indentation_25",
            .label = "Indentation hardness at 25 %",
            .help = "Force on a flat foot of 50 in2 that presses it a quarter of the sample's thickness in (ISO 2439, "
                    "ASTM D3574 B1).",
            .range = kForce,
            .typical = {40, 350},
            .required = true},
           h.indentation_25);
  quantity(v,
           {.key = "indentation_65",
            .label = "Indentation hardness at 65 %",
            .help = "The same at 65 % of the thickness.",
            .range = kForce},
           h.indentation_65);
  quantity(v,
           {.key = "support_factor",
            .label = "Support factor",
            .help = "Hardness at 65 % over hardness at 25 %, where the former is not given.",
            .range = {1.05, 10}},
           h.support_factor);
  quantity(v,
           {.key = "indentation_40",
            .label = "Indentation hardness at 40 %",
            .help = "A third measured point bends the curve between the other two.",
            .range = kForce},
           h.indentation_40);
  v.text({.key = "method", .label = "Method", .help = "Of the hardness test; printed."}, h.method);
  quantity(v,
           {.key = "sample_thickness",
            .label = "Sample thickness",
            .help = "Of the hardness test; printed.",
            .range = {1, 1000}},
           h.sample_thickness);
  quantity(v,
           {.key = "indentation_ratio",
            .label = "Indentation ratio",
            .help = "Stress under the foot over stress of the same foam pressed all over: the foam around the foot "
                    "pulls too. Calibrate it with one compression test (ISO 3386) of the same foam.",
            .range = {1, 3},
            .typical = {1.2, 1.6},
            .default_text = "1.3",
            .source = "1.2 to 1.6 (from memory)"},
           h.indentation_ratio);
}

void describe(Visitor& v, Foam& f) {
  quantity(v,
           {.key = "density",
            .label = "Density",
            .help = "Mass of a cubic metre of the foam (apparent density, ISO 845).",
            .range = {5, 1000},
            .typical = {20, 80},
            .required = true},
           f.density);
  v.text({.key = "colour",
          .label = "Colour",
          .help = "Of the foam in drawings, as #rrggbb.",
          .default_text = "#c9b458",
          .form = TextForm::colour},
         f.colour);
  v.text({.key = "hatch",
          .label = "Hatch",
          .help = "Pattern of the foam in sections, so that colour is never the only code.",
          .default_text = "none",
          .choices = kHatches},
         f.hatch);
  v.record({.key = "sheet", .label = "Sheet", .help = "The sheet it is bought in.", .part = true}, [&f](Visitor& w) {
    quantity(w, {.key = "width", .label = "Width", .help = "Of the sheet.", .range = kSize, .typical = {1000, 1200}},
             f.sheet.width);
    quantity(w, {.key = "length", .label = "Length", .help = "Of the sheet.", .range = kSize, .typical = {1900, 2100}},
             f.sheet.length);
    list(w, {.key = "thicknesses", .label = "Thicknesses", .help = "In which the sheet can be had.", .range = {0, 100}},
         f.sheet.thicknesses, [](Visitor& x, Length& t) {
           quantity(x, {.label = "Thickness", .help = "Of a sheet.", .range = {1, 2000}, .typical = {10, 100}}, t);
         });
  });
  quantity(v,
           {.key = "price",
            .label = "Price",
            .help = "Of a cubic metre, in the money the job is reckoned in.",
            .range = {0, 1e9},
            .typical = {150, 900}},
           f.price);
  v.record({.key = "hardness", .label = "Hardness", .help = "Indentation hardness as tested.", .part = true},
           [&f](Visitor& w) { describe(w, f.hardness); });
  quantity(v,
           {.key = "set",
            .label = "Set",
            .help = "Thickness that the foam has lost for good when it is old.",
            .range = {0, 0.9},
            .typical = {0.02, 0.1},
            .default_text = "5 %",
            .source = "compression set below 10 % is called good (joint foam standards 1994)"},
           f.set);
  quantity(v,
           {.key = "hardness_loss",
            .label = "Hardness loss",
            .help = "Share of its hardness that the foam has lost when it is old (pounding test, ISO 3385).",
            .range = {0, 0.95},
            .typical = {0.08, 0.35},
            .default_text = "22 %",
            .source = "limit of class V seats, ISO 5999 (from memory)"},
           f.hardness_loss);
  evidence(v, f.kept);
}

void describe(Visitor& v, Adhesive& a) {
  quantity(v,
           {.key = "coverage",
            .label = "Coverage",
            .help = "Mass sprayed on a square metre of one face.",
            .range = {0.001, 2},
            .typical = {0.04, 0.15},
            .default_text = "80 g/m2",
            .source = "common practice"},
           a.coverage);
  v.integer({.key = "faces",
             .label = "Faces",
             .help = "Faces of each joint that are coated.",
             .range = {1, 2},
             .typical = {1, 2},
             .default_text = "2",
             .source = "common practice"},
            a.faces);
  quantity(v,
           {.key = "loss",
            .label = "Loss",
            .help = "Overspray and waste, of what stays on the foam.",
            .range = {0, 1},
            .typical = {0.05, 0.3},
            .default_text = "10 %",
            .source = "common practice"},
           a.loss);
  quantity(v,
           {.key = "waiting_time",
            .label = "Waiting time",
            .help = "From coating to joining.",
            .range = {0, 864000},
            .typical = {60, 1200}},
           a.waiting_time);
  quantity(v,
           {.key = "open_time",
            .label = "Open time",
            .help = "In which coated faces still join.",
            .range = {0, 864000},
            .typical = {600, 2400}},
           a.open_time);
  quantity(v, {.key = "price", .label = "Price", .help = "Of a kilogram.", .range = {0, 1e9}, .typical = {5, 30}},
           a.price);
}

void describe(Visitor& v, Cover& c) {
  quantity(v,
           {.key = "thickness",
            .label = "Thickness",
            .help = "Of the leather or cloth.",
            .range = {0.1, 20},
            .typical = {0.8, 2},
            .required = true},
           c.thickness);
  v.kept({.key = "stretch",
          .label = "Stretch",
          .help = "Permitted strain along, across and in compression.",
          .computed = false},
         {&c.kept, "stretch"});
  v.kept({.key = "roll_width", .label = "Roll width", .help = "Usable width of the roll.", .computed = false},
         {&c.kept, "roll_width"});
  v.kept({.key = "hide", .label = "Hide", .help = "Outline of a hide with flaws and zones.", .computed = false},
         {&c.kept, "hide"});
  unit_price(v, c.kept);
  evidence(v, c.kept);
}

void describe(Visitor& v, Batting& b) {
  quantity(v,
           {.key = "mass_per_area",
            .label = "Mass per area",
            .help = "Of the batting (fibre fill wrapped around the foam).",
            .range = {0.01, 5},
            .typical = {0.15, 0.4},
            .required = true},
           b.mass_per_area);
  quantity(v,
           {.key = "loft",
            .label = "Loft",
            .help = "Free thickness.",
            .range = {0.1, 200},
            .typical = {12, 35},
            .required = true},
           b.loft);
  quantity(v,
           {.key = "compressed_to",
            .label = "Compressed to",
            .help = "Thickness under the cover, as a share of the loft.",
            .range = {0.05, 1},
            .typical = {0.4, 0.6},
            .default_text = "50 %",
            .source = "common practice"},
           b.compressed_to);
  unit_price(v, b.kept);
  evidence(v, b.kept);
}

void describe(Visitor& v, Bar& b) {
  quantity(v,
           {.key = "before",
            .label = "Before",
            .help = "Length between the marks before the stage.",
            .range = kSize,
            .typical = {99, 101},
            .required = true},
           b.before);
  quantity(v,
           {.key = "after",
            .label = "After",
            .help = "Length between the same marks after it.",
            .range = kSize,
            .typical = {88, 97},
            .required = true},
           b.after);
}

namespace {

void bars(Visitor& v, std::string_view key, std::string_view label, std::string_view help, std::vector<Bar>& items) {
  list(v, {.key = key, .label = label, .help = help, .range = {0, 1000}}, items,
       [](Visitor& w, Bar& b) { w.record({}, [&b](Visitor& x) { describe(x, b); }); });
}

}  // namespace

void describe(Visitor& v, ShrinkageStage& s) {
  v.text({.key = "name",
          .label = "Stage",
          .help = "Such as drying, bisque, glaze.",
          .required = true,
          .form = TextForm::name},
         s.name);
  quantity(v,
           {.key = "shrinkage",
            .label = "Shrinkage",
            .help = "Linear, of the size before this stage (ASTM C326); or give test bars, or a volume figure.",
            .range = kShrinkage,
            .typical = {0.01, 0.12}},
           s.shrinkage);
  quantity(v,
           {.key = "height_shrinkage",
            .label = "Shrinkage in height",
            .help = "Where it differs from that of the girth.",
            .range = kShrinkage,
            .typical = {0.01, 0.12}},
           s.height_shrinkage);
  bars(v, "bars", "Test bars",
       "Lengths of test bars before and after the stage, three at least, ten are usual (ASTM C326). Where each bar is "
       "followed through all stages, list them in the same order.",
       s.bars);
  bars(v, "height_bars", "Test bars along the height", "Where the height shrinks otherwise than the girth.",
       s.height_bars);
  quantity(v,
           {.key = "volume_shrinkage",
            .label = "Shrinkage in volume",
            .help = "Where only a volume figure is known; the linear one follows from it.",
            .range = kShrinkage},
           s.volume_shrinkage);
  v.text({.key = "volume_of",
          .label = "Volume figure is a share of",
          .help = "The volume before the stage, or after it.",
          .default_text = "before",
          .source = "as the linear figure",
          .choices = kVolumeOf},
         s.volume_of);
}

void describe(Visitor& v, Body& b) {
  list(v,
       {.key = "stages",
        .label = "Stages",
        .help = "Shrinkage from the cast or thrown piece to the fired one, in order.",
        .range = {1, 20},
        .required = true},
       b.stages, [](Visitor& w, ShrinkageStage& s) { w.record({}, [&s](Visitor& x) { describe(x, s); }); });
  quantity(v,
           {.key = "fired_density",
            .label = "Fired density",
            .help = "Mass of a litre of the fired body, pores included.",
            .range = {500, 6000},
            .typical = {1700, 2500},
            .default_text = "2.18 kg/L",
            .source = "common practice"},
           b.fired_density);
  quantity(v,
           {.key = "loss_on_ignition",
            .label = "Loss on ignition",
            .help = "Mass that dry clay loses in the kiln.",
            .range = {0, 0.5},
            .typical = {0.03, 0.12},
            .default_text = "7 %",
            .source = "common practice"},
           b.loss_on_ignition);
  v.record({.key = "slip", .label = "Slip", .help = "The casting slip of this body."}, [&b](Visitor& w) {
    quantity(w,
             {.key = "specific_gravity",
              .label = "Specific gravity",
              .help = "Of the slip: kilograms a litre.",
              .range = {1.05, 2.5},
              .default_text = "1.75",
              .source = "common practice: 1.70 to 1.80"},
             b.slip.specific_gravity);
    quantity(w,
             {.key = "dry_specific_gravity",
              .label = "Specific gravity of the dry matter",
              .help = "Of the dry clay's grains.",
              .range = {2, 4},
              .default_text = "2.60",
              .source = "clays 2.5 to 2.6 (potters' handbooks)"},
             b.slip.dry_specific_gravity);
    quantity(w,
             {.key = "cast_water",
              .label = "Water as cast",
              .help = "Share of the wet mass when the piece leaves the mould.",
              .range = {0.05, 0.45},
              .default_text = "19 %",
              .source = "from memory: 17 to 22 % cast in plaster"},
             b.slip.cast_water);
  });
  v.record({.key = "water_test",
            .label = "Water test",
            .help = "A boiled fired bar weighed dry, under water and wiped wet (ASTM C373).",
            .part = true},
           [&b](Visitor& w) {
             const auto mass = [&w](std::string_view key, std::string_view label, std::string_view help, Mass& m) {
               quantity(w, {.key = key, .label = label, .help = help, .range = above_zero(100), .required = true}, m);
             };
             mass("dry", "Dry", "Mass of the dry bar.", b.water_test.dry);
             mass("suspended", "Suspended", "Mass hanging in water.", b.water_test.suspended);
             mass("saturated", "Saturated", "Mass soaked, wiped, in air.", b.water_test.saturated);
           });
  v.kept({.key = "casting",
          .label = "Casting times",
          .help = "Wall thickness against time, the maker's own.",
          .computed = false},
         {&b.kept, "casting"});
  unit_price(v, b.kept);
}

void describe(Visitor& v, Model& m) {
  quantity(
      v,
      {.key = "shrinkage",
       .label = "Shrinkage to moulding",
       .help = "Of the prototype from making to the moment the mould is taken off it; 0 for printed or plaster models.",
       .range = kModelShrinkage,
       .typical = {0, 0.06}},
      m.shrinkage);
  bars(v, "bars", "Test bars", "Lengths before and after, instead of the figure.", m.bars);
}

void describe(Visitor& v, Plaster& p) {
  quantity(v,
           {.key = "consistency",
            .label = "Consistency",
            .help = "Parts of water to 100 parts of plaster, by mass.",
            .range = {20, 150},
            .typical = {60, 80},
            .default_text = "70",
            .source = "common practice"},
           p.consistency);
  quantity(v,
           {.key = "specific_gravity",
            .label = "Specific gravity of the powder",
            .help = "Of the plaster powder.",
            .range = {1, 5},
            .typical = {2.6, 2.8},
            .default_text = "2.70",
            .source = "fits the wet densities that makers publish within 1 %"},
           p.specific_gravity);
  quantity(v,
           {.key = "setting_expansion",
            .label = "Setting expansion",
            .help = "Linear growth of the cast while it sets, each generation.",
            .range = {0, 0.05},
            .typical = {0, 0.004},
            .default_text = "0.2 %",
            .source = "published property lists of pottery plaster at consistency 70"},
           p.setting_expansion);
  unit_price(v, p.kept);
}

void describe(Visitor& v, Glaze& g) {
  quantity(v,
           {.key = "dry_coat",
            .label = "Dry coat",
            .help = "Dry glaze on a square metre.",
            .range = {0.01, 5},
            .typical = {0.3, 0.8},
            .default_text = "500 g/m2",
            .source = "a coat measured by a studio potter, 0.41 mm dry"},
           g.dry_coat);
  quantity(v,
           {.key = "fired_coat",
            .label = "Fired coat",
            .help = "Thickness of the fired glaze on one face.",
            .range = {0, 5},
            .typical = {0.1, 0.4},
            .default_text = "0.2 mm",
            .source = "a coat measured by a studio potter"},
           g.fired_coat);
  quantity(v,
           {.key = "slop_dry_content",
            .label = "Dry content of the slop",
            .help = "Dry glaze in a litre of the ready mix.",
            .range = {100, 2000},
            .typical = {600, 1000},
            .default_text = "812.5 kg/m3",
            .source = "Brongniart's formula at specific gravity 1.50"},
           g.slop_dry_content);
  unit_price(v, g.kept);
}

void describe(Visitor& v, Library& l) {
  entries(v, {.key = "foams", .label = "Foams", .help = "Foams by name.", .range = {0, 1000}}, l.foams);
  entries(v, {.key = "adhesives", .label = "Adhesives", .help = "Adhesives by name.", .range = {0, 1000}}, l.adhesives);
  entries(v, {.key = "covers", .label = "Covers", .help = "Leathers and cloths by name.", .range = {0, 1000}},
          l.covers);
  entries(v, {.key = "battings", .label = "Battings", .help = "Battings by name.", .range = {0, 1000}}, l.battings);
  entries(v, {.key = "barriers", .label = "Barriers", .help = "Barrier cloths by name.", .range = {0, 1000}},
          l.barriers);
  entries(v, {.key = "boards", .label = "Boards", .help = "Boards by name.", .range = {0, 1000}}, l.boards);
  entries(v, {.key = "bodies", .label = "Clay bodies", .help = "Clay bodies by name.", .range = {0, 1000}}, l.bodies);
  entries(v,
          {.key = "models",
           .label = "Model materials",
           .help = "What prototypes are made of, by name.",
           .range = {0, 1000}},
          l.models);
  entries(v, {.key = "plasters", .label = "Plasters", .help = "Mould plasters by name.", .range = {0, 1000}},
          l.plasters);
  entries(v, {.key = "glazes", .label = "Glazes", .help = "Glazes by name.", .range = {0, 1000}}, l.glazes);
  const auto later = [&v, &l](std::string_view key, std::string_view label, std::string_view help) {
    v.kept({.key = key, .label = label, .help = help, .computed = false}, {&l.kept, key});
  };
  later("tapes", "Tapes", "Tapes by name.");
  later("threads", "Threads", "Threads by name.");
}

}  // namespace kerfkiln::material
