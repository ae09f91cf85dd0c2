// Coupons for burn tests in the cut list: foam ones as blanks, those of cover, batting and barrier beside them. What
// the test house asks for decides; nothing here certifies.
#pragma once
#include <vector>

#include "modeler/cushion/coupon_spec.hpp"
#include "modeler/material/spec.hpp"
#include "modeler/product/product.hpp"

namespace kerfkiln::cushion {

struct Core;
struct Spec;

// Blanks of the foam coupons, as they are cut: no trim, nothing finished from them, once for the job.
// Findings below the piece: material.unknown at "coupons/<i>/foam"; warnings coupon.unused (the piece has no such
// foam), coupon.stock (thicker than the foam is stocked), coupon.sheet (larger than its sheet).
std::vector<product::Blank> coupons_of(const Core&, const Spec&, const material::Library&, Findings&);
// All of them, of skins too. Empty rows without coupons.
product::Table coupon_table(const std::vector<product::Blank>& of_foam, const Core&, const Spec&);

}  // namespace kerfkiln::cushion
