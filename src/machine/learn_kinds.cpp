#include "machine/learn_kinds.h"

#include "machine/bits.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace buckram::machine {
namespace {

using stitch::Op;

constexpr std::array kGapOps{Op::trim, Op::change, Op::stop};

Bits constant_bits(const std::vector<Bits>& words, int length) {
  Bits varying = 0;
  for (const Bits word : words) varying |= word ^ words[0];
  return all_bits(length) & ~varying;
}

// Records of one form, in every place where it stands.
struct FormWords {
  std::size_t kind = 0;
  std::vector<Bits> words;
  std::vector<int> needles;
  std::optional<Number> needle{};
};

struct OperationWords {
  Op does = Op::sew;
  std::vector<FormWords> forms;
};

class Drafter {
 public:
  Drafter(const Model& model, const std::vector<Sample>& samples, const Choice& choice)
      : model_(model), samples_(samples), choice_(choice) {}

  std::optional<Draft> run() && {
    add_kinds();
    add_steps();
    for (const Op op : kGapOps) {
      if (model_.gaps[gap_of(op)] > 0 && !add_gap(op)) return std::nullopt;
    }
    if (choice_.end != Choice::End::none && !add_end()) return std::nullopt;
    if (!fit_needles()) return std::nullopt;
    set_masks();
    for (OperationWords& operation : operations_) add_operation(operation);
    return std::move(draft_);
  }

 private:
  Layout& layout() { return draft_.layout; }

  std::size_t add_kind(std::string name, const StepModel* steps, int length) {
    Kind kind{.name = std::move(name), .length = length};
    if (steps != nullptr) {
      kind.x = steps->x;
      kind.y = steps->y;
    }
    layout().kinds.push_back(std::move(kind));
    return layout().kinds.size() - 1;
  }

  void add_kinds() {
    const Shape& shape = model_.shape;
    for (std::size_t k = 0; k < static_cast<std::size_t>(shape.n_lengths); ++k) {
      const bool is_short = shape.lengths[k] < shape.lengths[1 - k];
      step_kind_[k] = add_kind(shape.n_lengths == 1 ? "step"
                               : is_short           ? "short"
                                                    : "long",
                               &model_.sew[k], shape.lengths[k]);
    }
    if (model_.has_own_moves) move_kind_ = add_kind("move", &model_.move[0], model_.move_length);
    const bool has_signal =
        choice_.end == Choice::End::signal ||
        std::any_of(choice_.is_signal.begin(), choice_.is_signal.end(), [](bool is) { return is; });
    if (has_signal) signal_kind_ = add_kind("signal", nullptr, choice_.signal_length);
  }

  Bits word(std::size_t sample, std::size_t at, int length) const {
    return word_at(samples_[sample].bytes, at) & all_bits(length);
  }

  // Stitches and moves, the shorter record first.
  void add_steps() {
    const Shape& shape = model_.shape;
    const bool is_turned = shape.n_lengths == 2 && shape.lengths[1] < shape.lengths[0];
    for (const Op op : {Op::sew, Op::move}) {
      std::array<FormWords, 2> forms;
      forms[0].kind = step_kind_[0];
      forms[1].kind = step_kind_[1];
      const bool is_own = op == Op::move && model_.has_own_moves;
      if (is_own) forms[0].kind = move_kind_;
      for (std::size_t s = 0; s < samples_.size(); ++s) {
        for (const Piece& piece : model_.pieces[s]) {
          if (piece.step.op != op) continue;
          const Bits record = word(s, piece.at, static_cast<int>(piece.size));
          forms[is_own ? 0 : shape.which(record)].words.push_back(record);
        }
      }
      if (is_turned && !is_own) std::swap(forms[0], forms[1]);
      for (FormWords& form : forms) {
        if (!form.words.empty()) operations_.push_back({op, {std::move(form)}});
      }
    }
  }

  // The records of which `size` bytes at `at` consist: kind and length of each; empty when they are
  // not steps of 0 to the last byte.
  std::vector<std::size_t> zero_steps(std::size_t sample, std::size_t at, std::size_t size) const {
    std::vector<std::size_t> kinds;
    std::size_t done = 0;
    while (done < size) {
      const Bits record = word_at(samples_[sample].bytes, at + done);
      const std::size_t which = model_.shape.which(record);
      const StepModel& steps = model_.sew[which];
      if (value_of(steps.x, record) != 0 || value_of(steps.y, record) != 0) return {};
      kinds.push_back(step_kind_[which]);
      done += static_cast<std::size_t>(steps.length);
    }
    return done == size ? kinds : std::vector<std::size_t>{};
  }

  bool add_records(OperationWords& operation, std::size_t sample, std::size_t at, std::size_t size,
                   bool is_signal, int needle) {
    std::vector<std::size_t> kinds;
    if (is_signal) {
      const auto length = static_cast<std::size_t>(choice_.signal_length);
      if (length == 0 || size % length != 0) return false;
      kinds.assign(size / length, signal_kind_);
    } else {
      kinds = zero_steps(sample, at, size);
    }
    if (kinds.empty()) return false;
    if (operation.forms.empty()) {
      for (const std::size_t kind : kinds) operation.forms.push_back({kind, {}, {}});
    }
    if (operation.forms.size() != kinds.size()) return false;
    for (std::size_t k = 0; k < kinds.size(); ++k) {
      FormWords& form = operation.forms[k];
      if (form.kind != kinds[k]) return false;
      const int length = layout().kinds[kinds[k]].length;
      form.words.push_back(word(sample, at, length));
      form.needles.push_back(needle);
      at += static_cast<std::size_t>(length);
    }
    return true;
  }

  bool add_gap(Op op) {
    OperationWords operation{op, {}};
    for (std::size_t s = 0; s < samples_.size(); ++s) {
      for (const Piece& piece : model_.pieces[s]) {
        if (piece.step.op != op) continue;
        const bool is_signal = choice_.is_signal[gap_of(op)];
        if (!add_records(operation, s, piece.at, piece.size, is_signal, piece.step.needle)) {
          return false;
        }
      }
    }
    operations_.push_back(std::move(operation));
    return true;
  }

  bool add_end() {
    OperationWords operation{Op::end, {}};
    const bool is_signal = choice_.end == Choice::End::signal;
    for (std::size_t s = 0; s < samples_.size(); ++s) {
      const std::size_t at = samples_[s].bytes.size() - model_.tail;
      const int length =
          is_signal ? choice_.signal_length
                    : model_.shape.lengths[model_.shape.which(word_at(samples_[s].bytes, at))];
      draft_.end_size = static_cast<std::size_t>(length);
      if (draft_.end_size > model_.tail) return false;
      if (!add_records(operation, s, at, draft_.end_size, is_signal, 0)) return false;
    }
    const FormWords& form = operation.forms.front();
    if (constant_bits(form.words, 8) != ~Bits{0}) return false;  // fields, not a record
    operations_.push_back(std::move(operation));
    return true;
  }

  // Bits of changes that differ must give the needles.
  bool fit_needles() {
    for (OperationWords& operation : operations_) {
      if (operation.does == Op::sew || operation.does == Op::move) continue;
      for (FormWords& form : operation.forms) {
        const int length = layout().kinds[form.kind].length;
        if (constant_bits(form.words, length) == all_bits(length)) continue;
        if (operation.does != Op::change) return false;
        const auto fit = fit_exactly(form.words, form.needles);
        if (!fit || fit->number.bits.empty()) return false;
        form.needle = fit->number;
        if (fit->rank >= fit->n_equations || fit->open != 0) {
          draft_.asked.push_back(fmt::format(
              "changes to {} needles leave open how others are written: a pattern with a change "
              "to every needle",
              fit->n_equations));
        }
      }
    }
    return true;
  }

  // What a kind's number and needles use.
  Bits used_bits(std::size_t kind) const {
    Bits used = bits_of(draft_.layout.kinds[kind].x) | bits_of(draft_.layout.kinds[kind].y);
    for (const OperationWords& operation : operations_) {
      for (const FormWords& form : operation.forms) {
        if (form.kind == kind) used |= bits_of(form.needle);
      }
    }
    return used;
  }

  void set_masks() {
    for (std::size_t k = 0; k < layout().kinds.size(); ++k) {
      std::vector<Bits> words;
      for (const OperationWords& operation : operations_) {
        for (const FormWords& form : operation.forms) {
          if (form.kind == k) words.insert(words.end(), form.words.begin(), form.words.end());
        }
      }
      if (words.empty()) continue;
      Kind& kind = layout().kinds[k];
      kind.mask = constant_bits(words, kind.length) & ~used_bits(k);
      kind.value = words[0] & kind.mask;
    }
    if (signal_kind_ == kNone) return;
    for (const Kind& outer : layout().kinds) {
      if (outer.x) narrow(layout().kinds[signal_kind_], outer);
    }
  }

  // A signal within a step's kind is opened by one of x and y alone: by the one that never changes.
  static void narrow(Kind& signal, const Kind& outer) {
    const Bits within = bits_within(outer, signal);
    const Bits x = bits_of(outer.x), y = bits_of(outer.y);
    if ((within & x) == 0 || (within & y) == 0) return;
    if ((within & x) == x) {
      signal.mask &= ~y;
    } else if ((within & y) == y) {
      signal.mask &= ~x;
    }
    signal.value &= signal.mask;
  }

  void add_operation(const OperationWords& words) {
    Operation operation{words.does, {}};
    const FormWords* last = nullptr;
    for (const FormWords& form : words.forms) {
      const bool repeats =
          last != nullptr && last->kind == form.kind && last->words == form.words && !form.needle;
      last = &form;
      if (repeats) {
        ++operation.records.back().times;
        continue;
      }
      const Kind& kind = layout().kinds[form.kind];
      const Bits axes = bits_of(kind.x) | bits_of(kind.y) | bits_of(form.needle);
      RecordForm record{.kind = form.kind};
      record.mask = constant_bits(form.words, kind.length) & ~kind.mask & ~axes;
      record.value = form.words[0] & record.mask;
      record.needle = form.needle;
      operation.records.push_back(record);
    }
    layout().operations.push_back(std::move(operation));
  }

  static constexpr std::size_t kNone = ~std::size_t{0};
  const Model& model_;
  const std::vector<Sample>& samples_;
  const Choice& choice_;
  std::array<std::size_t, 2> step_kind_{kNone, kNone};
  std::size_t move_kind_ = kNone, signal_kind_ = kNone;
  std::vector<OperationWords> operations_;
  Draft draft_;
};

}  // namespace

std::vector<Choice> choices_for(const Model& model, const std::vector<Sample>& samples) {
  std::vector<Choice> all;
  const std::size_t n_samples = samples.size();
  for (unsigned set = 0; set < 8; ++set) {
    Choice choice;
    int common = 0;
    bool is_needed = true;
    for (std::size_t gap = 0; gap < 3; ++gap) {
      choice.is_signal[gap] = ((set >> gap) & 1) != 0;
      if (!choice.is_signal[gap]) continue;
      is_needed = is_needed && model.gaps[gap] > 0;
      common = std::gcd(common, std::max(model.gaps[gap], 0));
    }
    if (!is_needed || n_samples == 0) continue;
    for (const Choice::End end : {Choice::End::step, Choice::End::signal, Choice::End::none}) {
      choice.end = end;
      if (model.tail == 0 && end != Choice::End::none) continue;
      const bool is_own_end = end == Choice::End::signal && common == 0;
      for (int length = kLongestRecord; length >= 1; --length) {
        const bool divides = common > 0 && common % length == 0;
        if (!divides && !is_own_end && common > 0) continue;
        choice.signal_length = length;
        all.push_back(choice);
        if (common == 0 && !is_own_end) break;
      }
    }
  }
  return all;
}

std::optional<Draft> draft_layout(const Model& model, const std::vector<Sample>& samples,
                                  const Choice& choice) {
  return Drafter(model, samples, choice).run();
}

}  // namespace buckram::machine
