// Edits splice the maker's text; nothing else of it moves.
#include <cmath>

#include "modeler/base/number_text.hpp"
#include "modeler/job/design.hpp"
#include "modeler/job/json_tree.hpp"

namespace kerfkiln::job {
namespace {

using Kind = JsonNode::Kind;

Finding no_place(const std::string& path, const std::string& why) {
  return {Severity::error, "edit.path", path, "there is no place for this value: " + why,
          "Edit a member of a record, or an entry of a list or the one after its last."};
}

// The white space before the value's line, where the value stands first on it.
std::string indent_at(std::string_view text, std::size_t at) {
  const std::size_t line = text.rfind('\n', at == 0 ? 0 : at - 1);
  if (at == 0 || line == std::string_view::npos) return {};
  const std::size_t first = text.find_first_not_of(" \t", line + 1);
  return first == at ? std::string(text.substr(line + 1, at - line - 1)) : std::string();
}

bool starts_its_line(std::string_view text, std::size_t at) {
  const std::size_t line = text.rfind('\n', at == 0 ? 0 : at - 1);
  return at > 0 && line != std::string_view::npos && text.find_first_not_of(" \t", line + 1) == at;
}

std::size_t start_of(const JsonTree& t, int node) { return t[node].key_end > 0 ? t[node].key_begin : t[node].begin; }

// Where the next member's line can start: behind a comment that ends the line of `at`.
std::size_t behind_line_comment(std::string_view text, std::size_t at) {
  const std::size_t word = text.find_first_not_of(" \t", at);
  if (word == std::string_view::npos || !text.substr(word).starts_with("//")) return at;
  const std::size_t end = text.find_first_of("\r\n", word);
  return end == std::string_view::npos ? text.size() : end;
}

std::string inserted(const JsonTree& t, int parent, const std::string& entry) {
  const JsonNode& p = t[parent];
  std::string text(t.text);
  if (p.last < 0) {
    const bool tight = text.substr(p.begin + 1, p.end - p.begin - 2).find_first_not_of(" \t\r\n") == std::string::npos;
    if (tight)
      return text.replace(p.begin + 1, p.end - p.begin - 2, p.kind == Kind::object ? " " + entry + " " : entry);
    return text.insert(p.begin + 1, " " + entry + " ");
  }
  const std::size_t end = t[p.last].end, start = start_of(t, p.last);
  if (!starts_its_line(t.text, start)) return text.insert(end, ", " + entry);
  // An existing line comment stays with its line; the comma goes before it.
  const std::size_t next_line = behind_line_comment(t.text, end);
  text.insert(next_line, "\n" + indent_at(t.text, start) + entry);
  return text.insert(end, ",");
}

// Takes the entry and the one comma that goes with it; comments stay.
std::string removed(const JsonTree& t, int node) {
  const JsonNode& n = t[node];
  std::string text(t.text);
  std::size_t begin = start_of(t, node), end = n.end;
  const bool first = t[n.parent].first == node;
  const auto comma_between = [&t](std::size_t a, std::size_t b) {
    for (std::size_t i = a; i < b; ++i) {
      if (t.text.substr(i).starts_with("//"))
        i = std::min(t.text.find('\n', i), b);
      else if (t.text.substr(i).starts_with("/*"))
        i = t.text.find("*/", i) + 1;
      else if (t.text[i] == ',')
        return i;
    }
    return b;
  };
  if (n.next >= 0) {
    const std::size_t comma = comma_between(end, start_of(t, n.next));
    text.erase(comma, 1);
    if (comma == end) {
      // Nothing between value and comma: the white space up to the next entry goes too, where that is all there is.
      const std::size_t next = start_of(t, n.next) - 1;
      if (text.substr(end, next - end).find_first_not_of(" \t\r\n") == std::string::npos) end = next;
    }
    return text.erase(begin, end - begin);
  }
  text.erase(begin, end - begin);
  if (!first) {
    int previous = t[n.parent].first;
    while (t[previous].next != node) previous = t[previous].next;
    const std::size_t comma = comma_between(t[previous].end, begin);
    text.erase(comma, 1);
    begin -= 1;
  }
  while (begin > 0 && (text[begin - 1] == ' ' || text[begin - 1] == '\t')) text.erase(--begin, 1);
  // An emptied line goes; a line that goes on must not slide under a line comment above it.
  const std::size_t rest = text.find_first_not_of(" \t", begin);
  if (begin > 0 && text[begin - 1] == '\n' && rest != std::string::npos && (text[rest] == '\n' || text[rest] == '\r'))
    text.erase(--begin, 1);
  return text;
}

Result<std::string> spliced(const JsonTree& t, const std::string& path, std::string value) {
  if (const int node = t.find(path); node >= 0) {
    if (value.empty()) {
      if (node == 0) return no_place(path, "the file itself cannot be removed");
      return removed(t, node);
    }
    return std::string(t.text).replace(t[node].begin, t[node].end - t[node].begin, value);
  }
  if (value.empty()) return no_place(path, "it is not written");
  // The deepest record or list that is there; what is missing between it and the value is made.
  std::string_view rest = path;
  std::string_view known;
  int parent = 0;
  for (std::size_t cut = path.find('/'); cut != std::string::npos; cut = path.find('/', cut + 1)) {
    const std::string_view head = std::string_view(path).substr(0, cut);
    if (const int node = t.find(head); node >= 0) {
      parent = node;
      known = head;
      rest = std::string_view(path).substr(cut + 1);
    }
  }
  for (std::size_t cut = rest.rfind('/'); cut != std::string_view::npos; cut = rest.rfind('/')) {
    value = "{ " + json_quoted(rest.substr(cut + 1)) + ": " + value + " }";
    rest = rest.substr(0, cut);
  }
  if (t[parent].kind == Kind::object) return inserted(t, parent, json_quoted(rest) + ": " + value);
  if (t[parent].kind != Kind::array)
    return no_place(path, "\"" + std::string(known) + "\" is neither a record nor a list");
  if (rest != std::to_string(t[parent].size))
    return no_place(path, "the list has " + std::to_string(t[parent].size) + " entries");
  return inserted(t, parent, value);
}

}  // namespace

Result<Document> edited(const Document& document, const std::string& path, const std::string& value) {
  const Result<JsonTree> tree = read_json(document.text);
  if (!tree) return tree.findings();
  std::string token;
  if (!value.empty()) {
    const Result<JsonTree> one = read_json(value);
    if (!one) {
      const Finding& f = one.findings().front();
      return Finding{Severity::error, "edit.value", path, "the new value is not JSON: " + f.message, f.remedy};
    }
    token = one->raw(0);  // without comments around it, which could swallow what follows
  }
  Result<std::string> text = spliced(*tree, path, token);
  if (!text) return text.findings();
  return reparsed(document, std::move(text).value());
}

Result<Document> taken(const Document& document, std::size_t piece, const product::Offer& offer) {
  const bool inch = document.design.units == Units::inch;
  Document now = document;
  for (const product::Offer::Edit& e : offer.edits) {
    const std::string value = std::isnan(e.length_mm) ? ""
                              : inch                  ? trimmed_number(e.length_mm / 25.4, 5)
                                                      : trimmed_number(e.length_mm, 3);
    Result<Document> next = edited(now, "pieces/" + std::to_string(piece) + "/" + e.field, value);
    if (!next) return next.findings();
    now = std::move(next).value();
  }
  return now;
}

}  // namespace kerfkiln::job
