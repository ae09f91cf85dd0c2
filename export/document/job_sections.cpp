#include "export/document/job_sections.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include "export/document/figure_text.hpp"
#include "export/document/sentence.hpp"
#include "export/drawing/picture.hpp"
#include "export/drawing/sketch_painter.hpp"

namespace kerfkiln::output {

using product::Figure;
using product::Product;

namespace {

constexpr double kReadMm = 3.4;       // text to be read at the bench
constexpr double kMainValueMm = 7.4;  // capitals of 5.4 mm
constexpr double kCaptionMm = 2.8;
constexpr int kPixelsPerMm = 8;  // 200 dots an inch

struct Shot {
  std::vector<std::string> caption;  // lines
  bool numbered = false;
  Picture picture;
  std::string problem;  // instead of a picture
};

Shot shot(const Product& piece, PictureMode mode, double width_mm, double height_mm) {
  Shot s;
  PictureOptions options;
  options.mode = mode;
  options.wide = static_cast<int>(width_mm * kPixelsPerMm);
  options.high = static_cast<int>(height_mm * kPixelsPerMm);
  Result<Picture> made = picture(piece, options);
  if (made)
    s.picture = std::move(*made);
  else
    s.problem = made.findings()[0].message;
  std::string words = mode == PictureMode::solid ? "As made" : "Components apart";
  s.numbered = s.picture.tags.size() > 1;
  for (std::size_t i = 0; s.numbered && i < s.picture.tags.size(); ++i)
    words += (i == 0 ? ":  " : "  ·  ") + std::to_string(i + 1) + "\u00a0" + s.picture.tags[i].label;
  s.caption = wrapped(words, width_mm, text_style(kCaptionMm));
  return s;
}

double caption_height(const Shot& s) { return static_cast<double>(s.caption.size()) * line_height(kCaptionMm); }

void draw_tag(Canvas& canvas, Vec2 at, const std::string& number) {
  const double r = 2.3;
  const plane::Loop disc = {{{at.x - r, at.y}, 1, -1}, {{at.x + r, at.y}, 1, -1}};
  canvas.fill({disc, {}, {}}, ink::kWhite, product::Hatch::none);
  canvas.path(disc, true, {0.2, ink::kText, {}});
  TextStyle style = text_style(3, true);
  style.anchor = product::Anchor::centre;
  canvas.text({at.x, at.y + 1.1}, number, style);
}

void draw_shot(Canvas& canvas, Vec2 corner, double w, double h, const Shot& s) {
  if (s.problem.empty()) {
    canvas.picture(corner, w, h, s.picture.rgb, s.picture.wide, s.picture.high);
  } else {
    const TextStyle style = text_style(3);
    draw_lines(canvas, {corner.x, corner.y + 4}, canvas.wrapped("No picture: " + s.problem, w, style), style);
  }
  for (std::size_t i = 0; s.numbered && i < s.picture.tags.size(); ++i) {
    const PictureTag& tag = s.picture.tags[i];
    draw_tag(canvas, {corner.x + tag.x * w / s.picture.wide, corner.y + tag.y * h / s.picture.high},
             std::to_string(i + 1));
  }
  draw_lines(canvas, {corner.x, corner.y + h}, s.caption, text_style(kCaptionMm, false, ink::kQuiet));
}

const std::vector<std::string>& leading_keys() {
  static const std::vector<std::string> keys = {"core.width",
                                                "core.depth",
                                                "core.height",
                                                "core.volume",
                                                "core.mass",
                                                "total.mass",
                                                "sag",
                                                "fired.height",
                                                "fired.max_width",
                                                "fired.max_depth",
                                                "fired.capacity",
                                                "oversize.factor",
                                                "cavity.height",
                                                "thrown.height",
                                                "fired.mass",
                                                "glue.area",
                                                "glue.mass",
                                                "outline.area",
                                                "outline.perimeter"};
  return keys;
}

// A figure to be read from afar.
struct Tile {
  std::vector<std::string> label;
  FigureText text;
  double width, height;
};

std::vector<Tile> tiles_of(const std::vector<Figure>& figures, job::Units units, double width) {
  std::vector<Tile> tiles;
  for (const Figure& f : figures) {
    Tile t{wrapped(f.label, width - 5, text_style(2.9)), figure_text(f, units), width, 0};
    t.height = static_cast<double>(t.label.size()) * line_height(2.9) + 13.5;
    tiles.push_back(std::move(t));
  }
  return tiles;
}

void draw_tile(Canvas& canvas, Vec2 corner, double height, const Tile& t) {
  canvas.fill_rectangle(corner, t.width, height, ink::kGround);
  draw_lines(canvas, {corner.x + 2.5, corner.y + 1.2}, t.label, text_style(2.9, false, ink::kQuiet));
  TextStyle value = text_style(kMainValueMm, true), unit = text_style(4);
  // A long value shrinks rather than leave its tile.
  const double room = t.width - 5, wide = text_width(t.text.value, value) + 1.4 + text_width(t.text.unit, unit);
  if (wide > room) value.height_mm *= room / wide, unit.height_mm *= room / wide;
  const double y = corner.y + height - 3.9;
  canvas.text({corner.x + 2.5, y}, t.text.value, value);
  canvas.text({corner.x + 2.5 + text_width(t.text.value, value) + 1.4, y}, t.text.unit, unit);
}

std::string joined(const std::vector<std::string>& list) {
  std::string out;
  for (const std::string& s : list) out += (out.empty() ? "" : ", ") + s;
  return out;
}

const char* severity_word(Severity s) {
  return s == Severity::error ? "ERROR" : s == Severity::warning ? "WARNING" : "NOTE";
}

}  // namespace

std::vector<Figure> main_figures(const Product& piece) {
  std::vector<Figure> list;
  for (const std::string& key : leading_keys())
    if (const Figure* f = piece.figure(key); f && list.size() < 8) list.push_back(*f);
  // Whole rows of four.
  const std::size_t wanted = list.size() <= 4 ? 4 : 8;
  for (const Figure& f : piece.figures) {
    if (list.size() >= wanted) break;
    if (std::none_of(list.begin(), list.end(), [&](const Figure& x) { return x.key == f.key; })) list.push_back(f);
  }
  return list;
}

void add_piece_head(Flow& flow, const Product& piece) {
  const auto lines = wrapped(piece.name, flow.width() - 62, text_style(10, true));
  const double height = static_cast<double>(lines.size()) * line_height(10) + 1;
  const std::string kind = piece.kind, make = "make " + std::to_string(piece.count);
  flow.block(height, [lines, kind, make, across = flow.width()](Canvas& canvas, Vec2 corner) {
    draw_lines(canvas, corner, lines, text_style(10, true));
    TextStyle right = text_style(7.4, true, ink::kBrick);
    right.anchor = product::Anchor::right;
    canvas.text({corner.x + across, corner.y + 10.2}, make, right);
    TextStyle quiet = text_style(3.6, false, ink::kQuiet);
    quiet.anchor = product::Anchor::right;
    canvas.text({corner.x + across - text_width(make, right) - 4, corner.y + 10.2}, kind, quiet);
  });
}

void add_lead(Flow& flow, const Product& piece, job::Units units) {
  const bool solid = has_picture(piece, PictureMode::solid), apart = has_picture(piece, PictureMode::exploded);
  const std::vector<Figure> figures = main_figures(piece);
  const double gap = 6;
  if (solid && apart) {
    const double width = (flow.width() - gap) / 2, height = width * 0.8;
    const auto left = std::make_shared<const Shot>(shot(piece, PictureMode::solid, width, height));
    const auto right = std::make_shared<const Shot>(shot(piece, PictureMode::exploded, width, height));
    flow.block(height + std::max(caption_height(*left), caption_height(*right)) + 3,
               [left, right, width, height, gap](Canvas& canvas, Vec2 corner) {
                 draw_shot(canvas, corner, width, height, *left);
                 draw_shot(canvas, {corner.x + width + gap, corner.y}, width, height, *right);
               });
  }
  if (solid == apart) {
    add_figure_tiles(flow, figures, units);
    return;
  }
  // One picture leaves room for the figures beside it.
  const double width = 98, tiles_left = width + gap, gap_tile = 4;
  const auto tiles =
      std::make_shared<const std::vector<Tile>>(tiles_of(figures, units, (flow.width() - tiles_left - gap_tile) / 2));
  const double rows = std::ceil(static_cast<double>(tiles->size()) / 2);
  double tile_height = 18;
  for (const Tile& t : *tiles) tile_height = std::max(tile_height, t.height);
  const double height = std::max(78.0, rows * (tile_height + gap_tile) - gap_tile);
  const auto image =
      std::make_shared<const Shot>(shot(piece, solid ? PictureMode::solid : PictureMode::exploded, width, height));
  flow.block(height + caption_height(*image) + 3, [=](Canvas& canvas, Vec2 corner) {
    draw_shot(canvas, corner, width, height, *image);
    for (std::size_t i = 0; i < tiles->size(); ++i) {
      const Tile& t = (*tiles)[i];
      draw_tile(canvas,
                {corner.x + tiles_left + static_cast<double>(i % 2) * (t.width + gap_tile),
                 corner.y + static_cast<double>(i / 2) * (tile_height + gap_tile)},
                tile_height, t);
    }
  });
}

void add_figure_tiles(Flow& flow, const std::vector<Figure>& figures, job::Units units) {
  const std::size_t columns = 4;
  const double gap = 4, width = (flow.width() - gap * (columns - 1)) / columns;
  const std::vector<Tile> all = tiles_of(figures, units, width);
  for (std::size_t start = 0; start < all.size(); start += columns) {
    const std::size_t end = std::min(start + columns, all.size());
    const auto row = std::make_shared<const std::vector<Tile>>(all.begin() + static_cast<std::ptrdiff_t>(start),
                                                               all.begin() + static_cast<std::ptrdiff_t>(end));
    double height = 0;
    for (const Tile& t : *row) height = std::max(height, t.height);
    flow.space(start == 0 ? 2 : 3);
    flow.block(height, [row, height, gap](Canvas& canvas, Vec2 corner) {
      for (std::size_t i = 0; i < row->size(); ++i)
        draw_tile(canvas, {corner.x + static_cast<double>(i) * ((*row)[i].width + gap), corner.y}, height, (*row)[i]);
    });
  }
}

void add_findings(Flow& flow, const Findings& findings) {
  if (findings.empty()) return;
  flow.heading("Findings", 14);
  const double indent = 24;
  for (const Finding& f : findings) {
    const TextStyle body = text_style(kReadMm), small = text_style(2.8, false, ink::kQuiet);
    const auto message = wrapped(sentence(f.message, true), flow.width() - indent, body);
    const auto remedy = f.remedy.empty() ? std::vector<std::string>{}
                                         : wrapped("Remedy: " + sentence(f.remedy, true), flow.width() - indent, body);
    const auto place = wrapped(f.path.empty() ? f.code : f.path + "  ·  " + f.code, flow.width() - indent, small);
    const double height = static_cast<double>(message.size() + remedy.size()) * line_height(kReadMm) +
                          static_cast<double>(place.size()) * line_height(2.8) + 3;
    const Severity severity = f.severity;
    flow.block(height, [=](Canvas& canvas, Vec2 corner) {
      const bool loud = severity != Severity::note;
      if (loud)
        canvas.fill_rectangle({corner.x, corner.y + 0.3}, 21, 5,
                              severity == Severity::error ? ink::kBrick : ink::kText);
      draw_lines(canvas, {corner.x + 1.6, corner.y + 0.9}, {severity_word(severity)},
                 text_style(3, true, loud ? ink::kWhite : ink::kQuiet));
      double y = corner.y;
      y += draw_lines(canvas, {corner.x + indent, y}, message, body);
      y += draw_lines(canvas, {corner.x + indent, y}, remedy, body);
      draw_lines(canvas, {corner.x + indent, y}, place, small);
    });
  }
}

void add_part_list(Flow& flow, const Product& piece, job::Units units) {
  if (piece.parts.empty()) return;
  product::Table t;
  t.title = "Full-size parts";
  t.columns = {
      "part", "material", "make", "hand", "face", "width " + length_unit(units), "height " + length_unit(units)};
  t.numeric = {false, false, true, false, false, true, true};
  for (const product::FlatPart& p : piece.parts) {
    plane::Box box{};
    bool any = false;
    for (const product::Stroke& s : p.sketch.strokes) {
      if (s.path.empty() || s.role == product::LineRole::construction) continue;
      const plane::Box b = plane::bounds(s.path);
      if (!any) box = b;
      any = true;
      box.low = {std::min(box.low.x, b.low.x), std::min(box.low.y, b.low.y)};
      box.high = {std::max(box.high.x, b.high.x), std::max(box.high.y, b.high.y)};
    }
    const LengthText length = length_text(units);
    t.rows.push_back({p.label, p.material, std::to_string(p.count), p.hand.empty() ? "either" : p.hand, p.face_up,
                      length(box.width()), length(box.depth())});
  }
  flow.table(t);
}

void add_steps(Flow& flow, const Product& piece) {
  if (piece.steps.empty()) return;
  flow.heading("Steps", 20);
  const double indent = 12;
  for (std::size_t i = 0; i < piece.steps.size(); ++i) {
    const auto title = wrapped(piece.steps[i].title, flow.width() - indent, text_style(3.9, true));
    const auto text = wrapped(piece.steps[i].text, flow.width() - indent, text_style(kReadMm));
    const double titles = static_cast<double>(title.size()) * line_height(3.9);
    const double height = titles + static_cast<double>(text.size()) * line_height(kReadMm) + 3.4;
    flow.block(height, [title, text, titles, indent, i](Canvas& canvas, Vec2 corner) {
      TextStyle number = text_style(6, true, ink::kBrick);
      number.anchor = product::Anchor::right;
      canvas.text({corner.x + indent - 4, corner.y + 5}, std::to_string(i + 1), number);
      draw_lines(canvas, {corner.x + indent, corner.y}, title, text_style(3.9, true));
      draw_lines(canvas, {corner.x + indent, corner.y + titles}, text, text_style(kReadMm));
    });
  }
}

void add_cautions(Flow& flow, const std::vector<Product>& pieces) {
  struct Caution {
    std::string words;
    std::vector<std::string> of;
  };
  std::vector<Caution> cautions;
  for (const Product& piece : pieces)
    for (const std::string& words : piece.cautions) {
      auto same = std::find_if(cautions.begin(), cautions.end(), [&](const Caution& c) { return c.words == words; });
      if (same == cautions.end()) same = cautions.insert(cautions.end(), {words, {}});
      if (same->of.empty() || same->of.back() != piece.name) same->of.push_back(piece.name);
    }
  if (cautions.empty()) return;
  std::vector<std::string> all;
  for (const Caution& c : cautions) {
    std::string of = c.of[0];
    for (std::size_t i = 1; i < c.of.size(); ++i) of += (i + 1 < c.of.size() ? ", " : " and ") + c.of[i];
    all.push_back(pieces.size() == 1             ? c.words
                  : c.of.size() == pieces.size() ? c.words + " (Every piece.)"
                                                 : c.words + " (Concerns " + of + ".)");
  }
  all.push_back("Local codes and the advice of licensed practice go before anything printed here.");
  const double pad = 5;
  std::vector<std::vector<std::string>> lines;
  double whole = 0;
  const auto height_of = [](std::size_t n) { return static_cast<double>(n) * line_height(kReadMm) + 2.2; };
  for (const std::string& words : all) {
    lines.push_back(wrapped(words, flow.width() - pad - 8, text_style(kReadMm)));
    whole += height_of(lines.back().size());
  }
  flow.heading("Cautions", std::min(whole, 150.0));  // in one box, unless it is a very long one
  for (const std::vector<std::string>& one : lines) {
    const double height = height_of(one.size());
    flow.block(height, [one, height, pad, across = flow.width()](Canvas& canvas, Vec2 corner) {
      canvas.fill_rectangle(corner, across, height + 0.05, ink::kGround);
      canvas.fill_rectangle(corner, 1.6, height + 0.05, ink::kBrick);
      canvas.text({corner.x + pad, corner.y + 1.1 + 1.02 * kReadMm}, "!", text_style(kReadMm, true, ink::kBrick));
      draw_lines(canvas, {corner.x + pad + 4, corner.y + 1.1}, one, text_style(kReadMm));
    });
  }
}

namespace {

void add_figure_table(Flow& flow, const std::string& title, const std::vector<Figure>& figures, job::Units units,
                      bool bands) {
  if (figures.empty()) return;
  const std::vector<std::string> heads = {"quantity", "value", "unit"};
  product::Table t;
  t.title = title;
  // Long lists without ranges go in two columns, read down the left one first.
  const std::size_t columns = !bands && figures.size() > 12 ? 2 : 1;
  const std::size_t rows = (figures.size() + columns - 1) / columns;
  for (std::size_t c = 0; c < columns; ++c) {
    t.columns.insert(t.columns.end(), heads.begin(), heads.end());
    for (const bool numeric : {false, true, false}) t.numeric.push_back(numeric);
  }
  if (bands) t.columns.push_back("range"), t.numeric.push_back(false);
  for (std::size_t r = 0; r < rows; ++r) {
    std::vector<std::string> row;
    for (std::size_t i = r; i < figures.size(); i += rows) {
      const FigureText text = figure_text(figures[i], units);
      row.insert(row.end(), {figures[i].label, text.value, text.unit});
      if (bands) row.push_back(text.band);
    }
    t.rows.push_back(std::move(row));
  }
  flow.table(t, {columns == 2 ? 3.0 : 3.3, columns == 2 ? 150.0 : 70.0, columns == 2 ? 6.0 : 14.0});
}

}  // namespace

void add_quantities(Flow& flow, const std::string& title, const std::vector<Figure>& figures, job::Units units) {
  std::vector<Figure> sure, ranged;
  for (const Figure& f : figures) (figure_text(f, units).band.empty() ? sure : ranged).push_back(f);
  add_figure_table(flow, title, sure, units, false);
  add_figure_table(flow, sure.empty() ? title : title + ", with their ranges", ranged, units, true);
}

void add_origins(Flow& flow, const std::string& title, const std::vector<Figure>& figures, job::Units units) {
  if (figures.empty()) return;
  product::Table t;
  t.title = title;
  t.columns = {"key", "quantity", "value", "how it is computed", "from"};
  t.numeric = {false, false, true, false, false};
  for (const Figure& f : figures)
    t.rows.push_back({f.key, f.label, figure_text(f, units).joined(), f.how, joined(f.from)});
  flow.table(t, {2.4, 70, 9});
}

}  // namespace kerfkiln::output
