// The design being edited: the document as it stands, what can be undone, and how it stands to the file on disk.
#pragma once
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "modeler/job/design.hpp"

namespace kerfkiln::viewer {

// One change of the text, kept as what went out and what came in: undo without limit costs what was typed, not copies.
struct Splice {
  std::size_t at = 0;
  std::string removed, inserted;
};
Splice difference(const std::string& from, const std::string& to);

class Editor {
 public:
  using Gesture = std::uint64_t;  // edits of one drag carry the same number; 0 stands for itself alone

  // A design that has no file yet.
  static Editor of_text(std::string text);
  static Result<Editor> of_file(const std::filesystem::path&);

  std::shared_ptr<const job::Document> document() const { return document_; }
  std::uint64_t revision() const { return revision_; }  // grows with every change, undo and redo included
  const std::filesystem::path& path() const { return path_; }
  bool dirty() const { return document_->text != on_disk_; }

  // Revisions go on counting from another editor's, so that what was evaluated for it is not taken for ours.
  void continue_after(const Editor& other) { revision_ = other.revision_ + 1; }

  // The value at `path` becomes the JSON text `value`; comments and all else stay. Consecutive edits of one gesture
  // are one step of undo. False: nothing changed.
  Result<bool> set(const std::string& path, const std::string& value, Gesture gesture = 0);
  bool can_undo() const { return !undo_.empty(); }
  bool can_redo() const { return !redo_.empty(); }
  std::string undo_label() const { return undo_.empty() ? "" : undo_.back().label; }
  std::string redo_label() const { return redo_.empty() ? "" : redo_.back().label; }
  void undo();
  void redo();
  // The whole text anew, as one step (a file read again after it changed outside).
  void replace(std::string text, const std::string& label);

  // Whole or not at all: temporary file beside the target, synced, renamed. Codes "file.unwritable",
  // "file.changed_outside" (someone else wrote the file since; save with `over` to win), "file.no_name".
  std::optional<Finding> save(bool over = false);
  std::optional<Finding> save_as(const std::filesystem::path&);

 private:
  struct Step {
    Splice splice;
    std::string label;  // the path edited
    Gesture gesture = 0;
  };
  Editor() = default;
  void become(std::string text);
  void become(job::Document);
  std::optional<Finding> write_to(const std::filesystem::path&);

  std::shared_ptr<const job::Document> document_;
  std::filesystem::path path_;
  std::optional<std::string> on_disk_;
  std::vector<Step> undo_, redo_;
  std::string gesture_base_;  // the text before the first edit of the last gesture
  std::uint64_t revision_ = 1;
};

}  // namespace kerfkiln::viewer
