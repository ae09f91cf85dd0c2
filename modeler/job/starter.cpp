// A first design for each family: small, makeable, every field explained where it first appears.
#include "modeler/job/describe.hpp"
#include "modeler/job/design.hpp"
#include "modeler/job/writer.hpp"

namespace kerfkiln::job {
namespace {

template <class M>
M typed(const char* written) {
  M m;
  m.written = written;
  return m;
}
Length mm(const char* written) { return typed<Length>(written); }

cushion::Spec seat() {
  cushion::Spec s;
  s.name = "seat";
  s.outline = cushion::RectangleSpec{mm("480"), mm("460"), mm("40")};
  s.layers = {{"firm", mm("50 mm"), {}}, {"medium", mm("30 mm"), {}}, {"soft", mm("20 mm"), {}}};
  s.top.sides = {{"front", {"ellipse", {mm("50"), mm("35")}}}, {"other", {"round", {mm("20")}}}};
  s.bottom.sides = {{"other", {"square", {}}}};
  s.batting = "standard";
  s.cover = "hide";
  return s;
}

urn::ProfilePoint point(const char* height, const char* half_width, bool corner = false) {
  urn::ProfilePoint p;
  p.height = mm(height);
  p.half_width = mm(half_width);
  p.corner = corner;
  return p;
}

urn::Spec jar() {
  urn::Spec s;
  s.name = "urn";
  s.body = "stoneware";
  s.profile = {point("0", "60"), point("90", "92"), point("190", "80"), point("215", "58", true),
               point("240", "56", true)};
  // Squared in the belly, round at foot and neck: the numbers between are interpolated along the height.
  for (std::size_t i = 0; i < s.profile.size(); ++i)
    s.profile[i].squareness = typed<Plain>(i == 1 || i == 2 ? "4" : "2");
  s.wall = mm("6 mm");
  s.base.thickness = mm("7 mm");
  s.base.foot_width = mm("10 mm");
  s.base.recess = mm("3 mm");
  s.fill_below_lip = mm("12 mm");
  s.lid.style = "cap";
  s.lid.flange = mm("12 mm");
  s.lid.knob.diameter = mm("24 mm");
  s.mould.model = material::kDefaultModel;
  s.mould.plaster = material::kDefaultPlaster;
  return s;
}

}  // namespace

std::string starter(const std::string& kind) {
  if (kind != "cushion" && kind != "urn") return {};
  Design d;
  d.title = "My first " + kind;
  d.order.customer = "Workshop";
  d.order.drawing = "001";
  d.pieces.push_back(kind == "cushion" ? Piece(seat()) : Piece(jar()));
  Writer writer(d.units, Writer::Style::explained);
  describe(writer, d);
  JsonValue v = writer.take();
  v.comment =
      "A kerfkiln design. Lengths without a unit are in \"units\"; \"18 mm\", \"1 1/2 in\" or \"4 cm\" may stand "
      "anywhere. Comments like this one are yours to change.";
  return pretty(v) + "\n";
}

}  // namespace kerfkiln::job
