#include "modeler/product/lengths.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::product {
namespace {

constexpr char kMark = '\x1f';  // no text of a design may hold it
constexpr double kInch = 25.4;
constexpr double kTapeFrom = kInch / 2;  // what is shorter is measured with a caliper

enum class Style { tape, caliper };

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) >= 0x80;
}

struct Number {
  double mm = 0;
  std::size_t decimals = 0;
};
std::optional<Number> number(std::string_view text) {
  const std::optional<double> value = parse_number(text);
  if (!value || text.find_first_of("eE") != std::string_view::npos) return std::nullopt;
  const std::size_t point = text.find('.');
  return Number{*value, point == std::string_view::npos ? 0 : text.size() - point - 1};
}

long in_32(double mm) { return std::lround(std::abs(mm) / kInch * 32); }

Style style_of(const Number& n) {
  const double off = std::abs(std::abs(n.mm) - static_cast<double>(in_32(n.mm)) * kInch / 32);
  // What was printed stands for anything that rounds to it, but hardly for a 32nd that is further off than this.
  if (off <= std::min(0.5 * std::pow(10.0, -static_cast<double>(n.decimals)), 0.05) + 1e-9) return Style::tape;
  return n.decimals <= 1 && std::abs(n.mm) >= kTapeFrom ? Style::tape : Style::caliper;
}

std::string written(const Number& n, Style style) {
  if (style == Style::caliper) return trimmed_number(n.mm / kInch, 3);
  const long parts = in_32(n.mm), whole = parts / 32, rest = parts % 32;
  std::string text = n.mm < 0 && parts > 0 ? "-" : "";
  if (whole > 0 || rest == 0) text += std::to_string(whole);
  if (rest == 0) return text;
  const long common = std::gcd(rest, 32L);
  return text + (whole > 0 ? " " : "") + std::to_string(rest / common) + "/" + std::to_string(32 / common);
}

// Where the number that ends before `end` begins; `end` if none does.
std::size_t number_start(std::string_view s, std::size_t end) {
  std::size_t i = end;
  while (i > 0 && (is_digit(s[i - 1]) || s[i - 1] == '.')) --i;
  while (i < end && s[i] == '.') ++i;
  if (i == end || (i > 0 && is_letter(s[i - 1]) && s[i - 1] != '\xb1' && s[i - 1] != '\x98')) return end;
  const bool sign = i > 0 && s[i - 1] == '-' && (i == 1 || s[i - 2] == ' ' || s[i - 2] == '(');
  return sign ? i - 1 : i;
}

struct Span {
  std::size_t from, to;
};

// The numbers that belong to a unit at `end`: "a", "a to b", "(a, b)".
std::vector<Span> numbers_before(std::string_view s, std::size_t end) {
  std::vector<Span> out;
  const bool pair = end > 0 && s[end - 1] == ')';
  std::size_t at = pair ? end - 1 : end;
  for (;;) {
    const std::size_t from = number_start(s, at);
    if (from == at) break;
    out.push_back({from, at});
    const std::string_view link = pair ? ", " : " to ";
    if (from < link.size() || s.substr(from - link.size(), link.size()) != link) break;
    at = from - link.size();
  }
  if (pair && (out.empty() || out.back().from == 0 || s[out.back().from - 1] != '(')) out.clear();
  std::reverse(out.begin(), out.end());
  return out;
}

bool word_at(std::string_view s, std::size_t i, std::string_view word) {
  if (s.substr(i, word.size()) != word) return false;
  const auto apart = [](char c) { return is_letter(c) || is_digit(c) || c == '/' || c == '_'; };
  const bool before = i > 0 && (is_letter(s[i - 1]) || s[i - 1] == '/' || s[i - 1] == '_') && s[i - 1] != '\xa0';
  return !before && (i + word.size() >= s.size() || !apart(s[i + word.size()]));
}

// One text without names of the maker in it.
std::string in_inches(std::string_view s) {
  struct Change {
    Span span;
    std::string text;
  };
  std::vector<Change> changes;
  const auto change_number = [&](Span n) {
    const std::string_view text = s.substr(n.from, n.to - n.from);
    if (number(text) && (changes.empty() || changes.back().span.to <= n.from)) changes.push_back({n, inches(text)});
  };
  for (std::size_t i = 0; i < s.size(); ++i) {
    if (s[i] == kMark) {
      if (const std::size_t from = number_start(s, i); from < i) change_number({from, i});
    } else if (word_at(s, i, "mm")) {
      const std::size_t gap = i > 0 && s[i - 1] == ' ' ? i - 1 : i > 1 && s.substr(i - 2, 2) == "\u00a0" ? i - 2 : i;
      for (const Span& n : numbers_before(s, gap)) change_number(n);
      changes.push_back({{i, i + 2}, gap == i && i > 0 && is_digit(s[i - 1]) ? " in" : "in"});
    }
  }
  std::string out;
  std::size_t at = 0;
  for (const Change& c : changes) {
    out += s.substr(at, c.span.from - at);
    out += c.text;
    at = c.span.to;
  }
  return out += s.substr(at);
}

std::string without_marks(std::string text) {
  std::erase(text, kMark);
  return text;
}

// "12.5", or "56 to 92": the numbers of a cell that holds nothing else.
std::vector<Span> cell_numbers(std::string_view cell) {
  std::vector<Span> out = numbers_before(cell, cell.size());
  if (!out.empty() && out.front().from != 0) out.clear();
  return out;
}

bool names_mm(std::string_view head) {
  for (std::size_t i = 0; i < head.size(); ++i)
    if (word_at(head, i, "mm")) return true;
  return false;
}

class TableInInches {
 public:
  TableInInches(Table& t, const std::vector<std::string>& names) : table_(t), names_(names) {}
  void run() {
    for (std::size_t c = 0; c < table_.columns.size(); ++c)
      if (names_mm(table_.columns[c])) cells(c, std::nullopt);
    for (std::size_t r = 0; r < table_.rows.size(); ++r) {
      std::vector<std::string>& row = table_.rows[r];
      if (row.empty() || !row[0].ends_with(" mm") || !cell_numbers(row[0].substr(0, row[0].size() - 3)).empty())
        continue;
      for (std::size_t c = 1; c < row.size(); ++c)
        if (!names_mm(table_.columns.at(c))) cells(c, r);
    }
    table_.title = told_in(table_.title, Units::inch, names_);
    for (std::string& head : table_.columns) head = told_in(head, Units::inch, names_);
    for (std::vector<std::string>& row : table_.rows)
      for (std::string& cell : row) cell = told_in(cell, Units::inch, names_);
  }

 private:
  // One column, or one cell of it. A column is read down, so all of it is written alike.
  void cells(std::size_t column, std::optional<std::size_t> only) {
    Style style = Style::tape;
    const auto each = [&](auto visit) {
      for (std::size_t r = 0; r < table_.rows.size(); ++r)
        if ((!only || r == *only) && column < table_.rows[r].size()) visit(table_.rows[r][column]);
    };
    each([&](std::string& cell) {
      for (const Span& s : cell_numbers(cell))
        if (style_of(*number(std::string_view(cell).substr(s.from, s.to - s.from))) == Style::caliper)
          style = Style::caliper;
    });
    each([&](std::string& cell) {
      const std::vector<Span> spans = cell_numbers(cell);
      for (auto s = spans.rbegin(); s != spans.rend(); ++s)
        cell.replace(s->from, s->to - s->from,
                     written(*number(std::string_view(cell).substr(s->from, s->to - s->from)), style));
    });
  }
  Table& table_;
  const std::vector<std::string>& names_;
};

// Visits every text of a product that people read.
template <class F>
void each_text(View& v, F tell) {
  tell(v.caption);
  for (Label& l : v.sketch.labels) tell(l.text);
  for (DimensionLine& d : v.sketch.dimensions) tell(d.text);
}

}  // namespace

std::string bare_length(std::string_view n) { return std::string(n) + kMark; }

std::size_t shown_size(std::string_view text) {
  return text.size() - static_cast<std::size_t>(std::count(text.begin(), text.end(), kMark));
}

std::string inches(std::string_view millimetres) {
  const std::optional<Number> n = number(millimetres);
  return n ? written(*n, style_of(*n)) : std::string(millimetres);
}

std::string told_in(std::string_view text, Units units, const std::vector<std::string>& names) {
  if (units == Units::mm) return without_marks(std::string(text));
  // Cut at the maker's own names, longest first, so that what lies between is ours.
  for (const std::string& name : names)
    if (const std::size_t at = text.find(name); at != std::string_view::npos && !name.empty())
      return told_in(text.substr(0, at), units, names) + name + told_in(text.substr(at + name.size()), units, names);
  return without_marks(in_inches(text));
}

void tell_in(Table& t, Units units, const std::vector<std::string>& names) {
  if (units == Units::inch) return TableInInches(t, names).run();
  t.title = without_marks(std::move(t.title));
  for (std::string& head : t.columns) head = without_marks(std::move(head));
  for (std::vector<std::string>& row : t.rows)
    for (std::string& cell : row) cell = without_marks(std::move(cell));
}

void tell_in(View& v, Units units, const std::vector<std::string>& names) {
  each_text(v, [&](std::string& s) { s = told_in(s, units, names); });
}

void tell_in(Findings& findings, Units units, const std::vector<std::string>& names) {
  for (Finding& f : findings) {
    f.message = told_in(f.message, units, names);
    f.remedy = told_in(f.remedy, units, names);
  }
}

void tell_in(std::vector<Figure>& figures, Units units, const std::vector<std::string>& names) {
  for (Figure& f : figures) {
    f.label = told_in(f.label, units, names);
    f.how = told_in(f.how, units, names);
  }
}

void tell_in(Product& p, Units units, const std::vector<std::string>& names) {
  const auto tell = [&](std::string& s) { s = told_in(s, units, names); };
  for (Shape& s : p.shapes) tell(s.label);
  p.parts.change([units, names](FlatPart& part) {
    for (std::string* s : {&part.label, &part.material, &part.face_up}) *s = told_in(*s, units, names);
    for (Label& l : part.sketch.labels) l.text = told_in(l.text, units, names);
    for (DimensionLine& d : part.sketch.dimensions) d.text = told_in(d.text, units, names);
  });
  p.views.change([units, names](View& v) { tell_in(v, units, names); });
  for (Table& t : p.tables) tell_in(t, units, names);
  for (DetailSheet& d : p.sheets) {
    tell(d.title);
    d.views.change([units, names](View& v) { tell_in(v, units, names); });
    for (Table& t : d.tables) tell_in(t, units, names);
  }
  for (Step& s : p.steps) tell(s.title), tell(s.text);
  for (std::string& s : p.cautions) tell(s);
  for (Offer& o : p.offers) tell(o.label), tell(o.help);
  tell_in(p.figures, units, names);
  tell_in(p.findings, units, names);
}

}  // namespace kerfkiln::product
