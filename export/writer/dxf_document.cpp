// Order and content follow the published DXF reference of release 2000: sections HEADER, CLASSES, TABLES, BLOCKS,
// ENTITIES, OBJECTS.
#include "export/writer/dxf_document.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <system_error>

namespace kerfkiln::output {
namespace {

// Fixed handles. Owners must name them before the owned appear, so they are constants rather than counted.
enum Fixed : unsigned {
  kVportTable = 0x1,
  kLtypeTable,
  kLayerTable,
  kStyleTable,
  kViewTable,
  kUcsTable,
  kAppidTable,
  kDimstyleTable,
  kBlockTable,
  kRoot,
  kGroups,
  kLayouts,
  kModelLayout,
  kPaperLayout,
  kModelRecord,
  kPaperRecord,
  kModelBlock,
  kModelEnd,
  kPaperBlock,
  kPaperEnd,
  kVport,
  kByBlock,
  kByLayer,
  kContinuous,
  kDashed,
  kChain,
  kDotted,
  kStyle,
  kAppid,
  kDimstyle,
  kLayerZero,
  kFirstLayer = 0x40
};

void header(DxfWriter& w, plane::Box box, unsigned next_handle) {
  w.start_section("HEADER");
  w.text(9, "$ACADVER"), w.text(1, "AC1015");
  w.text(9, "$DWGCODEPAGE"), w.text(3, "ANSI_1252");
  w.text(9, "$INSBASE"), w.point(10, {}, 0);
  w.text(9, "$EXTMIN"), w.point(10, box.low, 0);
  w.text(9, "$EXTMAX"), w.point(10, box.high, 0);
  w.text(9, "$LIMMIN"), w.point(10, box.low);
  w.text(9, "$LIMMAX"), w.point(10, box.high);
  w.text(9, "$LTSCALE"), w.number(40, 1);
  w.text(9, "$TEXTSTYLE"), w.text(7, "Standard");
  w.text(9, "$CLAYER"), w.text(8, "0");
  w.text(9, "$CELTYPE"), w.text(6, "ByLayer");
  w.text(9, "$CECOLOR"), w.integer(62, 256);
  w.text(9, "$DIMSTYLE"), w.text(2, "Standard");
  w.text(9, "$LUNITS"), w.integer(70, 2);
  w.text(9, "$LUPREC"), w.integer(70, 4);
  w.text(9, "$HANDSEED"), w.handle(5, next_handle);
  w.text(9, "$INSUNITS"), w.integer(70, 4);
  w.text(9, "$MEASUREMENT"), w.integer(70, 1);
  w.end_section();
  w.start_section("CLASSES");
  w.end_section();
}

void start_table(DxfWriter& w, std::string_view name, Fixed handle, int entries) {
  w.text(0, "TABLE"), w.text(2, name), w.handle(5, handle), w.handle(330, 0);
  w.text(100, "AcDbSymbolTable"), w.integer(70, entries);
}
void start_record(DxfWriter& w, std::string_view type, unsigned handle, Fixed owner, std::string_view subclass,
                  std::string_view name) {
  w.text(0, type), w.handle(type == "DIMSTYLE" ? 105 : 5, handle), w.handle(330, owner);
  w.text(100, "AcDbSymbolTableRecord"), w.text(100, subclass), w.text(2, name);
}
void end_table(DxfWriter& w) { w.text(0, "ENDTAB"); }

void viewport_table(DxfWriter& w, plane::Box box) {
  const Vec2 middle = 0.5 * (box.low + box.high);
  const double height = std::max({box.depth(), box.width(), 1.0});
  start_table(w, "VPORT", kVportTable, 1);
  start_record(w, "VPORT", kVport, kVportTable, "AcDbViewportTableRecord", "*Active");
  w.integer(70, 0), w.point(10, {0, 0}), w.point(11, {1, 1}), w.point(12, middle), w.point(13, {0, 0});
  w.point(14, {10, 10}), w.point(15, {10, 10}), w.point(16, {0, 0}, 1), w.point(17, {0, 0}, 0);
  w.number(40, 1.05 * height), w.number(41, 1.5), w.number(42, 50), w.number(43, 0), w.number(44, 0);
  w.number(50, 0), w.number(51, 0);
  for (int code : {71, 72, 73, 74, 75, 76, 77, 78}) w.integer(code, code == 72 ? 1000 : code == 73 ? 1 : 0);
  end_table(w);
}

void linetype(DxfWriter& w, Fixed handle, std::string_view name, std::string_view description,
              const std::vector<double>& pattern_mm) {
  double length = 0;
  for (double d : pattern_mm) length += std::abs(d);
  start_record(w, "LTYPE", handle, kLtypeTable, "AcDbLinetypeTableRecord", name);
  w.integer(70, 0), w.text(3, description), w.integer(72, 65);
  w.integer(73, static_cast<int>(pattern_mm.size())), w.number(40, length);
  for (double d : pattern_mm) w.number(49, d), w.integer(74, 0);
}

void style_tables(DxfWriter& w, const std::vector<DxfLayer>& layers) {
  start_table(w, "LTYPE", kLtypeTable, 6);
  linetype(w, kByBlock, "ByBlock", "", {});
  linetype(w, kByLayer, "ByLayer", "", {});
  linetype(w, kContinuous, "Continuous", "Solid line", {});
  linetype(w, kDashed, "DASHED", "Dashed __ __ __", {6, -3});
  linetype(w, kChain, "CHAIN", "Long dash, short dash ____ _ ____", {12, -3, 2, -3});
  linetype(w, kDotted, "DOTTED", "Short dashes . . . .", {1, -2});
  end_table(w);

  start_table(w, "LAYER", kLayerTable, static_cast<int>(layers.size()) + 1);
  start_record(w, "LAYER", kLayerZero, kLayerTable, "AcDbLayerTableRecord", "0");
  w.integer(70, 0), w.integer(62, 7), w.text(6, "Continuous");
  for (std::size_t i = 0; i < layers.size(); ++i) {
    start_record(w, "LAYER", kFirstLayer + static_cast<unsigned>(i), kLayerTable, "AcDbLayerTableRecord",
                 layers[i].name);
    w.integer(70, 0), w.integer(62, layers[i].colour), w.text(6, layers[i].linetype);
  }
  end_table(w);

  start_table(w, "STYLE", kStyleTable, 1);
  start_record(w, "STYLE", kStyle, kStyleTable, "AcDbTextStyleTableRecord", "Standard");
  w.integer(70, 0), w.number(40, 0), w.number(41, 1), w.number(50, 0), w.integer(71, 0), w.number(42, 2.5);
  w.text(3, "txt"), w.text(4, "");
  end_table(w);
  start_table(w, "VIEW", kViewTable, 0);
  end_table(w);
  start_table(w, "UCS", kUcsTable, 0);
  end_table(w);
  start_table(w, "APPID", kAppidTable, 1);
  start_record(w, "APPID", kAppid, kAppidTable, "AcDbRegAppTableRecord", "ACAD");
  w.integer(70, 0);
  end_table(w);
  start_table(w, "DIMSTYLE", kDimstyleTable, 1);
  w.text(100, "AcDbDimStyleTable");
  start_record(w, "DIMSTYLE", kDimstyle, kDimstyleTable, "AcDbDimStyleTableRecord", "Standard");
  w.integer(70, 0);
  end_table(w);
}

void block_record(DxfWriter& w, Fixed handle, std::string_view name, Fixed layout) {
  start_record(w, "BLOCK_RECORD", handle, kBlockTable, "AcDbBlockTableRecord", name);
  w.handle(340, layout);
}

void block(DxfWriter& w, Fixed record, Fixed begin, Fixed end, std::string_view name, bool paper) {
  w.text(0, "BLOCK"), w.handle(5, begin), w.handle(330, record), w.text(100, "AcDbEntity");
  if (paper) w.integer(67, 1);
  w.text(8, "0"), w.text(100, "AcDbBlockBegin"), w.text(2, name), w.integer(70, 0), w.point(10, {}, 0);
  w.text(3, name), w.text(1, "");
  w.text(0, "ENDBLK"), w.handle(5, end), w.handle(330, record), w.text(100, "AcDbEntity");
  if (paper) w.integer(67, 1);
  w.text(8, "0"), w.text(100, "AcDbBlockEnd");
}

void layout(DxfWriter& w, Fixed handle, std::string_view name, int tab, Fixed record, plane::Box box) {
  w.text(0, "LAYOUT"), w.handle(5, handle), w.handle(330, kLayouts);
  // Plot settings: no printer, A4, millimetres, 1:1. 1024 in group 70 says that the model tab is meant.
  w.text(100, "AcDbPlotSettings"), w.text(1, ""), w.text(2, "none_device"), w.text(4, ""), w.text(6, "");
  for (int code : {40, 41, 42, 43}) w.number(code, 0);
  w.number(44, 210), w.number(45, 297);
  for (int code : {46, 47, 48, 49, 140, 141}) w.number(code, 0);
  w.number(142, 1), w.number(143, 1), w.integer(70, tab == 0 ? 1024 : 0), w.integer(72, 1), w.integer(73, 0);
  w.integer(74, tab == 0 ? 1 : 5), w.text(7, ""), w.integer(75, 16), w.number(147, 1), w.number(148, 0);
  w.number(149, 0);
  w.text(100, "AcDbLayout"), w.text(1, name), w.integer(70, 1), w.integer(71, tab);
  w.point(10, box.low), w.point(11, box.high), w.point(12, {}, 0), w.point(14, box.low, 0), w.point(15, box.high, 0);
  w.number(146, 0), w.point(13, {}, 0), w.point(16, {1, 0}, 0), w.point(17, {0, 1}, 0), w.integer(76, 0);
  w.handle(330, record);
}

void objects(DxfWriter& w, plane::Box box) {
  const auto dictionary = [&w](Fixed handle, unsigned owner) {
    w.text(0, "DICTIONARY"), w.handle(5, handle), w.handle(330, owner), w.text(100, "AcDbDictionary");
    w.integer(281, 1);
  };
  w.start_section("OBJECTS");
  dictionary(kRoot, 0);
  w.text(3, "ACAD_GROUP"), w.handle(350, kGroups);
  w.text(3, "ACAD_LAYOUT"), w.handle(350, kLayouts);
  dictionary(kGroups, kRoot);
  dictionary(kLayouts, kRoot);
  w.text(3, "Model"), w.handle(350, kModelLayout);
  w.text(3, "Layout1"), w.handle(350, kPaperLayout);
  layout(w, kModelLayout, "Model", 0, kModelRecord, box);
  layout(w, kPaperLayout, "Layout1", 1, kPaperRecord, {{0, 0}, {210, 297}});
  w.end_section();
}

}  // namespace

void DxfWriter::text(int code, std::string_view value) {
  std::array<char, 8> digits;
  const char* end = std::to_chars(digits.data(), digits.data() + digits.size(), code).ptr;
  const auto length = static_cast<std::size_t>(end - digits.data());
  out_.append(length < 3 ? 3 - length : 0, ' ');
  out_.append(digits.data(), length);
  out_ += "\r\n";
  out_ += value;
  out_ += "\r\n";
}
void DxfWriter::number(int code, double value) {
  if (std::abs(value) < 1e-12) value = 0;  // rounding dust, and no "-0"
  std::array<char, 400> digits;            // the longest double in fixed notation has 309 digits and a fraction
  const auto [end, error] =
      std::to_chars(digits.data(), digits.data() + digits.size(), value, std::chars_format::fixed);
  const std::string_view shown(digits.data(), static_cast<std::size_t>(end - digits.data()));
  // Some readers tell real from integer by the point.
  text(code, shown.find('.') == std::string_view::npos ? std::string(shown) + ".0" : std::string(shown));
}
void DxfWriter::integer(int code, int value) {
  std::array<char, 16> digits;
  text(code, {digits.data(), std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr});
}
void DxfWriter::handle(int code, unsigned value) {
  std::array<char, 16> digits;
  const char* end = std::to_chars(digits.data(), digits.data() + digits.size(), value, 16).ptr;
  std::string upper(digits.data(), static_cast<std::size_t>(end - digits.data()));
  for (char& c : upper)
    if (c >= 'a') c = static_cast<char>(c - 'a' + 'A');
  text(code, upper);
}
void DxfWriter::point(int code, Vec2 p) { number(code, p.x), number(code + 10, p.y); }
void DxfWriter::point(int code, Vec2 p, double z) { point(code, p), number(code + 20, z); }
void DxfWriter::start_section(std::string_view name) { text(0, "SECTION"), text(2, name); }
void DxfWriter::start_entity(std::string_view type, std::string_view layer, std::string_view subclass) {
  text(0, type), handle(5, next_++), handle(330, kModelRecord);
  text(100, "AcDbEntity"), text(8, layer), text(100, subclass);
}

std::string dxf_document(const DxfWriter& entities, plane::Box box, const std::vector<DxfLayer>& layers) {
  DxfWriter head, tail;
  header(head, box, entities.next_handle());
  head.start_section("TABLES");
  viewport_table(head, box);
  style_tables(head, layers);
  start_table(head, "BLOCK_RECORD", kBlockTable, 2);
  block_record(head, kModelRecord, "*Model_Space", kModelLayout);
  block_record(head, kPaperRecord, "*Paper_Space", kPaperLayout);
  end_table(head);
  head.end_section();
  head.start_section("BLOCKS");
  block(head, kModelRecord, kModelBlock, kModelEnd, "*Model_Space", false);
  block(head, kPaperRecord, kPaperBlock, kPaperEnd, "*Paper_Space", true);
  head.end_section();
  head.start_section("ENTITIES");
  tail.end_section();
  objects(tail, box);
  tail.text(0, "EOF");
  return head.bytes() + entities.bytes() + tail.bytes();
}

}  // namespace kerfkiln::output
