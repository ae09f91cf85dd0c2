#include "export/document/job_info.hpp"

namespace kerfkiln::output {

JobInfo job_info(const job::Design& design) {
  JobInfo info;
  info.title = design.title;
  info.hash = job::hash(design);
  info.order = design.order;
  info.units = design.units;
  info.program = "kerfkiln " KERFKILN_VERSION;
  return info;
}

Job evaluate(const job::Document& document) {
  job::Memo fresh;
  return evaluate(document, fresh);
}

Job evaluate(const job::Document& document, job::Memo& memo) {
  Job job;
  job.info = job_info(document.design);
  job.findings = document.findings;
  job.text = document.text;
  job.files = document.files;
  job.products = job::evaluate(document.design, memo);
  job.set = job::set_of(document.design, job.products);
  job.totals = job::totals(document.design, job.products, job.set);
  append(job.findings, job.set.findings);
  return job;
}

}  // namespace kerfkiln::output
