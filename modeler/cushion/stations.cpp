#include "modeler/cushion/stations.hpp"

#include <algorithm>
#include <cctype>

namespace kerfkiln::cushion {

namespace {

constexpr double kShortMm = 150, kTooShortMm = 20;

// "F" for front, or "3." where initials repeat or are no plain letter.
std::vector<std::string> prefixes(const std::vector<std::string>& names) {
  std::vector<std::string> out;
  for (const std::string& name : names) {
    const auto c = static_cast<unsigned char>(name.empty() ? ' ' : name[0]);
    out.push_back(std::isalpha(c) && c < 128 ? std::string(1, static_cast<char>(std::toupper(c))) : "");
  }
  const std::vector<std::string> initials = out;
  for (std::size_t i = 0; i < out.size(); ++i)
    if (initials[i].empty() || std::count(initials.begin(), initials.end(), initials[i]) > 1)
      out[i] = std::to_string(i + 1) + ".";
  return out;
}

}  // namespace

std::vector<Station> stations_of(const plane::Outline& outline, const std::vector<std::string>& shown) {
  const std::vector<std::string> prefix = prefixes(shown);
  std::vector<int> used(shown.size(), 0);
  std::vector<Station> stations;
  const auto visit = [&](const plane::Loop& loop) {
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const int side = loop[i].side;
      if (side < 0 || side >= static_cast<int>(shown.size())) continue;
      const plane::Segment s = plane::segment(loop, i);
      if (s.length() < kTooShortMm) continue;
      const std::vector<double> places =
          s.length() < kShortMm ? std::vector<double>{0.5} : std::vector<double>{1.0 / 6, 0.5, 5.0 / 6};
      for (const double t : places) {
        const auto k = static_cast<std::size_t>(side);
        stations.push_back({prefix[k] + std::to_string(++used[k]), s.point(t), s.inward(t), side});
      }
    }
  };
  visit(outline.outer);
  for (const plane::Loop& hole : outline.holes) visit(hole);
  return stations;
}

std::vector<std::string> marks_of(const std::vector<Station>& stations, const std::vector<int>& sides) {
  std::vector<std::string> marks;
  for (const Station& s : stations)
    if (std::find(sides.begin(), sides.end(), s.side) != sides.end()) marks.push_back(s.mark);
  return marks;
}

}  // namespace kerfkiln::cushion
