#include "artwork/words.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace buckram::artwork {
namespace {

using geometry::Box;

constexpr double kLeastTallMm = 2.5, kMostTallMm = 30;
constexpr double kMostWide = 1.6;  // heights; wider is a bar or a picture
constexpr double kUnlike = 2.2;    // between heights: an x beside a capital with a descender
constexpr double kMostGap = 0.8;   // heights
constexpr std::size_t kLeastLetters = 3;

bool may_be_letter(const Box& box) {
  return box.height() >= kLeastTallMm && box.height() <= kMostTallMm &&
         box.width() <= kMostWide * box.height();
}

bool stand_in_a_row(const Box& a, const Box& b) {
  const double low = std::min(a.height(), b.height()), tall = std::max(a.height(), b.height());
  const double shared = std::min(a.y1, b.y1) - std::max(a.y0, b.y0);
  const double gap = std::max(a.x0, b.x0) - std::min(a.x1, b.x1);
  return tall <= kUnlike * low && shared >= 0.5 * low && gap <= kMostGap * tall;
}

// The next letter to the right (side 1) or left (-1), none at the word's end.
std::optional<int> next_letter(const std::vector<PaintedPiece>& pieces, int from, double side) {
  const PaintedPiece& here = pieces[static_cast<std::size_t>(from)];
  std::optional<int> best;
  double best_mm = 0;
  for (int i = 0; i < static_cast<int>(pieces.size()); ++i) {
    const PaintedPiece& piece = pieces[static_cast<std::size_t>(i)];
    const double mm = side * (piece.box.middle().x - here.box.middle().x);
    const bool is_beside = mm > 0.3 * std::min(piece.box.width(), here.box.width());
    if (i == from || !is_beside || (best && mm >= best_mm)) continue;
    if (piece.colour != here.colour || !may_be_letter(piece.box)) continue;
    if (!stand_in_a_row(piece.box, here.box)) continue;
    best = i;
    best_mm = mm;
  }
  return best;
}

// Dots and accents: smaller, over or under the letter, nearer than half its height.
void add_accents(const std::vector<PaintedPiece>& pieces, WordLetter& letter) {
  const PaintedPiece& body = pieces[static_cast<std::size_t>(letter.pieces.front())];
  const Box& box = body.box;
  for (int i = 0; i < static_cast<int>(pieces.size()); ++i) {
    const PaintedPiece& piece = pieces[static_cast<std::size_t>(i)];
    if (i == letter.pieces.front() || piece.colour != body.colour) continue;
    const double gap = std::max(piece.box.y0 - box.y1, box.y0 - piece.box.y1);
    const double middle = piece.box.middle().x;
    if (gap < 0 || gap > 0.5 * box.height() || piece.box.height() > 0.5 * box.height()) continue;
    if (middle > box.x0 - 0.2 * box.width() && middle < box.x1 + 0.2 * box.width()) {
      letter.pieces.push_back(i);
    }
  }
}

Word word_of(const std::vector<PaintedPiece>& pieces, int seed) {
  std::vector<int> row{seed};
  for (auto i = next_letter(pieces, seed, -1); i; i = next_letter(pieces, *i, -1)) {
    row.insert(row.begin(), *i);
  }
  for (auto i = next_letter(pieces, seed, 1); i; i = next_letter(pieces, *i, 1)) row.push_back(*i);
  Word word;
  for (const int i : row) {
    word.push_back({{i}, pieces[static_cast<std::size_t>(i)].box});
    add_accents(pieces, word.back());
  }
  return word;
}

}  // namespace

std::vector<PaintedPiece> painted_pieces(const Drawing& drawing,
                                         const geometry::Affine& placement) {
  std::vector<PaintedPiece> pieces;
  for (std::size_t s = 0; s < drawing.shapes.size(); ++s) {
    const Shape& shape = drawing.shapes[s];
    for (std::size_t k = 0; k < shape.area.size(); ++k) {
      PaintedPiece piece{static_cast<int>(s),
                         static_cast<int>(k),
                         geometry::transformed(shape.area[k], placement),
                         {},
                         shape.colour};
      piece.box = geometry::bounds(piece.area);
      pieces.push_back(std::move(piece));
    }
  }
  return pieces;
}

std::vector<Word> words_at(const std::vector<PaintedPiece>& pieces, double x0, double x1) {
  std::vector<Word> words;
  std::vector<bool> is_taken(pieces.size());
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const Box& box = pieces[i].box;
    if (is_taken[i] || box.x1 < x0 || box.x0 > x1 || !may_be_letter(box)) continue;
    Word word = word_of(pieces, static_cast<int>(i));
    if (word.size() < kLeastLetters) continue;
    bool is_new = true;
    for (const WordLetter& letter : word) {
      for (const int k : letter.pieces) is_new = is_new && !is_taken[static_cast<std::size_t>(k)];
    }
    if (!is_new) continue;
    for (const WordLetter& letter : word) {
      for (const int k : letter.pieces) is_taken[static_cast<std::size_t>(k)] = true;
    }
    words.push_back(std::move(word));
  }
  return words;
}

}  // namespace buckram::artwork
