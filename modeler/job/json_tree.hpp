// Where each value of a JSON text stands: what keeps a maker's comments and spelling alive through an edit.
#pragma once
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "modeler/base/result.hpp"

namespace kerfkiln::job {

inline constexpr std::size_t kLargestFile = 16u << 20;  // bytes
inline constexpr int kDeepestNesting = 64;

// One value. Indices are into JsonTree::nodes; -1: none.
struct JsonNode {
  enum class Kind : std::uint8_t { object, array, string, number, boolean, null };
  std::uint32_t begin = 0, end = 0;          // of the value's text
  std::uint32_t key_begin = 0, key_end = 0;  // of the key's text with its quotes, in an object
  std::int32_t parent = -1, first = -1, last = -1, next = -1;
  std::uint32_t index = 0;  // among its siblings
  std::uint32_t size = 0;   // number of children
  Kind kind = Kind::null;
};

// The text outlives the tree. Node 0 is the root.
struct JsonTree {
  std::string_view text;
  std::vector<JsonNode> nodes;

  const JsonNode& operator[](int i) const { return nodes[static_cast<std::size_t>(i)]; }
  std::string_view raw(int i) const { return text.substr((*this)[i].begin, (*this)[i].end - (*this)[i].begin); }
  std::string key(int i) const;  // unescaped
  bool key_is(int i, std::string_view) const;
  std::string string(int i) const;                     // unescaped value of a string node
  int member(int object, std::string_view key) const;  // the first of that key
  int element(int array, std::size_t index) const;
  std::string path(int i) const;          // "pieces/0/wall"
  int find(std::string_view path) const;  // keys may hold slashes: the longest key that fits wins
  std::string compact(int i) const;       // tokens as written, no comments, no white space
};

// Checked against the JSON grammar (comments allowed), the size and the nesting limit. Codes file.size, json.syntax,
// json.nesting; messages name line and column (from 1, columns in bytes).
Result<JsonTree> read_json(std::string_view text);

std::string json_quoted(std::string_view text);  // with quotes, escapes as short as JSON allows

}  // namespace kerfkiln::job
