// Where widgets stand on the screen, by name, so that a test can find and move them like a hand would.
#pragma once
#include <array>
#include <map>
#include <string>

namespace kerfkiln::viewer {

class Marks {
 public:
  bool wanted = false;
  void begin() { now_.clear(), words_.clear(); }
  // The widget just submitted (pixels from the upper left of the window); nothing where it is scrolled out of sight.
  void item(const std::string& name);
  void area(const std::string& name, float x0, float y0, float x1, float y1);
  void word(const std::string& name, const std::string& text);
  // JSON {"widgets": {name: [x0, y0, x1, y1]}, "words": {name: text}}.
  std::string json() const;

 private:
  std::map<std::string, std::array<float, 4>> now_;
  std::map<std::string, std::string> words_;
};

}  // namespace kerfkiln::viewer
