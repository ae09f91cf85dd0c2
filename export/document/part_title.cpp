#include "export/document/part_title.hpp"

#include <algorithm>

#include "export/document/flow.hpp"
#include "export/document/scale_bars.hpp"
#include "export/drawing/sketch_painter.hpp"

namespace kerfkiln::output {

namespace {

constexpr double kNameMm = 4.8, kMakeMm = 3.6, kStateMm = 2.8, kLegendMm = 2.6, kBarsMm = 14, kSampleMm = 12;

std::string joined(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& w : words) out += (out.empty() ? "" : "  ·  ") + w;
  return out;
}

struct Strip {
  std::vector<std::string> name, make, state;
  std::vector<Vec2> legend;  // where each role's sample starts, from the legend's top left
  double legend_height = 0, words_height = 0;
};

Strip lay_out(const PartTitle& t, double width) {
  Strip s;
  s.name = wrapped(t.name, width - 24, text_style(kNameMm, true));
  s.make = wrapped(joined(t.make), width, text_style(kMakeMm));
  s.state = wrapped(joined(t.state), width, text_style(kStateMm));
  s.words_height = 2 + static_cast<double>(s.name.size()) * line_height(kNameMm) +
                   static_cast<double>(s.make.size()) * line_height(kMakeMm) +
                   static_cast<double>(s.state.size()) * line_height(kStateMm) + 1;
  double x = 0, y = 0;
  for (const product::LineRole r : t.roles) {
    const double w = kSampleMm + 1.5 + text_width(role_name(r), text_style(kLegendMm)) + 5;
    if (x > 0 && x + w > width) x = 0, y += line_height(kLegendMm) + 0.6;
    s.legend.push_back({x, y});
    x += w;
  }
  s.legend_height = t.roles.empty() ? 0 : y + line_height(kLegendMm) + 1.5;
  return s;
}

}  // namespace

std::string PartTitle::one_line() const { return name + "  ·  " + joined(make) + "  ·  " + joined(state); }

PartTitle part_title(const JobInfo& info, const product::Product& piece, const product::FlatPart& part) {
  PartTitle t;
  t.name = piece.name + "  ·  " + part.label;
  t.make.push_back("make " + std::to_string(part.count));
  t.make.push_back(part.hand.empty() ? "either hand" : part.hand + " hand");
  if (!part.face_up.empty()) t.make.push_back(part.face_up);
  if (!part.material.empty()) t.make.push_back(part.material);
  const auto add = [&](const std::string& caption, const std::string& value) {
    if (!value.empty()) t.state.push_back(caption + value);
  };
  add("order ", info.order.customer);
  add("drawing ", info.order.drawing);
  add("rev ", info.order.revision);
  add("", info.order.date);
  add("design ", info.hash);
  t.state.push_back("1:1");
  t.roles = roles_of(part.sketch);
  return t;
}

double title_strip_height(const PartTitle& t, double width_mm) {
  const Strip s = lay_out(t, width_mm);
  return s.words_height + s.legend_height + kBarsMm;
}

void draw_title_strip(Canvas& canvas, Vec2 corner, double width_mm, const PartTitle& t, const std::string& page) {
  const Strip s = lay_out(t, width_mm);
  canvas.line(corner, {corner.x + width_mm, corner.y}, {0.7, ink::kText, {}});
  double y = corner.y + 2;
  TextStyle right = text_style(kStateMm, false, ink::kQuiet);
  right.anchor = product::Anchor::right;
  canvas.text({corner.x + width_mm, y + kNameMm}, page, right);
  y += draw_lines(canvas, {corner.x, y}, s.name, text_style(kNameMm, true));
  y += draw_lines(canvas, {corner.x, y}, s.make, text_style(kMakeMm));
  draw_lines(canvas, {corner.x, y}, s.state, text_style(kStateMm, false, ink::kQuiet));
  y = corner.y + s.words_height;
  for (std::size_t i = 0; i < t.roles.size(); ++i) {
    const Vec2 at{corner.x + s.legend[i].x, y + s.legend[i].y};
    canvas.line({at.x, at.y + 0.62 * kLegendMm}, {at.x + kSampleMm, at.y + 0.62 * kLegendMm}, line_style(t.roles[i]));
    draw_lines(canvas, {at.x + kSampleMm + 1.5, at.y}, {role_name(t.roles[i])}, text_style(kLegendMm));
  }
  y += s.legend_height;
  draw_mm_bar(canvas, {corner.x, y + 5}, 100);
  draw_inch_bar(canvas, {corner.x, y + 11.5}, 4);
}

}  // namespace kerfkiln::output
