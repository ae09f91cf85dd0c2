// The files that a design names. The kernel computes with values; whoever reads a design reads them for it.
#pragma once
#include <filesystem>

#include "modeler/job/design.hpp"

namespace kerfkiln::job {

// Gives every piece the drawing file it names, looked for below document.folder (an empty folder: none is found), and
// keeps the bytes of each in document.files. Files that `known` holds are taken from it, so that an edit reads nothing
// again. A file that cannot be used leaves its
// findings with the piece, which reports them:
//   file.path        not a plain path below the design's folder
//   file.unreadable  not there, no regular file, or not permitted
//   and those of plane::read_drawing
void attach_files(Document&, const Document* known = nullptr);

}  // namespace kerfkiln::job
