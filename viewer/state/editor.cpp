#include "viewer/state/editor.hpp"

#include <algorithm>
#include <fstream>
#include <iterator>

#include "export/writer/safe_file.hpp"

namespace kerfkiln::viewer {
namespace {

std::optional<std::string> contents(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return std::nullopt;
  return std::string(std::istreambuf_iterator<char>(in), {});
}

// UTF-8 continuation bytes never start a splice, or a step would hold half a character.
bool inside_character(const std::string& s, std::size_t i) {
  return i < s.size() && (static_cast<unsigned char>(s[i]) & 0xC0U) == 0x80U;
}

std::string spliced(const std::string& text, std::size_t at, std::size_t length, const std::string& with) {
  std::string out;
  out.reserve(text.size() - length + with.size());
  out.append(text, 0, at).append(with).append(text, at + length);
  return out;
}

}  // namespace

Splice difference(const std::string& from, const std::string& to) {
  const std::size_t shorter = std::min(from.size(), to.size());
  std::size_t head = 0;
  while (head < shorter && from[head] == to[head]) ++head;
  while (head > 0 && (inside_character(from, head) || inside_character(to, head))) --head;
  std::size_t tail = 0;
  while (tail < shorter - head && from[from.size() - 1 - tail] == to[to.size() - 1 - tail]) ++tail;
  while (tail > 0 && (inside_character(from, from.size() - tail) || inside_character(to, to.size() - tail))) --tail;
  return {head, from.substr(head, from.size() - head - tail), to.substr(head, to.size() - head - tail)};
}

Editor Editor::of_text(std::string text) {
  Editor e;
  e.document_ = std::make_shared<const job::Document>(job::parse(std::move(text)));
  return e;
}

Result<Editor> Editor::of_file(const std::filesystem::path& path) {
  Result<job::Document> read = job::read(path);
  if (!read) return read.findings();
  Editor e;
  e.path_ = path;
  e.on_disk_ = read->text;
  e.document_ = std::make_shared<const job::Document>(std::move(read).value());
  return e;
}

void Editor::become(job::Document d) {
  document_ = std::make_shared<const job::Document>(std::move(d));
  ++revision_;
}
void Editor::become(std::string text) { become(job::reparsed(*document_, std::move(text))); }

Result<bool> Editor::set(const std::string& path, const std::string& value, Gesture gesture) {
  Result<job::Document> next = job::edited(*document_, path, value);
  if (!next) return next.findings();
  if (next->text == document_->text) return false;
  const bool merges = gesture != 0 && !undo_.empty() && undo_.back().gesture == gesture && redo_.empty();
  if (!merges) {
    gesture_base_ = document_->text;
    undo_.push_back({{}, path, gesture});
  }
  Splice whole = difference(gesture_base_, next->text);
  if (whole.removed.empty() && whole.inserted.empty())
    undo_.pop_back();  // dragged back to where it began
  else
    undo_.back().splice = std::move(whole);
  redo_.clear();
  become(std::move(next).value());
  return true;
}

void Editor::undo() {
  if (undo_.empty()) return;
  Step step = std::move(undo_.back());
  undo_.pop_back();
  step.gesture = 0;
  become(spliced(document_->text, step.splice.at, step.splice.inserted.size(), step.splice.removed));
  redo_.push_back(std::move(step));
}

void Editor::redo() {
  if (redo_.empty()) return;
  Step step = std::move(redo_.back());
  redo_.pop_back();
  become(spliced(document_->text, step.splice.at, step.splice.removed.size(), step.splice.inserted));
  undo_.push_back(std::move(step));
}

void Editor::replace(std::string text, const std::string& label) {
  Splice whole = difference(document_->text, text);
  if (whole.removed.empty() && whole.inserted.empty()) return;
  undo_.push_back({std::move(whole), label, 0});
  redo_.clear();
  become(std::move(text));
}

std::optional<Finding> Editor::write_to(const std::filesystem::path& path) {
  if (Findings trouble = output::write_whole(path, document_->text); !trouble.empty()) return trouble.front();
  path_ = path;
  on_disk_ = document_->text;
  // A drag that goes on after saving must not swallow the step that was saved.
  if (!undo_.empty()) undo_.back().gesture = 0;
  return std::nullopt;
}

std::optional<Finding> Editor::save(bool over) {
  if (path_.empty())
    return Finding{Severity::error, "file.no_name", "", "This design has no file yet.", "Choose where to save it."};
  if (!over && on_disk_) {
    const std::optional<std::string> now = contents(path_);
    if (now && *now != *on_disk_)
      return Finding{Severity::error, "file.changed_outside", "",
                     path_.filename().string() + " was changed by another program since it was opened here.",
                     "Save over it, save under another name, or read it again."};
  }
  return write_to(path_);
}

std::optional<Finding> Editor::save_as(const std::filesystem::path& path) { return write_to(path); }

}  // namespace kerfkiln::viewer
