// Quadrature over the part of a grid's cells that lies within an outline of lines and arcs.
//
// Cells that the outline cuts are swept by vertical lines between the places where the outline turns or meets a grid
// line, so that limits are smooth in between: polynomials are integrated exactly under lines, under arcs to the order
// of the rule, with nodes gathered where an arc stands upright.
#pragma once
#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include "modeler/plane/outline.hpp"

namespace kerfkiln::cushion {

// Gauss-Legendre nodes and weights on 0 ... 1; n is rounded up to a rule that is there, 2 to 16.
struct FewNodes {
  std::vector<double> node, weight;
};
const FewNodes& few_nodes(int n);

class PlanCells {
 public:
  // x and y: grid lines, strictly ascending, at least two each, that enclose the loops. Loops simple, outer
  // counter-clockwise, holes clockwise.
  PlanCells(std::span<const plane::Loop> loops, std::vector<double> x, std::vector<double> y);

  enum class State : unsigned char { outside, cut, full };
  State state(int i, int j) const { return states_[at(i, j)]; }
  int columns() const { return static_cast<int>(x_.size()) - 1; }
  int rows() const { return static_cast<int>(y_.size()) - 1; }

  struct Node {
    int i, j;  // cell
    Vec2 at;
    double weight;  // mm2
  };
  // An upright line across a cell's material; integrals over it count with the weight.
  struct Upright {
    int i, j;  // cell
    double x, from, to;
    double weight;  // mm
  };
  // n lines to a strip; across arcs twice as many.
  void each_cut_line(int n, const std::function<void(const Upright&)>&) const;
  // Those lines with n nodes each.
  void each_cut_node(int n, const std::function<void(const Node&)>&) const;
  struct EdgeNode {
    int i, j;
    Vec2 at, outward;  // unit
    double weight;     // mm
  };
  void each_edge_node(int n, const std::function<void(const EdgeNode&)>&) const;

  // Between low < high no end, turn or meeting with a grid line of x: the lines x = const cross the outline in these
  // pairs of heights, rising.
  struct Strip {
    int column;
    double low, high;
    bool upright_low, upright_high;  // an arc stands upright there
    bool curved;
    std::vector<std::size_t> pieces;  // an even number, rising
  };
  const std::vector<Strip>& strips() const { return strips_; }
  double height(std::size_t piece, double x) const;
  std::span<const double> x() const { return x_; }
  std::span<const double> y() const { return y_; }

 private:
  struct Piece {  // runs monotonously in x and in y
    plane::Segment s;
    double low_x, high_x, low_y, high_y;
    Vec2 centre;
    double radius = 0;
    double bend = 0;  // +1 the upper half of its circle, -1 the lower, 0 a line
    double side = 0;  // +1 the right half
  };
  std::size_t at(int i, int j) const {
    return static_cast<std::size_t>(j) * (x_.size() - 1) + static_cast<std::size_t>(i);
  }
  int row_of(double y) const;
  int column_of(double x) const;
  void add_pieces(const plane::Loop&);
  double place(const Piece&, double y) const;
  void make_strips();
  void mark();

  std::vector<double> x_, y_;
  std::vector<Piece> pieces_;
  std::vector<Strip> strips_;
  std::vector<State> states_;
};

}  // namespace kerfkiln::cushion
