// Who covers which place: the objects' outlines on a grid of square cells.
//
// Two questions about travel are asked of it. Which objects lie close enough together that thread
// can pass from under one to under the other: a graph, for the search. And which cells are still
// covered by something sewn later than a given step: heights, for the path itself. Exact polygon
// unions would cost milliseconds for every link; the grid costs its building once. Being wrong by
// half a cell is paid for by the inset.
#pragma once

#include "sequence/precedence.h"

#include <span>
#include <vector>

namespace buckram::sequence {

class CoverGrid {
 public:
  // Cells of 0.2 mm, larger when there would be more than a million. O(covered cells).
  CoverGrid(const std::vector<digitise::Object>& objects, double inset_mm);

  int n_cells() const { return columns_ * rows_; }
  int columns() const { return columns_; }
  double pitch_mm() const { return pitch_mm_; }
  // -1 outside the grid.
  int cell(geometry::Point p) const;
  geometry::Point middle(int cell) const;
  // Objects whose outline holds the middle of the cell, by index, sorted.
  std::span<const int> objects_at(int cell) const;

  // Thread passes only where all within the inset is covered. Under one object it can pass within
  // each connected piece of the cells that lie so with everything else on the cloth: a line of
  // stitches has none, a shape with a narrow neck two. The largest piece of object i is piece i (no
  // cells where it has none), the others follow.
  int n_pieces() const { return static_cast<int>(object_of_piece_.size()); }
  int object_of_piece(int piece) const { return object_of_piece_[static_cast<std::size_t>(piece)]; }
  // For each piece those that touch it broadly: somewhere both cover a cell around which their two
  // objects together cover everything within the inset. Sorted; symmetric; not reflexive.
  std::vector<std::vector<int>> neighbours() const;
  // Pieces with some cell whose middle is within `reach_mm` of p and lies deep enough under the
  // other objects than `without` (-1: under all); none of that object's own. Sorted.
  std::vector<int> pieces_near(geometry::Point p, double reach_mm, int without) const;
  // Objects that cover some cell whose middle is within `reach_mm` of p, sorted.
  std::vector<int> near(geometry::Point p, double reach_mm) const;

  const geometry::Box& box() const { return box_; }
  // Heights of the cells that objects within `box` may cover, and `low`, the least height within
  // the inset: what is higher than t there is deep enough inside the union of all objects higher
  // than t. A cell's height is the largest value of the objects that cover it, -1 where none does.
  void raise(const std::vector<int>& value_of_object, const geometry::Box& box,
             std::vector<int>& heights, std::vector<int>& low) const;

 private:
  struct Window {
    int i0, j0, i1, j1;  // cells, all within the grid
  };
  Window window(const geometry::Box& box, int more_cells) const;
  void find_pieces();
  bool is_deep(int cell, int without) const;
  // Calls visit(cell) for those whose middles are within `reach_mm` of p.
  template <typename Visit>
  void each_near(geometry::Point p, double reach_mm, Visit visit) const;

  int n_objects_ = 0;
  double pitch_mm_ = 0.2;
  geometry::Box box_;
  int columns_ = 1, rows_ = 1;
  std::vector<int> start_, items_;  // objects by cell, compressed
  std::vector<int> piece_;          // by item; -1: too near to an edge
  std::vector<int> object_of_piece_;
  struct Offset {
    int i, j;
  };
  std::vector<Offset> disc_;  // cells whose middles are within the inset
};

}  // namespace buckram::sequence
