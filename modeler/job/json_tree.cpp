#include "modeler/job/json_tree.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

namespace kerfkiln::job {
namespace {

using Json = nlohmann::json;

std::string place(std::string_view text, std::size_t at) {
  at = std::min(at, text.size());
  const std::string_view before = text.substr(0, at);
  const auto line = std::count(before.begin(), before.end(), '\n') + 1;
  const std::size_t start = before.rfind('\n');
  const std::size_t column = start == std::string_view::npos ? at + 1 : at - start;
  return "line " + std::to_string(line) + ", column " + std::to_string(column);
}

// Takes the library's verdict, and refuses deep nesting before anything of ours recurses.
class GrammarCheck : public nlohmann::json_sax<Json> {
 public:
  explicit GrammarCheck(std::string_view text) : text_(text) {}
  std::optional<Finding> finding;

  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t&) override { return true; }
  bool string(string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }
  bool key(string_t&) override { return true; }
  bool start_object(std::size_t) override { return deeper(); }
  bool start_array(std::size_t) override { return deeper(); }
  bool end_object() override { return --depth_, true; }
  bool end_array() override { return --depth_, true; }
  bool parse_error(std::size_t at, const std::string&, const nlohmann::detail::exception& e) override {
    // "[json.exception.parse_error.101] parse error at line 3, column 7: syntax error while ...": ours names the place.
    std::string why = e.what();
    if (const auto i = why.find("] "); i != std::string::npos) why.erase(0, i + 2);
    if (why.starts_with("parse error"))
      if (const auto i = why.find(": "); i != std::string::npos) why.erase(0, i + 2);
    if (why.size() > 300) why = why.substr(0, 300) + " ...";
    std::erase_if(why,
                  [](char c) { return static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) > 0x7e; });
    finding = Finding{Severity::error, "json.syntax", "", place(text_, at == 0 ? 0 : at - 1) + ": " + why,
                      "Look there and just before for a missing comma, quote or bracket."};
    return false;
  }

 private:
  bool deeper() {
    if (++depth_ <= kDeepestNesting) return true;
    finding = Finding{Severity::error, "json.nesting", "",
                      "values are nested more than " + std::to_string(kDeepestNesting) + " deep",
                      "A design file needs far less: look for repeated opening brackets."};
    return false;
  }
  std::string_view text_;
  int depth_ = 0;
};

// Walks text that GrammarCheck has passed: no token can be malformed any more.
class Scanner {
 public:
  explicit Scanner(JsonTree& tree) : tree_(tree), s_(tree.text) {}
  void scan() {
    if (s_.starts_with("\xEF\xBB\xBF")) i_ = 3;
    skip();
    value(-1, 0, 0);
  }

 private:
  void skip() {
    while (i_ < s_.size()) {
      const char c = s_[i_];
      if (c == ' ' || c == '\n' || c == '\r' || c == '\t') {
        ++i_;
      } else if (c == '/' && s_[i_ + 1] == '/') {
        while (i_ < s_.size() && s_[i_] != '\n' && s_[i_] != '\r') ++i_;
      } else if (c == '/') {
        const auto end = s_.find("*/", i_ + 2);
        i_ = end == std::string_view::npos ? s_.size() : end + 2;
      } else {
        return;
      }
    }
  }
  void quoted() {
    for (++i_; s_[i_] != '"'; ++i_)
      if (s_[i_] == '\\') ++i_;
    ++i_;
  }
  void value(int parent, std::uint32_t key_begin, std::uint32_t key_end) {
    const int me = static_cast<int>(tree_.nodes.size());
    JsonNode& n = tree_.nodes.emplace_back();
    n.begin = static_cast<std::uint32_t>(i_);
    n.key_begin = key_begin;
    n.key_end = key_end;
    n.parent = parent;
    if (parent >= 0) {
      JsonNode& p = at(parent);
      n.index = p.size++;
      if (p.last >= 0) at(p.last).next = me;
      if (p.first < 0) p.first = me;
      p.last = me;
    }
    switch (s_[i_]) {
      case '{':
        n.kind = JsonNode::Kind::object;
        children(me, true);
        break;
      case '[':
        n.kind = JsonNode::Kind::array;
        children(me, false);
        break;
      case '"':
        n.kind = JsonNode::Kind::string;
        quoted();
        break;
      default:
        n.kind = s_[i_] == 'n'                    ? JsonNode::Kind::null
                 : s_[i_] == 't' || s_[i_] == 'f' ? JsonNode::Kind::boolean
                                                  : JsonNode::Kind::number;
        i_ = std::min(s_.find_first_not_of("+-.0123456789abcdefghijklmnopqrstuvwxyzE", i_), s_.size());
    }
    at(me).end = static_cast<std::uint32_t>(i_);  // the children may have moved the nodes
  }
  void children(int me, bool object) {
    ++i_;
    for (skip(); s_[i_] != '}' && s_[i_] != ']'; skip()) {
      if (s_[i_] == ',') {
        ++i_;
        skip();
      }
      std::uint32_t key_begin = 0, key_end = 0;
      if (object) {
        key_begin = static_cast<std::uint32_t>(i_);
        quoted();
        key_end = static_cast<std::uint32_t>(i_);
        skip();
        ++i_;  // the colon
        skip();
      }
      value(me, key_begin, key_end);
    }
    ++i_;
  }
  JsonNode& at(int i) { return tree_.nodes[static_cast<std::size_t>(i)]; }
  JsonTree& tree_;
  std::string_view s_;
  std::size_t i_ = 0;
};

std::string unquoted(std::string_view token) {
  const std::string_view inner = token.substr(1, token.size() - 2);
  if (inner.find('\\') == std::string_view::npos) return std::string(inner);
  return Json::parse(token).get<std::string>();
}

void compact_into(const JsonTree& t, int i, std::string& out) {
  const JsonNode& n = t[i];
  const bool object = n.kind == JsonNode::Kind::object;
  if (!object && n.kind != JsonNode::Kind::array) {
    out += t.raw(i);
    return;
  }
  out += object ? '{' : '[';
  for (int c = n.first; c >= 0; c = t[c].next) {
    if (c != n.first) out += ',';
    if (object) {
      out += t.text.substr(t[c].key_begin, t[c].key_end - t[c].key_begin);
      out += ':';
    }
    compact_into(t, c, out);
  }
  out += object ? '}' : ']';
}

}  // namespace

std::string JsonTree::key(int i) const {
  const JsonNode& n = (*this)[i];
  return n.key_end == 0 ? std::string() : unquoted(text.substr(n.key_begin, n.key_end - n.key_begin));
}

bool JsonTree::key_is(int i, std::string_view wanted) const {
  const JsonNode& n = (*this)[i];
  const std::string_view inner = text.substr(n.key_begin + 1, n.key_end - n.key_begin - 2);
  if (inner == wanted) return true;
  return inner.find('\\') != std::string_view::npos && key(i) == wanted;
}

std::string JsonTree::string(int i) const { return unquoted(raw(i)); }

int JsonTree::member(int object, std::string_view wanted) const {
  if ((*this)[object].kind != JsonNode::Kind::object) return -1;
  int c = (*this)[object].first;
  while (c >= 0 && !key_is(c, wanted)) c = (*this)[c].next;
  return c;
}

int JsonTree::element(int array, std::size_t index) const {
  if ((*this)[array].kind != JsonNode::Kind::array) return -1;
  int c = (*this)[array].first;
  while (c >= 0 && index-- > 0) c = (*this)[c].next;
  return c;
}

std::string JsonTree::path(int i) const {
  std::string p;
  for (; i > 0; i = (*this)[i].parent) {
    const std::string step = (*this)[i].key_end > 0 ? key(i) : std::to_string((*this)[i].index);
    p = p.empty() ? step : step + "/" + p;
  }
  return p;
}

int JsonTree::find(std::string_view path) const {
  int at = nodes.empty() ? -1 : 0;
  while (at >= 0 && !path.empty()) {
    int best = -1;
    std::size_t taken = 0;
    for (int c = (*this)[at].first; c >= 0; c = (*this)[c].next) {
      const std::string step = (*this)[c].key_end > 0 ? key(c) : std::to_string((*this)[c].index);
      const bool fits = path == step || (path.starts_with(step) && path[step.size()] == '/');
      if (fits && (best < 0 || step.size() > taken)) {
        best = c;
        taken = step.size();
      }
    }
    at = best;
    path.remove_prefix(std::min(path.size(), taken + 1));
  }
  return at;
}

std::string JsonTree::compact(int i) const {
  std::string out;
  compact_into(*this, i, out);
  return out;
}

Result<JsonTree> read_json(std::string_view text) {
  if (text.size() > kLargestFile)
    return Finding{
        Severity::error, "file.size", "",
        "the file has " + std::to_string(text.size()) + " bytes; at most " + std::to_string(kLargestFile) + " are read",
        "Split the design into several files."};
  GrammarCheck check(text);
  const bool good = Json::sax_parse(text.begin(), text.end(), &check, Json::input_format_t::json, true, true);
  if (check.finding) return *check.finding;
  if (!good) return Finding{Severity::error, "json.syntax", "", "the file is not JSON", "Begin with { and end with }."};
  JsonTree tree;
  tree.text = text;
  tree.nodes.reserve(text.size() / 12 + 8);
  Scanner(tree).scan();
  return tree;
}

std::string json_quoted(std::string_view text) {
  static constexpr char kHex[] = "0123456789abcdef";
  std::string out = "\"";
  for (const char c : text) {
    switch (c) {
      case '"':
        out += "\\\"";
        break;
      case '\\':
        out += "\\\\";
        break;
      case '\n':
        out += "\\n";
        break;
      case '\t':
        out += "\\t";
        break;
      case '\r':
        out += "\\r";
        break;
      default:
        if (static_cast<unsigned char>(c) < 0x20) {
          out += "\\u00";
          out += kHex[c >> 4];
          out += kHex[c & 15];
        } else {
          out += c;
        }
    }
  }
  return out += '"';
}

}  // namespace kerfkiln::job
