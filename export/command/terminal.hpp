// What the command says, and where: results on standard output, messages on standard error.
#pragma once
#include <string>
#include <vector>

#include "export/document/job_info.hpp"
#include "modeler/base/finding.hpp"

namespace kerfkiln::output {

// Exit codes, the same for every command.
enum class Exit { done = 0, design = 1, usage = 2, file = 3, fault = 70 };

// One finding, one line: "error: pieces/0/wall: what is wrong. What to do. [code]". Control characters, which could
// drive a terminal, become blanks.
std::string finding_line(const Finding&);
std::string finding_lines(const Findings&);
// "2 errors, 1 warning", "no findings".
std::string summary(const Findings&);

// The findings of reading and of every piece.
Findings all_findings(const Job&);

// The figures as a table for people: key, value with unit, band, label; a heading for each piece.
std::string figures_text(const Job&);

// Writes to standard output, all of it, and reports "file.unwritable" (a full disk, a closed pipe) as a finding.
Findings print(const std::string& text);
void complain(const std::string& text);  // standard error; nothing to be done if that fails

// One line on standard error that is written over as the work goes on; silent unless standard error is a terminal.
class Progress {
 public:
  Progress();
  ~Progress();  // clears the line
  void show(double done, const std::string& what);

 private:
  bool terminal_;
  bool shown_ = false;
};

}  // namespace kerfkiln::output
