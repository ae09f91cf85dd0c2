// The packet: everything the bench gets, written whole or not at all.
#pragma once
#include <filesystem>
#include <functional>

#include "export/document/job_info.hpp"
#include "export/drawing/canvas.hpp"

namespace kerfkiln::output {

struct PacketOptions {
  double deviation_mm = 0.05;
  Paper paper = Paper::a4;
  std::string piece;  // empty: all
};
struct PacketReport {
  std::filesystem::path folder;
  std::vector<std::string> files;  // relative, sorted
};
// progress(done 0 ... 1, what) returns false to cancel; nothing is then left behind. Refuses with findings if the job
// has errors ("packet.errors"), the folder is not a packet of ours ("packet.foreign"), or a file cannot be written
// ("file.unwritable").
Result<PacketReport> write_packet(const Job&, const std::filesystem::path& out, const PacketOptions&,
                                  const std::function<bool(double, const std::string&)>& progress = {});

}  // namespace kerfkiln::output
