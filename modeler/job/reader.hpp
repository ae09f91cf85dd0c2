// The visitor that fills typed values from JSON, collecting every finding on the way.
#pragma once
#include <map>
#include <set>

#include "modeler/base/parameter.hpp"
#include "modeler/job/design.hpp"
#include "modeler/job/json_tree.hpp"

namespace kerfkiln::job {

class Reader final : public Visitor {
 public:
  static constexpr std::size_t kMostFindings = 200;

  // Reads node 0 of the tree; `design` supplies units and material names as far as they have been read.
  Reader(const JsonTree&, const Design&, Findings&);
  void read_root(const Fields&);

  void quantity(const FieldInfo&, Dimension, Quantity&) override;
  void integer(const FieldInfo&, int&) override;
  void flag(const FieldInfo&, bool&) override;
  void text(const FieldInfo&, std::string&) override;
  void tuple(const FieldInfo&, std::span<const TupleItem>) override;
  void record(const FieldInfo&, const Fields&) override;
  void list(const FieldInfo&, List&) override;
  void map(const FieldInfo&, Map&) override;
  void alternatives(const FieldInfo&, Alternatives&) override;
  void kept(const FieldInfo&, KeptSlot) override;

 private:
  int take(const FieldInfo&);  // the member's node, or the element's; -1: not written (a finding if required)
  void read_quantity(int node, const FieldInfo&, Dimension, Quantity&);
  void check_text(int node, const FieldInfo&, const std::string&);
  void members(int node, const Fields&, std::string_view also_known);
  void on(int node, const std::function<void()>& describe_one);
  bool is(int node, JsonNode::Kind, std::string_view expected, const FieldInfo&);
  std::size_t counted(int node, const FieldInfo&);
  std::size_t chosen_form(int node, const FieldInfo&, const Alternatives&);
  void not_computed(int node, const FieldInfo&);
  void unknown_key(int node);
  void duplicate_keys(int node);
  void add(Severity, std::string code, int node, std::string message, std::string remedy);
  std::string shown(int node) const;  // a value's text, shortened

  const JsonTree& tree_;
  const Design& design_;
  Findings& findings_;
  std::vector<bool> seen_;
  int at_ = -1;                          // the record whose members are described; -1: it is not written
  int element_ = -1;                     // what an empty key stands for
  std::vector<std::string_view> known_;  // keys described in the current record
  std::set<std::string> noted_;          // paths, indices left out, that have their note
  std::map<std::string_view, std::vector<std::string>> names_;  // by map of materials, once asked for
};

}  // namespace kerfkiln::job
