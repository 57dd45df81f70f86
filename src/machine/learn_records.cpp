#include "machine/learn_records.h"

#include "base/base.h"
#include "machine/bits.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace buckram::machine {
namespace {

using stitch::Op;

constexpr std::size_t kMostHead = 2048;
constexpr int kMostGap = 24;  // bytes of one trim, change or stop

struct Seen {
  std::vector<Bits> words;
  std::vector<int> dx, dy;
  void add(Bits word, const Step& step) {
    words.push_back(word);
    dx.push_back(step.dx);
    dy.push_back(step.dy);
  }
};

bool holds_only(const Pattern& pattern, std::initializer_list<Op> ops) {
  return std::all_of(pattern.steps.begin(), pattern.steps.end(), [&](const Step& step) {
    return std::find(ops.begin(), ops.end(), step.op) != ops.end();
  });
}

// Equal steps give equal records, others different ones.
class Agreement {
 public:
  bool add(Bits word, const Step& step) {
    const std::pair<int, int> key{step.dx, step.dy};
    const auto [by_step, is_new_step] = word_of_.try_emplace(key, word);
    const auto [by_word, is_new_word] = step_of_.try_emplace(word, key);
    return by_step->second == word && by_word->second == key;
  }

 private:
  std::map<std::pair<int, int>, Bits> word_of_;
  std::map<Bits, std::pair<int, int>> step_of_;
};

void set_constants(const std::vector<Bits>& words, StepModel& model) {
  Bits varying = 0;
  for (const Bits word : words) varying |= word ^ words[0];
  model.mask = all_bits(model.length) & ~varying & ~bits_of(model.x) & ~bits_of(model.y);
  model.value = words[0] & model.mask;
  model.is_seen = true;
}

std::optional<StepModel> fit_steps(const Seen& seen, int length) {
  StepModel model;
  model.length = length;
  const auto x = fit_exactly(seen.words, seen.dx);
  if (!x) return std::nullopt;
  const auto y = fit_exactly(seen.words, seen.dy);
  if (!y || (bits_of(x->number) & bits_of(y->number)) != 0) return std::nullopt;
  // More equations than unknowns by a few, or else anything fits.
  if (x->n_equations < x->rank + 4) return std::nullopt;
  model.x_fit = *x;
  model.y_fit = *y;
  model.x = x->number;
  model.y = y->number;
  set_constants(seen.words, model);
  return model;
}

class Finder {
 public:
  Finder(const std::vector<Sample>& samples, Progress& progress,
         const std::function<bool(const Model&)>& take)
      : samples_(samples), progress_(progress), take_(take) {
    for (std::size_t s = 0; s < samples.size(); ++s) {
      if (holds_only(samples[s].pattern, {Op::sew, Op::end})) sewn_.push_back(s);
      if (holds_only(samples[s].pattern, {Op::sew, Op::move, Op::end})) moved_.push_back(s);
    }
  }

  void run() {
    if (sewn_.empty()) return progress_.reach(0, "no pattern holds stitches alone");
    for (int length = 1; length <= kLongestRecord; ++length) {
      Shape shape;
      shape.lengths = {length, length};
      if (try_heads(shape)) return;
    }
    for (int a = 1; a <= kLongestRecord; ++a) {
      for (int b = 1; b <= kLongestRecord; ++b) {
        for (int tell = 0; a != b && tell < 8 * std::min(a, b); ++tell) {
          if (try_heads({0, 2, {a, b}, tell})) return;
        }
      }
    }
  }

 private:
  std::string_view bytes(std::size_t s) const { return samples_[s].bytes; }
  const std::vector<Step>& steps(std::size_t s) const { return samples_[s].pattern.steps; }

  bool try_heads(Shape shape) {
    const auto shortest = static_cast<std::size_t>(std::min(shape.lengths[0], shape.lengths[1]));
    std::size_t most = kMostHead;
    for (const std::size_t s : sewn_) {
      const std::size_t least = (steps(s).size() - 1) * shortest;
      if (bytes(s).size() < least) return false;
      most = std::min(most, bytes(s).size() - least);
    }
    for (shape.head = 0; shape.head <= most; ++shape.head) {
      if (try_shape(shape)) return true;
    }
    return false;
  }

  bool try_shape(const Shape& shape) {
    std::array<Seen, 2> seen;
    Agreement agreement;
    std::optional<std::size_t> tail;
    for (const std::size_t s : sewn_) {
      std::size_t at = shape.head;
      for (const Step& step : steps(s)) {
        if (step.op == Op::end) break;
        if (at >= bytes(s).size()) return false;
        const Bits word = word_at(bytes(s), at);
        const std::size_t which = shape.which(word);
        const int length = shape.lengths[which];
        const Bits record = word & all_bits(length);
        if (!agreement.add(record, step)) return false;
        seen[which].add(record, step);
        at += static_cast<std::size_t>(length);
      }
      if (at > bytes(s).size()) return false;
      if (tail && *tail != bytes(s).size() - at) return false;
      tail = bytes(s).size() - at;
    }
    if (seen[0].words.empty() || (shape.n_lengths == 2 && seen[1].words.empty())) return false;
    return try_numbers(shape, seen, *tail);
  }

  bool try_numbers(const Shape& shape, const std::array<Seen, 2>& seen, std::size_t tail) {
    progress_.reach(1,
                    "records were found that repeat as the stitches do, but no whole weights of "
                    "their bits give the stitches; check the unit and the coordinates keyed in");
    Model model;
    model.shape = shape;
    model.tail = tail;
    for (std::size_t k = 0; k < static_cast<std::size_t>(shape.n_lengths); ++k) {
      const auto fit = fit_steps(seen[k], shape.lengths[k]);
      if (!fit) return false;
      model.sew[k] = *fit;
    }
    progress_.reach(2,
                    "stitches were found, but no moves; is there a pattern of moves and stitches "
                    "alone?");
    if (try_moves_as_sews(model)) return true;
    for (int length = 1; length <= kLongestRecord; ++length) {
      if (try_own_moves(model, length)) return true;
    }
    return false;
  }

  // Length of a stitch's record, or of a move's; 0 when a stitch does not say its step.
  int length_at(const Model& model, Bits word, const Step& step) const {
    if (step.op == Op::move && model.has_own_moves) return model.move_length;
    const std::size_t which = model.shape.which(word);
    const StepModel& sew = model.sew[which];
    if (step.op == Op::sew) return sew.gives(word, step) ? sew.length : 0;
    return value_of(sew.x, word) == step.dx && value_of(sew.y, word) == step.dy ? sew.length : 0;
  }

  // Reads the samples without trims, changes and stops; moves by their place alone.
  bool read_moves(const Model& model, std::array<Seen, 2>& seen) const {
    for (const std::size_t s : moved_) {
      std::size_t at = model.shape.head;
      for (const Step& step : steps(s)) {
        if (step.op == Op::end) break;
        if (at >= bytes(s).size()) return false;
        const Bits word = word_at(bytes(s), at);
        const int length = length_at(model, word, step);
        if (length == 0) return false;
        const std::size_t which = model.has_own_moves ? 0 : model.shape.which(word);
        if (step.op == Op::move) seen[which].add(word & all_bits(length), step);
        at += static_cast<std::size_t>(length);
      }
      if (at > bytes(s).size() || bytes(s).size() - at != model.tail) return false;
    }
    return true;
  }

  bool try_moves_as_sews(Model model) {
    std::array<Seen, 2> seen;
    if (!read_moves(model, seen) || (seen[0].words.empty() && seen[1].words.empty())) return false;
    for (std::size_t k = 0; k < seen.size(); ++k) {
      if (seen[k].words.empty()) continue;
      model.move[k] = model.sew[k];
      set_constants(seen[k].words, model.move[k]);
    }
    return try_operations(std::move(model));
  }

  bool try_own_moves(Model model, int length) {
    model.has_own_moves = true;
    model.move_length = length;
    std::array<Seen, 2> seen;
    if (!read_moves(model, seen) || seen[0].words.empty()) return false;
    const auto fit = fit_steps(seen[0], length);
    if (!fit) return false;
    model.move[0] = *fit;
    return try_operations(std::move(model));
  }

  // Whole samples, with trims, changes and stops of as many bytes as let the next stitches be read.
  bool try_operations(Model model) {
    progress_.reach(3,
                    "stitches and moves were found, but no number of bytes for trims, changes "
                    "and stops lets the stitches between them be read");
    model.pieces.assign(samples_.size(), {});
    for (std::size_t s = 0; s < samples_.size(); ++s) {
      if (!read_on(model, s, 0, model.shape.head)) return false;
    }
    progress_.reach(4, "all operations were found, but not how they are told apart");
    return take_(model);
  }

  // Reads sample s from its step `from` at byte `at`.
  bool read_on(Model& model, std::size_t s, std::size_t from, std::size_t at) const {
    for (std::size_t i = from; i < steps(s).size(); ++i) {
      const Step& step = steps(s)[i];
      if (step.op == Op::end) return at <= bytes(s).size() && bytes(s).size() - at == model.tail;
      int size = 0;
      if (step.op == Op::sew || step.op == Op::move) {
        if (at >= bytes(s).size()) return false;
        const Bits word = word_at(bytes(s), at);
        size = length_at(model, word, step);
        if (size == 0 || !is_known_move(model, word, step)) return false;
      } else {
        size = model.gaps[gap_of(step.op)];
        if (size < 0) return try_gaps(model, s, i, at);
      }
      model.pieces[s].push_back({step, at, static_cast<std::size_t>(size)});
      at += static_cast<std::size_t>(size);
    }
    return false;
  }

  bool is_known_move(const Model& model, Bits word, const Step& step) const {
    if (step.op != Op::move) return true;
    const std::size_t which = model.has_own_moves ? 0 : model.shape.which(word);
    return model.move[which].is_seen && model.move[which].gives(word, step);
  }

  bool try_gaps(Model& model, std::size_t s, std::size_t i, std::size_t at) const {
    const std::size_t gap = gap_of(steps(s)[i].op), n_pieces = model.pieces[s].size();
    const std::array<int, 3> before = model.gaps;
    for (int size = 0; size <= kMostGap; ++size) {
      model.gaps = before;
      model.gaps[gap] = size;
      model.pieces[s].resize(n_pieces);
      if (read_on(model, s, i, at)) return true;
    }
    model.gaps = before;
    return false;
  }

  const std::vector<Sample>& samples_;
  Progress& progress_;
  const std::function<bool(const Model&)>& take_;
  std::vector<std::size_t> sewn_, moved_;  // samples of stitches alone; and moves
};

}  // namespace

bool StepModel::gives(Bits word, const Step& step) const {
  return (word & mask) == value && value_of(x, word) == step.dx && value_of(y, word) == step.dy;
}

std::size_t gap_of(Op op) {
  return op == Op::trim ? 0U : op == Op::change ? 1U : 2U;
}

void Progress::reach(int at, const std::string& said) {
  if (at < stage || (at == stage && !words.empty())) return;
  stage = at;
  words = said;
}

void find_models(const std::vector<Sample>& samples, Progress& progress,
                 const std::function<bool(const Model&)>& take) {
  Finder(samples, progress, take).run();
}

}  // namespace buckram::machine
