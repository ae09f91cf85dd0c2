#include "modeler/job/complete.hpp"

#include "modeler/job/describe.hpp"

namespace kerfkiln::job {
namespace {

class Gaps final : public Visitor {
 public:
  std::vector<std::string> paths;

  void quantity(const FieldInfo& info, Dimension, Quantity& q) override {
    check(info, q, info.required || info.key.empty());
  }
  void integer(const FieldInfo& info, int& i) override {
    if (!info.range.contains(i)) paths.push_back(path(info.key));
  }
  void flag(const FieldInfo&, bool&) override {}
  void text(const FieldInfo& info, std::string& s) override {
    if (info.required && s.empty()) paths.push_back(path(info.key));
  }
  void tuple(const FieldInfo& info, std::span<const TupleItem> items) override {
    bool needed = info.required || info.key.empty();
    for (const TupleItem& item : items) needed = needed || item.value->known() || !item.value->written.empty();
    below(info.key, [&] {
      for (std::size_t i = 0; i < items.size(); ++i)
        below(std::to_string(i), [&] { check(items[i].info, *items[i].value, needed); });
    });
  }
  void record(const FieldInfo& info, const Fields& fields) override {
    // A part that may be missing is checked only as far as it is there: its builder knows what unknown means.
    if (!info.part) below(info.key, [&] { fields(*this); });
  }
  void list(const FieldInfo& info, List& items) override {
    if (!info.range.contains(static_cast<double>(items.size()))) paths.push_back(path(info.key));
    below(info.key, [&] {
      for (std::size_t i = 0; i < items.size(); ++i) below(std::to_string(i), [&] { items.element(*this, i); });
    });
  }
  void map(const FieldInfo& info, Map& items) override {
    below(info.key, [&] {
      for (std::size_t i = 0; i < items.size(); ++i) below(items.name(i), [&] { items.element(*this, i); });
    });
  }
  void alternatives(const FieldInfo& info, Alternatives& forms) override {
    const std::size_t form = forms.chosen();
    if (form >= forms.count() && !info.required && !info.key.empty()) return;
    if (form >= forms.count() || !forms.at(form).computed) return paths.push_back(path(info.key));
    if (!forms.at(form).word) below(info.key, [&] { forms.fields(*this); });
  }
  void kept(const FieldInfo&, KeptSlot) override {}

 private:
  std::string path(std::string_view key) const {
    if (key.empty()) return at_;
    return at_.empty() ? std::string(key) : at_ + "/" + std::string(key);
  }
  template <class F>
  void below(std::string_view key, F inside) {
    const std::string outer = at_;
    at_ = path(key);
    inside();
    at_ = outer;
  }
  void check(const FieldInfo& info, const Quantity& q, bool needed) {
    // Text without a value is a value that could not be read.
    const bool unread = !q.known() && (needed || !q.written.empty());
    if (unread || (q.known() && !info.range.contains(q.value))) paths.push_back(path(info.key));
  }
  std::string at_;
};

}  // namespace

Findings incomplete(const Piece& piece) {
  Gaps gaps;
  Piece copy = piece;
  describe(gaps, {}, copy);
  if (gaps.paths.empty()) return {};
  std::string list;
  for (std::size_t i = 0; i < gaps.paths.size() && i < 8; ++i) list += (i > 0 ? ", " : "") + gaps.paths[i];
  if (gaps.paths.size() > 8) list += ", ...";
  return {{Severity::error, "piece.incomplete", "", "not computed: missing or out of range: " + list,
           "Give these values first."}};
}

}  // namespace kerfkiln::job
