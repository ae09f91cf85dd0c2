#include "modeler/cushion/coupons.hpp"

#include <algorithm>

#include "modeler/cushion/core.hpp"
#include "modeler/cushion/spec.hpp"
#include "modeler/cushion/words.hpp"
#include "modeler/cushion/wrapping.hpp"

namespace kerfkiln::cushion {
namespace {

// One blank of each foam of the piece, in the order of the cut list.
std::vector<product::Blank> one_of_each(const Core& core) {
  std::vector<product::Blank> list;
  for (product::Blank& b : foam_blanks(core)) {
    const bool known =
        std::any_of(list.begin(), list.end(), [&](const product::Blank& x) { return x.material == b.material; });
    if (!known) list.push_back(std::move(b));
  }
  return list;
}

// Out of a sheet that the piece is slit from anyhow, if one is thick enough; else the nearest stock.
double stock_of(const Core& core, const std::string& name, const material::Foam* foam, double thickness) {
  double stock = 0;
  for (const product::Blank& b : foam_blanks(core))
    if (b.material == name && b.stock_mm >= thickness && (stock == 0 || b.stock_mm < stock)) stock = b.stock_mm;
  return stock > 0 || foam == nullptr ? stock : slitting(foam->sheet, thickness, core.kerf_mm).stock_mm;
}

std::string test_of(const CouponSpec& c) { return c.test.empty() ? std::string("burn test") : c.test; }

}  // namespace

void describe(Visitor& v, CouponSpec& c) {
  v.text({.key = "test", .label = "Test", .help = "What the coupons are for, such as \"vertical, 12 s\": printed."},
         c.test);
  v.text({.key = "foam",
          .label = "Coupon foam",
          .help = "One foam; every foam, the cover, batting and barrier of the piece if nothing is said.",
          .refers_to = "foams"},
         c.foam);
  const auto length = [&](std::string_view key, std::string_view label, std::string_view help, Range range,
                          std::string_view otherwise, Length& value) {
    quantity(v,
             {.key = key,
              .label = label,
              .help = help,
              .range = range,
              .default_text = otherwise,
              .source = "49 CFR 571.302 (FMVSS 302), specimen 102 x 356 mm, up to 13 mm thick"},
             value);
  };
  length("width", "Coupon width", "Of a coupon.", {5, 2000}, "102 mm", c.width);
  length("length", "Coupon length", "Of a coupon.", {5, 2000}, "356 mm", c.length);
  length("thickness", "Coupon thickness", "Of a coupon of foam; cover, batting and barrier as they are.", {1, 500},
         "13 mm", c.thickness);
  v.integer({.key = "count",
             .label = "Coupons",
             .help = "Of each material, once for the whole job.",
             .range = {1, 1000},
             .default_text = "3",
             .source = "common practice"},
            c.count);
}

std::vector<product::Blank> coupons_of(const Core& core, const Spec& spec, const material::Library& materials,
                                       Findings& out) {
  std::vector<product::Blank> list;
  if (spec.coupons.empty()) return list;
  const std::vector<product::Blank> foams = one_of_each(core);
  for (std::size_t i = 0; i < spec.coupons.size(); ++i) {
    const CouponSpec& c = spec.coupons[i];
    const std::string path = "coupons/" + std::to_string(i);
    bool any = false;
    for (const product::Blank& of : foams) {
      if (!c.foam.empty() && of.material != c.foam) continue;
      any = true;
      const material::Foam* foam = material::find(materials.foams, of.material);
      product::Blank b = of;
      b.name = "coupon, " + test_of(c);
      b.width_mm = c.width.value;
      b.depth_mm = c.length.value;
      b.thickness_mm = c.thickness.value;
      b.stock_mm = stock_of(core, of.material, foam, b.thickness_mm);
      b.finished_mm3 = 0;
      b.count = c.count;
      b.once = true;
      if (foam != nullptr && !foam->sheet.thicknesses.empty() && b.stock_mm == 0)
        out.push_back(
            warning("coupon.stock", path + "/thickness",
                    "no stock of \"" + of.material + "\" is as thick as the coupons of " + mm_text(b.thickness_mm),
                    "ask the test house whether thinner ones will do"));
      const double low = std::min(b.width_mm, b.depth_mm), high = std::max(b.width_mm, b.depth_mm);
      const double sheet_low = std::min(b.sheet_width_mm, b.sheet_length_mm),
                   sheet_high = std::max(b.sheet_width_mm, b.sheet_length_mm);
      if (sheet_low > 0 && (low > sheet_low || high > sheet_high))
        out.push_back(warning("coupon.sheet", path,
                              "a coupon of " + number_text(b.width_mm) + " x " + mm_text(b.depth_mm) +
                                  " is larger than the sheet of \"" + of.material + "\"",
                              "make the coupons smaller, or find a larger sheet"));
      list.push_back(std::move(b));
    }
    if (any) continue;
    if (material::find(materials.foams, c.foam) == nullptr)
      out.push_back(error("material.unknown", path + "/foam", "there is no foam called \"" + c.foam + "\"",
                          "use one of the piece's foams, or leave it out for all"));
    else
      out.push_back(warning("coupon.unused", path + "/foam",
                            "the piece has no foam \"" + c.foam + "\": no coupon of it is cut here",
                            "use one of the piece's foams, or leave it out for all"));
  }
  return list;
}

product::Table coupon_table(const std::vector<product::Blank>& of_foam, const Core& core, const Spec& spec) {
  product::Table t{"coupons",
                   "Coupons for burn tests, once for the job",
                   {"Test", "Material", "Of", "Width mm", "Length mm", "Thickness mm", "Count"},
                   {false, false, false, true, true, true, true},
                   {}};
  for (const product::Blank& b : of_foam)
    t.rows.push_back({b.name.substr(8), b.material, "foam", number_text(b.width_mm, 1), number_text(b.depth_mm, 1),
                      number_text(b.thickness_mm, 1), std::to_string(b.count)});
  for (const CouponSpec& c : spec.coupons) {
    if (!c.foam.empty()) continue;
    for (const Skin& s : core.skins.layers)
      if (s.name != "topper")
        t.rows.push_back({test_of(c), s.material, s.name, number_text(c.width.value, 1), number_text(c.length.value, 1),
                          "as it is", std::to_string(c.count)});
  }
  return t;
}

}  // namespace kerfkiln::cushion
