#include "viewer/state/field.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/base/number_text.hpp"

namespace kerfkiln::viewer {
namespace {

constexpr double kInch = 25.4;  // mm, exact by definition (international inch)

std::string joined(const std::string& path, std::string_view key) {
  if (key.empty()) return path;
  return path.empty() ? std::string(key) : path + "/" + std::string(key);
}

// A number where the text is one, a JSON string otherwise.
std::string json_scalar(const std::string& text) { return parse_number(text) ? text : json_string(text); }

// The JSON text of a fresh value: defaults, and the middle of the usual range for what must be said.
class Fresh final : public Visitor {
 public:
  std::string text_of_element() const { return members_.empty() ? "{}" : members_.front().second; }
  std::string text_of_object() const {
    std::string out;
    for (const auto& [key, value] : members_) out += (out.empty() ? "" : ", ") + json_string(key) + ": " + value;
    return "{ " + out + (out.empty() ? "}" : " }");
  }

  void quantity(const FieldInfo& info, Dimension d, Quantity&) override {
    if (!info.required && !info.key.empty()) return;
    add(info, quantity_text(info, d));
  }
  void integer(const FieldInfo& info, int&) override {
    if (!info.required) return;
    add(info,
        !info.default_text.empty() ? std::string(info.default_text) : shortest_number(std::max(info.range.low, 1.0)));
  }
  void flag(const FieldInfo& info, bool&) override {
    if (info.required) add(info, "false");
  }
  void text(const FieldInfo& info, std::string&) override {
    if (!info.required && !info.key.empty()) return;
    add(info, json_string(!info.default_text.empty() ? std::string(info.default_text)
                          : !info.choices.empty()    ? std::string(info.choices.front().value)
                                                     : std::string()));
  }
  void tuple(const FieldInfo& info, std::span<const TupleItem> items) override {
    std::string out;
    for (const TupleItem& i : items) out += (out.empty() ? "" : ", ") + quantity_text(i.info, i.dimension);
    add(info, "[" + out + "]");
  }
  void record(const FieldInfo& info, const Fields& fields) override {
    if (info.part || (!info.required && !info.key.empty())) return;
    Fresh inner;
    fields(inner);
    add(info, inner.text_of_object());
  }
  void list(const FieldInfo& info, List& list) override {
    if (!info.required && !info.key.empty()) return;
    std::string out;
    for (double n = 0; n < info.range.low; ++n) {
      Fresh inner;
      list.prototype(inner);
      out += (out.empty() ? "" : ", ") + inner.text_of_element();
    }
    add(info, "[" + out + "]");
  }
  void map(const FieldInfo& info, Map&) override {
    if (info.required) add(info, "{}");
  }
  void alternatives(const FieldInfo& info, Alternatives& forms) override {
    if (forms.count() > 0 && (info.required || info.key.empty())) add(info, form_text(forms, 0));
  }
  void kept(const FieldInfo&, KeptSlot) override {}

  static std::string form_text(Alternatives& forms, std::size_t i) {
    const Alternative a = forms.at(i);
    if (a.word) return json_string(std::string(a.id));
    Fresh inner;
    forms.prototype(inner, i);
    if (forms.tag().empty()) return inner.text_of_object();
    inner.members_.insert(inner.members_.begin(), {std::string(forms.tag()), json_string(std::string(a.id))});
    return inner.text_of_object();
  }

 private:
  static std::string quantity_text(const FieldInfo& info, Dimension d) {
    if (!info.default_text.empty()) return json_scalar(std::string(info.default_text));
    const Range& r = info.typical.limited() ? info.typical : info.range;
    const double low = std::isfinite(r.low) ? r.low : 0, high = std::isfinite(r.high) ? r.high : low + 100;
    const double middle = std::round((low + high) / 2 * 100) / 100;
    return json_scalar(exact_quantity(middle, d));
  }
  void add(const FieldInfo& info, std::string value) { members_.emplace_back(std::string(info.key), std::move(value)); }
  std::vector<std::pair<std::string, std::string>> members_;
};

class Collect final : public Visitor {
 public:
  explicit Collect(Field& top) : parent_(&top) {}

  void quantity(const FieldInfo& info, Dimension d, Quantity& q) override {
    Field& f = add(Field::Kind::quantity, info);
    f.dimension = d;
    f.value = q.value;
    f.written = q.written;
  }
  void integer(const FieldInfo& info, int& i) override {
    Field& f = add(Field::Kind::integer, info);
    f.value = i;
    f.written = std::to_string(i);
  }
  void flag(const FieldInfo& info, bool& b) override { add(Field::Kind::flag, info).value = b ? 1 : 0; }
  void text(const FieldInfo& info, std::string& s) override {
    Field& f = add(info.choices.empty() ? Field::Kind::text : Field::Kind::choice, info);
    f.written = s;
    for (const Choice& c : info.choices) f.choices.emplace_back(c.value, c.label);
    f.refers_to = info.refers_to;
  }
  void tuple(const FieldInfo& info, std::span<const TupleItem> items) override {
    Field& group = add(Field::Kind::record, info);
    for (std::size_t i = 0; i < items.size(); ++i) {
      Collect inner(group);
      inner.quantity(items[i].info, items[i].dimension, *items[i].value);
      group.children.back().path = joined(group.path, std::to_string(i));
    }
  }
  void record(const FieldInfo& info, const Fields& fields) override {
    Field& f = add(Field::Kind::record, info);
    Collect inner(f);
    fields(inner);
  }
  void list(const FieldInfo& info, List& items) override {
    Field& f = add(Field::Kind::list, info);
    Fresh fresh;
    items.prototype(fresh);
    f.fresh.push_back(fresh.text_of_element());
    for (std::size_t i = 0; i < items.size(); ++i)
      element(f, std::to_string(i), std::to_string(i + 1), [&](Visitor& v) { items.element(v, i); });
  }
  void map(const FieldInfo& info, Map& items) override {
    Field& f = add(Field::Kind::map, info);
    Fresh fresh;
    items.prototype(fresh);
    f.fresh.push_back(fresh.text_of_element());
    for (std::size_t i = 0; i < items.size(); ++i) {
      const std::string name(items.name(i));
      element(f, name, name, [&](Visitor& v) { items.element(v, i); });
    }
  }
  void alternatives(const FieldInfo& info, Alternatives& forms) override {
    Field& f = add(Field::Kind::alternatives, info);
    for (std::size_t i = 0; i < forms.count(); ++i) {
      const Alternative a = forms.at(i);
      f.choices.emplace_back(a.id, a.label);
      f.fresh.push_back(Fresh::form_text(forms, i));
    }
    if (forms.chosen() < forms.count()) {
      f.written = forms.at(forms.chosen()).id;
      Collect inner(f);
      forms.fields(inner);
    }
  }
  void kept(const FieldInfo& info, KeptSlot) override { add(Field::Kind::kept, info); }

 private:
  Field& add(Field::Kind kind, const FieldInfo& info) {
    Field f;
    f.kind = kind;
    f.path = joined(parent_->path, info.key);
    f.label = info.label;
    f.help = info.help;
    f.source = info.source;
    f.default_text = info.default_text;
    f.range = info.range;
    f.typical = info.typical;
    f.computed = info.computed;
    f.required = info.required;
    f.part = info.part;
    parent_->children.push_back(std::move(f));
    return parent_->children.back();
  }
  // One call with an empty key: it describes the element itself.
  static void element(Field& of, const std::string& key, const std::string& label, const Fields& describe) {
    Field holder;
    holder.path = joined(of.path, key);
    Collect inner(holder);
    describe(inner);
    for (Field& f : holder.children) {
      f.label = f.label.empty() ? label : f.label + " " + label;
      of.children.push_back(std::move(f));
    }
  }
  Field* parent_;
};

struct Written {
  std::string number, unit;  // "1 1/2", "in"
};
Written split(const std::string& text) {
  std::size_t i = 0;
  const auto numeric = [&](char c) {
    return (c >= '0' && c <= '9') || c == '.' || c == '/' || c == ' ' || c == '-' || c == '+';
  };
  while (i < text.size() && numeric(text[i])) ++i;
  // The exponent of 1e3; "e" alone would be a unit.
  if (i > 0 && i + 1 < text.size() && (text[i] == 'e' || text[i] == 'E') && numeric(text[i + 1]) &&
      text[i + 1] != ' ') {
    ++i;
    while (i < text.size() && numeric(text[i])) ++i;
  }
  Written w{text.substr(0, i), text.substr(i)};
  while (!w.number.empty() && w.number.back() == ' ') w.number.pop_back();
  return w;
}

std::string sixteenths(double inches) {
  const long long n = std::llround(inches * 16);
  long long whole = n / 16, part = std::llabs(n % 16), of = 16;
  while (part != 0 && part % 2 == 0) part /= 2, of /= 2;
  if (part == 0) return std::to_string(whole);
  const std::string fraction = std::to_string(part) + "/" + std::to_string(of);
  if (whole == 0) return (n < 0 ? "-" : "") + fraction;
  return std::to_string(whole) + " " + fraction;
}

std::string trimmed(const std::string& s) {
  const auto a = s.find_first_not_of(" \t\r\n");
  if (a == std::string::npos) return {};
  return s.substr(a, s.find_last_not_of(" \t\r\n") - a + 1);
}

// Four decimals hold a thousandth of an inch and more; trailing zeros go.
std::string decimal(double x) { return shortest_number(std::round(x * 1e4) / 1e4); }

}  // namespace

Field field_tree(const Fields& description, const std::string& path) {
  Field top;
  top.path = path;
  Collect collect(top);
  description(collect);
  return top;
}

const Field* find_field(const Field& tree, const std::string& path) {
  for (const Field& f : tree.children) {
    if (f.path == path) return &f;
    if (path.starts_with(f.path) || f.path == tree.path)
      if (const Field* found = find_field(f, path)) return found;
  }
  return nullptr;
}

std::string json_string(const std::string& text) {
  static constexpr char kHex[] = "0123456789abcdef";
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (static_cast<unsigned char>(c) < 0x20) {
      out += std::string("\\u00") + kHex[c >> 4] + kHex[c & 15];
    } else {
      out += c;
    }
  }
  return out + '"';
}

std::string json_for_value(const Field& f, double canonical, Units file_units) {
  if (f.kind == Field::Kind::integer) return std::to_string(std::llround(canonical));
  if (parse_number(f.written)) {
    const double unit = f.dimension == Dimension::length && file_units == Units::inch ? kInch : 1;
    return decimal(canonical / unit);
  }
  const std::string& pattern = f.written.empty() ? f.default_text : f.written;
  const Written w = split(pattern);
  if (!w.unit.empty()) {
    const Result<double> zero = parse_quantity("0 " + w.unit, f.dimension),
                         one = parse_quantity("1 " + w.unit, f.dimension);
    if (zero && one && *one != *zero) {
      const double number = (canonical - *zero) / (*one - *zero);
      if (f.dimension == Dimension::length && std::abs(*one - kInch) < 1e-9 && w.number.find('/') != std::string::npos)
        return json_string(sixteenths(number) + " " + w.unit);
      return json_string(decimal(number) + " " + w.unit);
    }
  }
  if (f.dimension == Dimension::length)
    return json_string(file_units == Units::inch ? decimal(canonical / kInch) + " in" : decimal(canonical) + " mm");
  return json_scalar(exact_quantity(canonical, f.dimension));
}

Result<std::string> json_for_typed(const Field& f, const std::string& typed, Units file_units) {
  const std::string text = trimmed(typed);
  if (f.kind == Field::Kind::integer) {
    const std::optional<double> n = parse_number(text);
    if (!n || *n != std::floor(*n) || std::abs(*n) > 1e9)
      return Finding{Severity::error, "integer.expected", f.path, "\"" + text + "\" is not a whole number.",
                     "Type a whole number, such as 2."};
    return std::to_string(std::llround(*n));
  }
  if (parse_number(text)) {
    const Written w = split(f.written.empty() ? f.default_text : f.written);
    const Result<double> bare = bare_quantity(*parse_number(text), f.dimension, file_units);
    if (w.unit.empty() && bare) return text;
    const std::string unit = !w.unit.empty() ? w.unit : std::string(canonical_unit(f.dimension));
    const std::string whole = unit.empty() ? text : text + " " + unit;
    if (Result<double> ok = parse_quantity(whole, f.dimension); !ok) return under(f.path, ok.findings());
    return unit.empty() ? text : json_string(whole);
  }
  if (Result<double> ok = parse_quantity(text, f.dimension); !ok) return under(f.path, ok.findings());
  return json_string(text);
}

std::optional<double> typed_value(const Field& f, const std::string& typed, Units file_units) {
  const Result<std::string> json = json_for_typed(f, typed, file_units);
  if (!json) return std::nullopt;
  if (const std::optional<double> bare = parse_number(*json)) {
    if (f.kind == Field::Kind::integer) return bare;
    const Result<double> value = bare_quantity(*bare, f.dimension, file_units);
    return value ? std::optional(*value) : std::nullopt;
  }
  const Result<double> value = parse_quantity(std::string_view(*json).substr(1, json->size() - 2), f.dimension);
  return value ? std::optional(*value) : std::nullopt;
}

std::string shown_text(const Field& f, Units file_units) {
  if (f.kind == Field::Kind::integer) return f.written;
  if (!f.written.empty()) {
    if (parse_number(f.written) && f.dimension == Dimension::length)
      return f.written + (file_units == Units::inch ? " in" : " mm");
    return f.written;
  }
  if (std::isnan(f.value)) return f.default_text;
  return !f.default_text.empty() ? f.default_text : format_quantity(f.value, f.dimension, file_units);
}

std::optional<Slide> slide_of(const Field& f, Units file_units) {
  const Range& r = f.typical.limited() ? f.typical : f.range;
  if (!std::isfinite(r.low) || !std::isfinite(r.high) || r.high <= r.low) return std::nullopt;
  // A permitted range of decades (0.1 mm to 10 m) is no slider.
  if (!f.typical.limited() && r.low > 0 && r.high / r.low > 1000) return std::nullopt;
  Slide s{r.low, r.high, 1};
  if (std::isfinite(f.value)) s.low = std::min(s.low, f.value), s.high = std::max(s.high, f.value);
  if (f.kind == Field::Kind::integer) return s;
  const double span = r.high - r.low;
  const bool inch = f.dimension == Dimension::length && split(f.written).unit.starts_with("in");
  if (inch || (f.dimension == Dimension::length && file_units == Units::inch && split(f.written).unit.empty()))
    s.step = span > 400 ? kInch / 4 : kInch / 16;
  else
    s.step = std::pow(10, std::floor(std::log10(span / 60)));
  return s;
}

double snapped(const Slide& s, double canonical) {
  const double x = std::round(canonical / s.step) * s.step;
  return std::clamp(x, s.low, s.high);
}

}  // namespace kerfkiln::viewer
