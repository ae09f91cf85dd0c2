// What is made but remarked on: each warning and note of an urn and its lid that no other test draws, by the design
// that asks for it, with its field, the number that it speaks of and a remedy. A plain urn has none of them.
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <string>

#include "modeler/material/spec.hpp"
#include "modeler/urn/build.hpp"

namespace kerfkiln::urn {
namespace {

Spec plain() {
  Spec s;
  for (const auto& [height, half, corner] :
       {std::tuple{0.0, 60.0, false}, {120.0, 90.0, false}, {200.0, 60.0, true}, {220.0, 55.0, false}}) {
    ProfilePoint p;
    p.height = height, p.half_width = half, p.corner = corner;
    s.profile.push_back(p);
  }
  s.wall = 6.0;
  s.base.made = "solid";
  s.fill_below_lip = 20.0;
  return s;
}
Spec with_lid(const char* style) {
  Spec s = plain();
  s.lid.style = style;
  s.lid.clearance = 1.5;
  s.lid.knob.diameter = 20.0;
  return s;
}

struct Remark {
  const char *code, *path, *number;
  Severity severity;
  Spec spec;
};
Spec changed(Spec s, const std::function<void(Spec&)>& change) {
  change(s);
  return s;
}

std::vector<Remark> remarks() {
  constexpr Severity kNote = Severity::note, kWarning = Severity::warning;
  return {
      {"base.flat", "base/foot/recess", "20 mm", kNote,
       changed(plain(), [](Spec& s) { s.base.foot_width = 20.0, s.base.recess = 0.0; })},
      {"base.casts_hollow", "base/foot/width", "12 mm", kWarning,
       changed(plain(), [](Spec& s) { s.base.made = "drain-cast", s.base.foot_width = 20.0, s.base.recess = 3.0; })},
      {"base.drain_cast", "base/thickness", "9 mm", kWarning,
       changed(plain(), [](Spec& s) { s.base.made = "drain-cast", s.base.thickness = 9.0; })},
      {"capacity.far", "capacity/target", "0.5 ... 2", kWarning,
       changed(plain(), [](Spec& s) { s.capacity.target = 60e6; })},
      {"capacity.unusual", "capacity/target", "30 L", kWarning,
       changed(plain(), [](Spec& s) { s.capacity.target = 30e6; })},
      {"capacity.remains", "capacity/remains", "5 kg", kWarning,
       changed(plain(), [](Spec& s) { s.capacity.remains = 5.0; })},
      {"capacity.mouth", "profile", "50 mm", kNote,
       changed(plain(), [](Spec& s) { s.profile[2].half_width = 28.0, s.profile[3].half_width = 28.0; })},
      {"profile.twist_round", "profile", "28.6 deg", kNote,
       changed(plain(), [](Spec& s) { s.profile.front().twist = 0.0, s.profile.back().twist = 0.5; })},
      {"lid.no_knob", "lid/knob", "15 mm", kNote,
       changed(with_lid("cap"), [](Spec& s) { s.lid.knob.diameter = Length{}; })},
      {"lid.knob_thick", "lid/knob/diameter", "30 mm", kNote,
       changed(with_lid("cap"), [](Spec& s) { s.lid.knob.diameter = 30.0; })},
      {"lid.thin", "lid/wall", "2.5 mm", kWarning, changed(with_lid("cap"), [](Spec& s) { s.lid.wall = 2.0; })},
      {"lid.fill", "capacity/fill_below_lip", "25 mm", kNote,
       changed(with_lid("inset"), [](Spec& s) { s.lid.flange = 25.0; })},
      {"lid.overhang", "lid/seat", "6 mm", kNote,
       changed(with_lid("inset"), [](Spec& s) { s.lid.seat = 9.0, s.lid.flange = 10.0; })},
      {"lid.flange_short", "lid/flange", "2 mm", kNote,
       changed(with_lid("inset"), [](Spec& s) { s.lid.gallery.width = 6.0, s.lid.flange = 2.0; })},
  };
}

TEST(Remarks, EachNamesFieldNumberAndRemedy) {
  for (const Remark& r : remarks()) {
    const product::Product p = build(r.spec, material::built_in());
    std::string all;
    for (const Finding& f : p.findings) all += f.code + " [" + f.path + "] " + f.message + "\n";
    EXPECT_FALSE(has_errors(p.findings)) << r.code << "\n" << all;
    EXPECT_FALSE(p.shapes.empty()) << r.code;
    const auto it =
        std::find_if(p.findings.begin(), p.findings.end(), [&](const Finding& f) { return f.code == r.code; });
    ASSERT_NE(it, p.findings.end()) << r.code << "\n" << all;
    EXPECT_EQ(it->path, r.path);
    EXPECT_EQ(it->severity, r.severity) << r.code;
    EXPECT_NE((it->message + it->remedy).find(r.number), std::string::npos) << it->message << " " << it->remedy;
    EXPECT_FALSE(it->remedy.empty()) << r.code;
  }
}

TEST(Remarks, APlainUrnHasNone) {
  for (const Spec& s : {plain(), with_lid("cap")})
    for (const Finding& f : build(s, material::built_in()).findings)
      for (const Remark& r : remarks()) EXPECT_NE(f.code, r.code) << f.message;
}

}  // namespace
}  // namespace kerfkiln::urn
