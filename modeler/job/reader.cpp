#include "modeler/job/reader.hpp"

#include <algorithm>
#include <cmath>

#include "modeler/base/nearest_key.hpp"
#include "modeler/base/number_text.hpp"

namespace kerfkiln::job {
namespace {

using Kind = JsonNode::Kind;

std::string_view kind_words(Kind k) {
  switch (k) {
    case Kind::object:
      return "a record {...}";
    case Kind::array:
      return "a list [...]";
    case Kind::string:
      return "a text";
    case Kind::number:
      return "a number";
    case Kind::boolean:
      return "true or false";
    case Kind::null:
      return "null";
  }
  return {};
}

std::string name_of(const FieldInfo& info) {
  if (info.label.empty() && info.key.empty()) return "This entry";
  return std::string(info.label.empty() ? info.key : info.label);
}

std::string joined(const std::vector<std::string_view>& words) {
  std::string out;
  for (std::size_t i = 0; i < words.size() && i < 40; ++i) {
    if (i > 0) out += ", ";
    out += words[i];
  }
  return out + (words.size() > 40 ? ", ..." : "");
}

std::string did_you_mean(std::string_view typed, const std::vector<std::string_view>& known) {
  const std::string near = nearest_key(typed, known);
  return near.empty() ? "One of: " + joined(known) + "." : "Did you mean \"" + near + "\"?";
}

bool has_control(std::string_view s) {
  return std::any_of(s.begin(), s.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; });
}

bool is_colour(std::string_view s) {
  return s.size() == 7 && s[0] == '#' && s.find_first_not_of("0123456789abcdefABCDEF", 1) == std::string_view::npos;
}

bool is_date(std::string_view s) {
  if (s.empty()) return true;
  if (s.size() != 10 || s[4] != '-' || s[7] != '-') return false;
  const auto part = [&s](std::size_t at, std::size_t n) {
    const std::string_view digits = s.substr(at, n);
    return digits.find_first_not_of("0123456789") == std::string_view::npos ? std::stoi(std::string(digits)) : -1;
  };
  const int year = part(0, 4), month = part(5, 2), day = part(8, 2);
  const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  const int days = month == 2 ? (leap ? 29 : 28) : month == 4 || month == 6 || month == 9 || month == 11 ? 30 : 31;
  return year >= 0 && month >= 1 && month <= 12 && day >= 1 && day <= days;
}

}  // namespace

Reader::Reader(const JsonTree& tree, const Design& design, Findings& findings)
    : tree_(tree), design_(design), findings_(findings), seen_(tree.nodes.size()) {}

void Reader::read_root(const Fields& fields) {
  if (is(0, Kind::object, "a record {...} with the keys \"kerfkiln\" and \"pieces\"", {.label = "The file"}))
    members(0, fields, {});
}

void Reader::add(Severity severity, std::string code, int node, std::string message, std::string remedy) {
  if (findings_.size() < kMostFindings) {
    findings_.push_back(
        {severity, std::move(code), node < 0 ? "" : tree_.path(node), std::move(message), std::move(remedy)});
  } else if (findings_.size() == kMostFindings) {
    findings_.push_back({Severity::error, "findings.more", "",
                         "there are more findings than the " + std::to_string(kMostFindings) + " listed",
                         "Mend these first."});
  }
}

std::string Reader::shown(int node) const {
  const Kind k = tree_[node].kind;
  if (k == Kind::object || k == Kind::array) return std::string(kind_words(k));
  const std::string_view raw = tree_.raw(node);
  return std::string(raw.substr(0, 60)) + (raw.size() > 60 ? "..." : "");
}

int Reader::take(const FieldInfo& info) {
  if (info.key.empty()) return element_;
  known_.push_back(info.key);
  if (at_ < 0) return -1;
  const int node = tree_.member(at_, info.key);
  if (node >= 0) {
    seen_[static_cast<std::size_t>(node)] = true;
    return node;
  }
  if (info.required) {
    add(Severity::error, "value.missing", at_, name_of(info) + " is missing",
        "Add \"" + std::string(info.key) + "\": " + std::string(info.help));
    // The place of a missing member is its own path, so that it can be pointed at.
    if (findings_.size() <= kMostFindings) {
      std::string& path = findings_.back().path;
      path += (path.empty() ? "" : "/") + std::string(info.key);
    }
  }
  return -1;
}

bool Reader::is(int node, Kind wanted, std::string_view expected, const FieldInfo& info) {
  if (tree_[node].kind == wanted) return true;
  add(Severity::error, "value.type", node,
      name_of(info) + " is " + std::string(kind_words(tree_[node].kind)) + "; expected " + std::string(expected),
      "Write " + std::string(expected) + ".");
  return false;
}

void Reader::on(int node, const std::function<void()>& describe_one) {
  const int at = at_, element = element_;
  at_ = node;
  element_ = node;
  describe_one();
  at_ = at;
  element_ = element;
}

void Reader::members(int node, const Fields& fields, std::string_view also_known) {
  std::vector<std::string_view> outer;
  outer.swap(known_);
  if (!also_known.empty()) known_.push_back(also_known);
  on(node, [&] { fields(*this); });
  if (node >= 0) {
    duplicate_keys(node);
    for (int c = tree_[node].first; c >= 0; c = tree_[c].next)
      if (!seen_[static_cast<std::size_t>(c)]) unknown_key(c);
  }
  known_.swap(outer);
}

void Reader::unknown_key(int node) {
  if (findings_.size() > kMostFindings) return;
  const std::string key = tree_.key(node);
  add(Severity::error, "key.unknown", node, "\"" + key.substr(0, 80) + "\" is not a key that is known here",
      did_you_mean(key, known_));
}

void Reader::duplicate_keys(int node) {
  std::map<std::string, int> first;
  for (int c = tree_[node].first; c >= 0; c = tree_[c].next) {
    const auto [it, fresh] = first.emplace(tree_.key(c), c);
    if (fresh) continue;
    add(Severity::error, "key.duplicate", c, "\"" + it->first.substr(0, 80) + "\" is written twice; the first counts",
        "Remove one of the two.");
    seen_[static_cast<std::size_t>(c)] = true;
  }
}

void Reader::not_computed(int node, const FieldInfo& info) {
  std::string place;
  for (int i = node; i > 0; i = tree_[i].parent)
    place += "/" + (tree_[i].key_end > 0 ? tree_.key(i) : std::string("*"));
  if (!noted_.insert(place).second) return;
  add(Severity::note, "key.not_computed", node,
      "\"" + std::string(info.key) + "\" is kept in the file; this version computes nothing from it",
      "Nothing to mend; do not rely on it in the figures.");
}

void Reader::read_quantity(int node, const FieldInfo& info, Dimension d, Quantity& q) {
  const Kind kind = tree_[node].kind;
  if (kind != Kind::number && kind != Kind::string) {
    is(node, Kind::number, expected_quantity(d), info);
    return;
  }
  q.written = kind == Kind::number ? std::string(tree_.raw(node)) : tree_.string(node);
  const Result<double> value = [&]() -> Result<double> {
    if (kind == Kind::string) return parse_quantity(q.written, d);
    if (const auto number = parse_number(q.written)) return bare_quantity(*number, d, design_.units);
    return Finding{Severity::error, "quantity.overflow", "", q.written.substr(0, 60) + " is a number beyond all limits",
                   ""};
  }();
  if (!value) {
    const Finding& f = value.findings().front();
    add(f.severity, f.code, node, name_of(info) + ": " + f.message + "; expected " + std::string(expected_quantity(d)),
        f.remedy);
    return;
  }
  if (!info.range.contains(*value)) {
    const std::string same = format_quantity(*value, d, design_.units);
    const std::string in_units = same == q.written ? "" : " (" + same + ")";
    const std::string permitted = format_range(info.range, d, design_.units);
    add(Severity::error, "value.range", node,
        name_of(info) + " is " + shown(node) + in_units + "; permitted: " + permitted,
        "Choose a value in the permitted range: " + permitted + ".");
    return;
  }
  q.value = *value;
}

void Reader::quantity(const FieldInfo& info, Dimension d, Quantity& q) {
  const int node = take(info);
  if (node >= 0) {
    q.value = std::numeric_limits<double>::quiet_NaN();
    read_quantity(node, info, d, q);
    if (q.known() && !info.computed) not_computed(node, info);
  } else if (!info.default_text.empty() && !q.known()) {
    if (const Result<double> v = parse_quantity(info.default_text, d)) q.value = *v;
  }
}

void Reader::integer(const FieldInfo& info, int& i) {
  const int node = take(info);
  if (node < 0 || !is(node, Kind::number, "a whole number", info)) return;
  const std::optional<double> x = parse_number(tree_.raw(node));
  if (!x || *x != std::floor(*x)) {
    add(Severity::error, "value.integer", node, name_of(info) + " is " + shown(node) + "; expected a whole number",
        "Write a whole number, such as 2.");
    return;
  }
  if (!info.range.contains(*x)) {
    const std::string permitted = format_range(info.range, Dimension::plain, design_.units);
    add(Severity::error, "value.range", node, name_of(info) + " is " + shown(node) + "; permitted: " + permitted,
        "Choose a value in the permitted range: " + permitted + ".");
    return;
  }
  i = static_cast<int>(*x);
}

void Reader::flag(const FieldInfo& info, bool& b) {
  const int node = take(info);
  if (node >= 0 && is(node, Kind::boolean, "true or false", info)) b = tree_.raw(node) == "true";
}

void Reader::check_text(int node, const FieldInfo& info, const std::string& s) {
  const auto complain = [&](const char* must) {
    add(Severity::error, "text.form", node, name_of(info) + " is " + shown(node) + "; it must be " + must,
        std::string("Write ") + must + ".");
  };
  if (has_control(s)) return complain("one line without control characters");
  if (info.form == TextForm::name && (s.empty() || s.size() > 80 || s.front() == ' ' || s.back() == ' '))
    return complain("a name of 1 to 80 bytes, without blanks at its ends");
  if (s.size() > 1000) return complain("at most 1000 bytes long");
  if (info.form == TextForm::colour && !is_colour(s)) return complain("a colour such as \"#c9b458\"");
  if (info.form == TextForm::date && !is_date(s)) return complain("a date such as \"2031-04-02\", or empty");
  if (info.refers_to.empty() || s.empty()) return;
  auto it = names_.find(info.refers_to);
  if (it == names_.end()) it = names_.emplace(info.refers_to, material_names(design_, info.refers_to)).first;
  const std::vector<std::string_view> names(it->second.begin(), it->second.end());
  if (std::find(names.begin(), names.end(), s) == names.end())
    add(Severity::error, "name.unknown", node,
        name_of(info) + " is " + shown(node) + "; no entry of \"" + std::string(info.refers_to) + "\" has this name",
        did_you_mean(s, names));
}

void Reader::text(const FieldInfo& info, std::string& s) {
  const int node = take(info);
  if (node < 0 || !is(node, Kind::string, "a text in quotes", info)) return;
  std::string value = tree_.string(node);
  if (!info.choices.empty()) {
    std::vector<std::string_view> words;
    for (const Choice& c : info.choices) words.push_back(c.value);
    if (std::find(words.begin(), words.end(), value) == words.end()) {
      add(Severity::error, "value.choice", node, name_of(info) + " is " + shown(node) + "; permitted: " + joined(words),
          did_you_mean(value, words));
      return;
    }
  }
  check_text(node, info, value);
  s = std::move(value);
}

void Reader::tuple(const FieldInfo& info, std::span<const TupleItem> items) {
  const int node = take(info);
  if (node < 0) return;
  const std::string expected = "a list of " + std::to_string(items.size()) + " values";
  if (!is(node, Kind::array, expected, info)) return;
  if (tree_[node].size != items.size()) {
    add(Severity::error, "list.count", node,
        name_of(info) + " has " + std::to_string(tree_[node].size) + " values; expected " +
            std::to_string(items.size()),
        "Write " + expected + ".");
    return;
  }
  int c = tree_[node].first;
  for (const TupleItem& item : items) {
    read_quantity(c, item.info, item.dimension, *item.value);
    c = tree_[c].next;
  }
}

void Reader::record(const FieldInfo& info, const Fields& fields) {
  const int node = take(info);
  if (node < 0 && info.part) return;
  if (node >= 0 && !is(node, Kind::object, "a record {...}", info)) return;
  members(node, fields, {});
}

std::size_t Reader::counted(int node, const FieldInfo& info) {
  const std::size_t n = tree_[node].size;
  if (!info.range.contains(static_cast<double>(n))) {
    const std::string permitted = format_range(info.range, Dimension::plain, Units::mm);
    add(Severity::error, "list.count", node,
        name_of(info) + " has " + std::to_string(n) + " entries; permitted: " + permitted,
        n == 0 ? "Add at least " + format_number(info.range.low, 0) + "." : "Permitted: " + permitted + ".");
  }
  return static_cast<std::size_t>(std::min(static_cast<double>(n), info.range.high));
}

void Reader::list(const FieldInfo& info, List& items) {
  const int node = take(info);
  if (node < 0 || !is(node, Kind::array, "a list [...]", info)) return;
  const std::size_t n = counted(node, info);
  items.resize(n);
  int c = tree_[node].first;
  for (std::size_t i = 0; i < n; ++i, c = tree_[c].next) on(c, [&] { items.element(*this, i); });
}

void Reader::map(const FieldInfo& info, Map& items) {
  const int node = take(info);
  if (node < 0 || !is(node, Kind::object, "a record {...} by name", info)) return;
  duplicate_keys(node);
  std::size_t left = counted(node, info);
  for (int c = tree_[node].first; c >= 0 && left > 0; c = tree_[c].next, --left) {
    const std::string name = tree_.key(c);
    if (name.empty() || name.size() > 80 || has_control(name)) {
      add(Severity::error, "text.form", c, name_of(info) + ": a name must have 1 to 80 bytes and no control characters",
          "Choose another name.");
      continue;
    }
    const std::size_t before = items.size(), i = items.add(name);
    if (items.size() == before) continue;  // a duplicate: the first counts
    on(c, [&] { items.element(*this, i); });
  }
}

// count(): none that can be read, with a finding.
std::size_t Reader::chosen_form(int node, const FieldInfo& info, const Alternatives& forms) {
  const bool object = tree_[node].kind == Kind::object, word = tree_[node].kind == Kind::string;
  std::vector<std::string_view> ids;
  for (std::size_t i = 0; i < forms.count(); ++i) {
    const Alternative a = forms.at(i);
    ids.push_back(a.id);
    if (object && !a.word && tree_.member(node, a.id) >= 0) return i;
    if (word && a.word && tree_.string(node) == a.id) return i;
  }
  std::string typed = word ? tree_.string(node) : "";
  if (object && tree_[node].size > 0) typed = tree_.key(tree_[node].first);
  std::string remedy = did_you_mean(typed, ids);
  for (const std::string_view id : ids)
    if (id == typed)
      remedy = word ? "Give it its sizes: {\"" + typed + "\": ...}." : "Write the word alone: \"" + typed + "\".";
  add(Severity::error, "value.form", node,
      name_of(info) + " is " + (object && !typed.empty() ? "{\"" + typed.substr(0, 60) + "\": ...}" : shown(node)) +
          "; permitted forms: " + joined(ids),
      remedy);
  return forms.count();
}

void Reader::alternatives(const FieldInfo& info, Alternatives& forms) {
  const int node = take(info);
  if (node < 0) return;
  const std::string_view tag = forms.tag();
  std::size_t form = forms.count();
  if (tag.empty()) {
    form = chosen_form(node, info, forms);
  } else {
    if (!is(node, Kind::object, "a record {...}", info)) return;
    std::vector<Choice> kinds;
    for (std::size_t i = 0; i < forms.count(); ++i) kinds.push_back({forms.at(i).id, forms.at(i).label});
    std::string kind;
    // Asked for like any text, so that its complaints are the same; the members follow below.
    std::vector<std::string_view> outer;
    outer.swap(known_);
    on(node, [&] { text({.key = tag, .label = "Kind", .help = info.help, .required = true, .choices = kinds}, kind); });
    known_.swap(outer);
    for (std::size_t i = 0; i < kinds.size(); ++i)
      if (kinds[i].value == kind) form = i;
  }
  if (form == forms.count()) return;
  const Alternative chosen = forms.at(form);
  forms.choose(form);
  if (!chosen.computed)
    add(Severity::error, "value.not_computed", node,
        name_of(info) + " by \"" + std::string(chosen.id) + "\" is kept, but not computed by this version",
        "Give it in another form.");
  // A second form beside the chosen one is no unknown key.
  if (tag.empty() && tree_[node].kind == Kind::object)
    for (int c = tree_[node].first; c >= 0; c = tree_[c].next)
      for (std::size_t i = 0; i < forms.count(); ++i) {
        if (i == form || forms.at(i).word || tree_.key(c) != forms.at(i).id) continue;
        add(Severity::error, "value.form", c,
            name_of(info) + " is given by \"" + std::string(chosen.id) + "\" and by \"" + tree_.key(c) +
                "\"; permitted is one of them",
            "Remove one of the two.");
        seen_[static_cast<std::size_t>(c)] = true;
      }
  if (!chosen.word)
    members(
        node, [&forms](Visitor& v) { forms.fields(v); }, tag);
}

void Reader::kept(const FieldInfo& info, KeptSlot slot) {
  const int node = take(info);
  if (node < 0) return;
  (*slot.store)[std::string(slot.path)] = tree_.compact(node);
  not_computed(node, info);
}

}  // namespace kerfkiln::job
