// What every sheet and part carries about the job it belongs to.
#pragma once
#include <string>
#include <vector>

#include "modeler/job/design.hpp"
#include "modeler/job/set.hpp"

namespace kerfkiln::output {

struct JobInfo {
  std::string title, hash;
  job::Order order;
  job::Units units = job::Units::mm;
  std::string program;  // "kerfkiln 0.1.0"
};
JobInfo job_info(const job::Design&);

// A document with all its pieces evaluated: what writers and sheets work from.
struct Job {
  JobInfo info;
  std::vector<product::Product> products;
  std::vector<product::Figure> totals;
  job::Set set;                       // what the pieces need together
  Findings findings;                  // of reading
  std::string text;                   // the design file as the maker wrote it; the packet holds a copy
  std::vector<job::NamedFile> files;  // those that the design names; likewise
};
Job evaluate(const job::Document&);
Job evaluate(const job::Document&, job::Memo&);  // pieces that did not change are taken from the memo

}  // namespace kerfkiln::output
