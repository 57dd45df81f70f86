#include "artwork/seam_spacing.h"

#include "artwork/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace buckram::artwork {
namespace {

using geometry::Box;
using geometry::Point;
using geometry::Polygon;

constexpr double kSliceMm = 0.25;
constexpr double kCentredMm = 0.1;   // as near as a stem has to be to be centred
constexpr double kUprightMm = 0.25;  // a stem's edges stray no further from their first place
constexpr double kWidestStemMm = 4;
constexpr double kNearMm = 1;          // what else lies so near a letter holds it
constexpr double kLeastGap = 2.0 / 3;  // of a gap between letters has to stay

struct Stem {
  double x0 = 0, x1 = 0;  // edges, mean
  double tall_mm = 0;

  double middle() const { return (x0 + x1) / 2; }
  bool is_half_on(double shift, double clear) const {
    const bool is_clear = x0 + shift >= clear - 1e-6 || x1 + shift <= -clear + 1e-6;
    return !is_clear && std::abs(middle() + shift) > kCentredMm + 1e-6;
  }
};

// A stem as it grows from slice to slice.
struct Growing {
  geometry::Span first;
  double row_mm = 0;  // of the last slice
  double sum_from = 0, sum_to = 0;
  int n = 0;
};

bool goes_on(const Growing& stem, const geometry::Span& span, double row_mm) {
  return std::abs(row_mm - stem.row_mm - kSliceMm) < 1e-6 &&
         std::abs(span.from - stem.first.from) < kUprightMm &&
         std::abs(span.to - stem.first.to) < kUprightMm;
}

// Upright strokes of at least two fifths of the letter's height.
std::vector<Stem> stems_of(const Polygon& letter, const Box& box) {
  std::vector<Growing> growing;
  for (const geometry::Row& row : geometry::hatch({letter}, 0, kSliceMm)) {
    for (const geometry::Span& span : row.spans) {
      if (span.to - span.from > kWidestStemMm) continue;
      auto stem = std::find_if(growing.begin(), growing.end(),
                               [&](const Growing& g) { return goes_on(g, span, row.offset); });
      if (stem == growing.end()) {
        growing.push_back({span, row.offset, 0, 0, 0});
        stem = growing.end() - 1;
      }
      stem->row_mm = row.offset;
      stem->sum_from += span.from;
      stem->sum_to += span.to;
      ++stem->n;
    }
  }
  std::vector<Stem> stems;
  for (const Growing& g : growing) {
    if (g.n * kSliceMm >= 0.4 * box.height()) {
      stems.push_back({g.sum_from / g.n, g.sum_to / g.n, g.n * kSliceMm});
    }
  }
  return stems;
}

// What a word is asked: where its stems stand and how each letter follows the one at the seam.
struct Spacing {
  std::vector<std::vector<Stem>> stems;  // by letter
  const Word& word;
  int at_seam = 0;

  // The ends keep their places; letters between share the shift.
  double shift(int letter, double at_seam_mm) const {
    const int last = static_cast<int>(word.size()) - 1;
    if (letter == at_seam) return at_seam_mm;
    if (letter < at_seam) return at_seam_mm * letter / at_seam;
    return at_seam_mm * (last - letter) / (last - at_seam);
  }
};

double half_on_mm(const Spacing& spacing, double shift, double clear) {
  double sum = 0;
  for (int k = 0; k < static_cast<int>(spacing.stems.size()); ++k) {
    for (const Stem& stem : spacing.stems[static_cast<std::size_t>(k)]) {
      if (stem.is_half_on(spacing.shift(k, shift), clear)) sum += stem.tall_mm;
    }
  }
  return sum;
}

bool keeps_gaps(const Spacing& spacing, double shift) {
  for (int k = 0; k + 1 < static_cast<int>(spacing.word.size()); ++k) {
    const double gap = spacing.word[static_cast<std::size_t>(k) + 1].box.x0 -
                       spacing.word[static_cast<std::size_t>(k)].box.x1;
    const double change = spacing.shift(k + 1, shift) - spacing.shift(k, shift);
    if (change < 0 && gap + change < kLeastGap * gap) return false;
  }
  return true;
}

// The shift of the letter at the seam that leaves least of stems half on it, the smaller of two
// alike; 0 where none is better than standing still.
double best_shift(const Spacing& spacing, const SeamSpacing& limits) {
  std::vector<double> tries;
  for (const Stem& stem : spacing.stems[static_cast<std::size_t>(spacing.at_seam)]) {
    tries.insert(tries.end(),
                 {-stem.middle(), limits.clear_mm - stem.x0, -limits.clear_mm - stem.x1});
  }
  double best = 0, best_mm = half_on_mm(spacing, 0, limits.clear_mm);
  for (const double shift : tries) {
    if (std::abs(shift) > limits.most_mm || !keeps_gaps(spacing, shift)) continue;
    const double mm = half_on_mm(spacing, shift, limits.clear_mm);
    const bool is_better = mm < best_mm - 1e-6 ||
                           (mm < best_mm + 1e-6 && best != 0 && std::abs(shift) < std::abs(best));
    if (is_better) best = shift, best_mm = mm;
  }
  return best;
}

double nearest_mm(const Polygon& a, const Polygon& b) {
  double least = INFINITY;
  for (const Point p : a.outer) least = std::min(least, geometry::distance_to_outline({b}, p));
  for (const Point p : b.outer) least = std::min(least, geometry::distance_to_outline({a}, p));
  return least;
}

// Whether something that stays behind holds the piece where it is.
bool is_held(const PaintedPiece& piece, const std::vector<PaintedPiece>& pieces,
             const std::set<int>& moving) {
  for (int i = 0; i < static_cast<int>(pieces.size()); ++i) {
    const PaintedPiece& other = pieces[static_cast<std::size_t>(i)];
    if (moving.contains(i) || !other.box.meets(piece.box, kNearMm)) continue;
    if (nearest_mm(piece.area, other.area) < kNearMm) return true;
    const bool is_ground =
        other.shape < piece.shape && geometry::contains(other.area, piece.area.outer.front());
    const bool is_apart = !geometry::contains(other.area, piece.area.outer.front()) &&
                          !geometry::contains(piece.area, other.area.outer.front());
    if (!is_ground && !is_apart) return true;
  }
  return false;
}

bool may_move(const Word& word, const std::vector<PaintedPiece>& pieces) {
  std::set<int> moving;
  for (const WordLetter& letter : word) moving.insert(letter.pieces.begin(), letter.pieces.end());
  return std::none_of(moving.begin(), moving.end(), [&](int i) {
    return is_held(pieces[static_cast<std::size_t>(i)], pieces, moving);
  });
}

// The letter that has most to gain: the one with a stem half on the seam nearest to it.
int letter_at_seam(const std::vector<std::vector<Stem>>& stems, double clear) {
  int best = -1;
  double best_mm = INFINITY;
  for (int k = 0; k < static_cast<int>(stems.size()); ++k) {
    for (const Stem& stem : stems[static_cast<std::size_t>(k)]) {
      if (!stem.is_half_on(0, clear) || std::abs(stem.middle()) >= best_mm) continue;
      best = k;
      best_mm = std::abs(stem.middle());
    }
  }
  return best;
}

void move_sideways(const PaintedPiece& piece, double units, Drawing& drawing) {
  const geometry::Affine move{1, 0, 0, 1, units, 0};
  Shape& shape = drawing.shapes[static_cast<std::size_t>(piece.shape)];
  Polygon& polygon = shape.area[static_cast<std::size_t>(piece.polygon)];
  for (MiddleLine& line : shape.middle_lines) {
    if (!line.line.empty() && geometry::contains(polygon, line.line[line.line.size() / 2])) {
      line.line = geometry::transformed(line.line, move);
    }
  }
  polygon = geometry::transformed(polygon, move);
}

Note note_of(const Word& word, const PaintedPiece& letter, const Shape& shape, double shift) {
  return {
      "moved", shape.source, letter.box.middle(),
      fmt::format("{:.1f} mm to the {}, so that its stem does not lie half on the centre seam; the "
                  "other {} letters of the word share the shift",
                  std::abs(shift), shift > 0 ? "right" : "left", word.size() - 1)};
}

}  // namespace

Spaced space_at_seam(Drawing drawing, const geometry::Affine& placement,
                     const SeamSpacing& limits) {
  Spaced spaced{std::move(drawing), {}};
  const std::vector<PaintedPiece> pieces = painted_pieces(spaced.drawing, placement);
  for (const Word& word : words_at(pieces, -limits.clear_mm, limits.clear_mm)) {
    Spacing spacing{{}, word, 0};
    for (const WordLetter& letter : word) {
      const auto& body = pieces[static_cast<std::size_t>(letter.pieces.front())];
      spacing.stems.push_back(stems_of(body.area, body.box));
    }
    spacing.at_seam = letter_at_seam(spacing.stems, limits.clear_mm);
    if (spacing.at_seam < 0) continue;
    const double shift = best_shift(spacing, limits);
    if (shift == 0 || !may_move(word, pieces)) continue;
    for (int k = 0; k < static_cast<int>(word.size()); ++k) {
      for (const int i : word[static_cast<std::size_t>(k)].pieces) {
        move_sideways(pieces[static_cast<std::size_t>(i)], spacing.shift(k, shift) / placement.a,
                      spaced.drawing);
      }
    }
    const auto& letter = word[static_cast<std::size_t>(spacing.at_seam)];
    const auto& body = pieces[static_cast<std::size_t>(letter.pieces.front())];
    spaced.notes.push_back(
        note_of(word, body, spaced.drawing.shapes[static_cast<std::size_t>(body.shape)], shift));
  }
  return spaced;
}

}  // namespace buckram::artwork
