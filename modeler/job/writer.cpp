#include "modeler/job/writer.hpp"

#include "modeler/base/number_text.hpp"
#include "modeler/job/json_tree.hpp"

namespace kerfkiln::job {
namespace {

constexpr std::size_t kWidth = 110;
constexpr std::string_view kStep = "  ";

bool commented(const JsonValue& v) {
  if (!v.comment.empty()) return true;
  for (const JsonValue& item : v.items)
    if (commented(item)) return true;
  return false;
}

std::string one_line(const JsonValue& v, const char* colon, const char* comma, const char* pad) {
  if (v.kind == JsonValue::Kind::token) return v.token;
  const bool object = v.kind == JsonValue::Kind::object;
  std::string out;
  for (const JsonValue& item : v.items) {
    if (!out.empty()) out += comma;
    if (object) out += json_quoted(item.key) + colon;
    out += one_line(item, colon, comma, pad);
  }
  if (object) return out.empty() ? "{}" : "{" + (pad + out) + pad + "}";
  return "[" + out + "]";
}

std::string comment_lines(const std::string& comment, const std::string& indent) {
  std::string out, line = indent + "//";
  for (std::size_t at = 0; at < comment.size();) {
    const std::size_t end = std::min(comment.find(' ', at), comment.size());
    if (line.size() + 1 + end - at > kWidth && line.size() > indent.size() + 2) {
      out += line + "\n";
      line = indent + "//";
    }
    line += " " + comment.substr(at, end - at);
    at = end + 1;
  }
  return out + line + "\n";
}

void print(const JsonValue& v, const std::string& indent, std::size_t used, std::string& out) {
  if (!commented(v) || v.kind == JsonValue::Kind::token) {
    const std::string line = one_line(v, ": ", ", ", " ");
    if (v.kind == JsonValue::Kind::token || used + line.size() <= kWidth) {
      out += line;
      return;
    }
  }
  const bool object = v.kind == JsonValue::Kind::object;
  const std::string inner = indent + std::string(kStep);
  out += object ? "{\n" : "[\n";
  for (const JsonValue& item : v.items) {
    if (!item.comment.empty()) out += comment_lines(item.comment, inner);
    const std::string head = inner + (object ? json_quoted(item.key) + ": " : "");
    out += head;
    JsonValue bare = item;
    bare.comment.clear();
    print(bare, inner, head.size() + 1, out);
    out += &item != &v.items.back() ? ",\n" : "\n";
  }
  out += indent + (object ? "}" : "]");
}

// The grammar of RFC 8259, section 6, which is stricter than ours.
bool is_json_number(std::string_view s) {
  if (!parse_number(s)) return false;
  if (s.front() == '-') s.remove_prefix(1);
  const auto digits = [&s] {
    std::size_t n = 0;
    while (n < s.size() && s[n] >= '0' && s[n] <= '9') ++n;
    return n;
  };
  const std::size_t whole = digits();
  if (whole == 0 || (whole > 1 && s.front() == '0')) return false;
  s.remove_prefix(whole);
  if (!s.starts_with('.')) return true;
  s.remove_prefix(1);
  return digits() > 0;
}

JsonValue token_value(std::string token) { return {JsonValue::Kind::token, std::move(token), {}, {}, {}}; }
JsonValue empty_value(bool object) {
  return {object ? JsonValue::Kind::object : JsonValue::Kind::array, {}, {}, {}, {}};
}
JsonValue keyed(std::string key, JsonValue v) {
  v.key = std::move(key);
  return v;
}

JsonValue laid_out(const JsonTree& t, int node) {
  const JsonNode& n = t[node];
  if (n.kind != JsonNode::Kind::object && n.kind != JsonNode::Kind::array) return token_value(std::string(t.raw(node)));
  JsonValue v = empty_value(n.kind == JsonNode::Kind::object);
  for (int c = n.first; c >= 0; c = t[c].next) v.items.push_back(keyed(t.key(c), laid_out(t, c)));
  return v;
}

bool may_be_bare(Dimension d) {
  return d == Dimension::length || d == Dimension::plain || d == Dimension::ratio || d == Dimension::money;
}

}  // namespace

std::string pretty(const JsonValue& v) {
  std::string out;
  if (!v.comment.empty()) out += comment_lines(v.comment, "");
  print(v, "", 0, out);
  return out;
}

std::string compact(const JsonValue& v) { return one_line(v, ":", ",", ""); }

Writer::Writer(Units units, Style style) : units_(units), style_(style) {}

void Writer::put(const FieldInfo& info, JsonValue v) {
  if (style_ == Style::explained && !info.help.empty() && !info.key.empty()) {
    std::string comment = std::string(info.label) + ": " + std::string(info.help);
    if (info.choices.size() > 1) {
      comment += " One of";
      for (const Choice& c : info.choices) comment += (&c == info.choices.data() ? " " : ", ") + json_quoted(c.value);
      comment += ".";
    }
    if (!info.refers_to.empty()) comment += " A name out of \"" + std::string(info.refers_to) + "\".";
    if (explained_.insert(comment).second) v.comment = comment;
  }
  object_.items.push_back(keyed(std::string(info.key), std::move(v)));
}

void Writer::put_token(const FieldInfo& info, std::string token) { put(info, token_value(std::move(token))); }

std::string Writer::token(const Quantity& q, Dimension d) const {
  if (!q.written.empty()) return may_be_bare(d) && is_json_number(q.written) ? q.written : json_quoted(q.written);
  if (!std::isfinite(q.value)) return "null";
  const bool bare = may_be_bare(d) && (d != Dimension::length || units_ == Units::mm);
  return bare ? shortest_number(q.value) : json_quoted(exact_quantity(q.value, d));
}

void Writer::quantity(const FieldInfo& info, Dimension d, Quantity& q) {
  if (style_ == Style::explained && info.typical.limited()) {
    // The usual range says more than the permitted one, and is the same for all who read it.
    const std::string help = std::string(info.help) + " Usually " + format_range(info.typical, d, units_) + ".";
    FieldInfo usual = info;
    usual.help = help;
    usual.typical = {};
    return quantity(usual, d, q);
  }
  if (q.written.empty() && !q.known()) {
    if (style_ == Style::explained && !info.default_text.empty())
      put_token(info, json_quoted(info.default_text));
    else if (must(info))
      put_token(info, "null");  // the gap shows, and a form that it belongs to stays recognisable
    return;
  }
  if (q.written.empty() && !must(info) && !info.default_text.empty() && style_ == Style::plain) {
    const Result<double> usual = parse_quantity(info.default_text, d);
    if (usual && *usual == q.value) return;
  }
  put_token(info, token(q, d));
}

void Writer::integer(const FieldInfo& info, int& i) {
  if (!must(info) && std::to_string(i) == info.default_text && style_ == Style::plain) return;
  put_token(info, std::to_string(i));
}

void Writer::flag(const FieldInfo& info, bool& b) {
  const std::string_view word = b ? "true" : "false";
  if (!must(info) && word == info.default_text) return;
  put_token(info, std::string(word));
}

void Writer::text(const FieldInfo& info, std::string& s) {
  const bool usual = s == info.default_text && (style_ == Style::plain || s.empty());
  if (!must(info) && (usual || s.empty())) return;
  put_token(info, json_quoted(s));
}

void Writer::tuple(const FieldInfo& info, std::span<const TupleItem> items) {
  JsonValue v = empty_value(false);
  bool any = false;
  for (const TupleItem& item : items) {
    any = any || item.value->known() || !item.value->written.empty();
    v.items.push_back(token_value(token(*item.value, item.dimension)));
  }
  if (any || must(info)) put(info, std::move(v));
}

JsonValue Writer::object_of(const Fields& fields) {
  JsonValue outer = empty_value(true);
  std::swap(outer, object_);
  fields(*this);
  std::swap(outer, object_);
  return outer;
}

JsonValue Writer::element_of(const Fields& one) {
  JsonValue v = object_of(one);
  if (v.items.empty()) return token_value("null");
  return std::move(v.items.front());
}

void Writer::record(const FieldInfo& info, const Fields& fields) {
  if (info.part) {
    Writer probe(units_, Style::plain);
    probe.needs_required_ = false;
    fields(probe);
    if (probe.object_.items.empty()) return;
  }
  JsonValue v = object_of(fields);
  if (!v.items.empty() || must(info) || info.key.empty()) put(info, std::move(v));
}

void Writer::list(const FieldInfo& info, List& items) {
  if (items.size() == 0 && !must(info) && !info.key.empty()) return;
  JsonValue v = empty_value(false);
  for (std::size_t i = 0; i < items.size(); ++i)
    v.items.push_back(element_of([&items, i](Visitor& w) { items.element(w, i); }));
  put(info, std::move(v));
}

void Writer::map(const FieldInfo& info, Map& items) {
  if (items.size() == 0 && !must(info) && !info.key.empty()) return;
  JsonValue v = empty_value(true);
  for (std::size_t i = 0; i < items.size(); ++i)
    v.items.push_back(keyed(std::string(items.name(i)), element_of([&items, i](Visitor& w) { items.element(w, i); })));
  put(info, std::move(v));
}

void Writer::alternatives(const FieldInfo& info, Alternatives& forms) {
  const std::size_t form = forms.chosen();
  if (form >= forms.count()) return;
  const Alternative a = forms.at(form);
  if (a.word) return put_token(info, json_quoted(a.id));
  JsonValue v = object_of([&forms](Visitor& w) { forms.fields(w); });
  if (!forms.tag().empty()) {
    // Behind the name, where a reader looks for it.
    const auto at = v.items.empty() ? v.items.begin() : v.items.begin() + 1;
    v.items.insert(at, keyed(std::string(forms.tag()), token_value(json_quoted(a.id))));
  }
  put(info, std::move(v));
}

void Writer::kept(const FieldInfo& info, KeptSlot slot) {
  const auto it = slot.store->find(slot.path);
  if (it == slot.store->end()) return;
  if (const Result<JsonTree> tree = read_json(it->second)) put(info, laid_out(*tree, 0));
}

}  // namespace kerfkiln::job
