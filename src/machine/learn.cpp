#include "machine/learn.h"

#include "base/base.h"
#include "machine/bits.h"
#include "machine/layout_file.h"
#include "machine/learn_fields.h"
#include "machine/learn_kinds.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>

namespace buckram::machine {
namespace {

using stitch::Op;

[[noreturn]] void fail(const std::string& what, const std::string& hint) {
  throw base::Error{base::ErrorCode::bad_stitches, what, "layout learn", hint};
}

class Learner {
 public:
  Learner(const std::vector<Sample>& samples, const LearnOptions& options)
      : samples_(samples), options_(options) {}

  Learnt run() && {
    find_models(samples_, progress_, [this](const Model& model) { return try_model(model); });
    if (!is_done_) {
      fail(
          progress_.words.empty() ? "no length of record and no place to begin fits the stitches"
                                  : progress_.words,
          "Check that each file was saved from the pattern it is given with, and with the unit and "
          "coordinates as they were keyed in; docs/layouts.md says what can be learnt");
    }
    return std::move(learnt_);
  }

 private:
  bool try_model(const Model& model) {
    for (const Choice& choice : choices_for(model, samples_)) {
      auto draft = draft_layout(model, samples_, choice);
      if (!draft || !faults_of(draft->layout).empty()) continue;
      progress_.reach(5,
                      "operations can be told apart, but the layout found does not write the "
                      "patterns byte for byte");
      try {
        if (!add_parts(model, *draft)) continue;
      } catch (const base::Error&) {
        continue;  // its own records do not read, or a field does not hold
      }
      tell(model, *draft);
      is_done_ = true;
      return true;
    }
    return false;
  }

  // Steps as the layout can say them.
  static std::vector<Step> known_steps(const Pattern& pattern, const Codec& codec) {
    std::vector<Step> steps;
    for (Step step : pattern.steps) {
      const bool is_said = step.op == Op::end || codec.can_do(step.op);
      if (!codec.names_needles()) step.needle = 0;
      if (is_said) steps.push_back(step);
    }
    return steps;
  }

  bool add_parts(const Model& model, Draft& draft) {
    Layout& layout = draft.layout;
    layout.name = options_.name;
    layout.title = "learnt from patterns";
    layout.extension = options_.extension;
    layout.unit_mm = options_.unit_mm;
    const std::size_t after = model.tail - draft.end_size;
    const Codec codec(layout);
    std::vector<std::string_view> heads, tails;
    std::vector<Tally> tallies;
    for (const Sample& sample : samples_) {
      const std::string_view bytes = sample.bytes;
      const std::size_t end = bytes.size() - after;
      const Codec::Decoded decoded = codec.decode(bytes, model.shape.head, end, "sample");
      if (decoded.end != end || decoded.steps != known_steps(sample.pattern, codec)) return false;
      heads.push_back(bytes.substr(0, model.shape.head));
      tails.push_back(bytes.substr(end));
      tallies.push_back(tally_of(decoded.steps,
                                 bytes.substr(model.shape.head, end - model.shape.head),
                                 decoded.n_records));
    }
    LearntParts before = learn_parts(heads, tallies, 0);
    LearntParts behind = learn_parts(tails, tallies, samples_.front().bytes.size() - after);
    layout.before = std::move(before.parts);
    layout.after = std::move(behind.parts);
    learnt_ = {};
    for (const LearntParts* parts : {&before, &behind}) {
      learnt_.found.insert(learnt_.found.end(), parts->found.begin(), parts->found.end());
      learnt_.asked.insert(learnt_.asked.end(), parts->asked.begin(), parts->asked.end());
    }
    return writes_samples(layout, codec);
  }

  // Free parts at `at` take the sample's bytes.
  static void free_parts(const std::vector<Part>& parts, std::size_t at, const std::string& bytes,
                         std::string& written) {
    for (const Part& part : parts) {
      const bool is_free = part.what == Part::What::free;
      if (is_free) written.replace(at, part.size(), bytes, at, part.size());
      at += part.size();
    }
  }

  // Byte for byte, but for free parts.
  bool writes_samples(const Layout& layout, const Codec& codec) const {
    for (const Sample& sample : samples_) {
      std::string written = write_steps(layout, codec, known_steps(sample.pattern, codec));
      if (written.size() != sample.bytes.size()) return false;
      free_parts(layout.before, 0, sample.bytes, written);
      free_parts(layout.after, written.size() - size_of(layout.after), sample.bytes, written);
      if (written != sample.bytes) return false;
    }
    return true;
  }

  void tell(const Model& model, Draft& draft) {
    learnt_.layout = std::move(draft.layout);
    learnt_.asked.insert(learnt_.asked.end(), draft.asked.begin(), draft.asked.end());
    std::vector<std::string> first;
    first.push_back(fmt::format("{} bytes before the records, {} after them", model.shape.head,
                                size_of(learnt_.layout.after)));
    for (const Kind& kind : learnt_.layout.kinds) {
      first.push_back(fmt::format("records of kind {}: {} bytes", kind.name, kind.length));
    }
    learnt_.found.insert(learnt_.found.begin(), first.begin(), first.end());
    for (const StepModel& steps : model.sew) {
      if (steps.is_seen) tell_fits(steps);
    }
    if (model.has_own_moves) tell_fits(model.move[0]);
    tell_operations(model);
    tell_range();
  }

  void tell_fits(const StepModel& steps) {
    for (const auto& [axis, fit] : {std::pair{"x", &steps.x_fit}, {"y", &steps.y_fit}}) {
      learnt_.found.push_back(
          fmt::format("{} in records of {} bytes: {} bits, rank {} of {} different records", axis,
                      steps.length, fit->number.bits.size(), fit->rank, fit->n_equations));
      const Bits open = fit->open & bits_of(fit->number);
      if (open == 0) continue;
      learnt_.assumed.push_back(
          fmt::format("{} in records of {} bytes: bits {} were always equal and were taken to go "
                      "on doubling, the last one counting backwards where that fits",
                      axis, steps.length, places_text(open)));
    }
  }

  void tell_operations(const Model& model) {
    for (const auto& [op, words] :
         {std::pair{Op::trim, "trim"}, {Op::change, "thread change"}, {Op::stop, "stop"}}) {
      const int size = model.gaps[gap_of(op)];
      if (size < 0) {
        learnt_.asked.push_back(
            fmt::format("no pattern holds a {0}: one that does, or the layout "
                        "has no {0}",
                        words));
      } else if (size == 0) {
        learnt_.found.push_back(fmt::format("a {} writes nothing", words));
      } else {
        learnt_.found.push_back(fmt::format("a {} is {} bytes", words, size));
      }
    }
  }

  // Steps that the patterns did not show, up to the longest that they did.
  void tell_range() {
    int longest = 0;
    std::vector<Pattern> seen;
    for (const Sample& sample : samples_) {
      seen.push_back(sample.pattern);
      for (const Step& step : sample.pattern.steps) {
        longest = std::max({longest, std::abs(step.dx), std::abs(step.dy)});
      }
    }
    bool is_whole = learnt_.assumed.empty();
    const Codec codec(learnt_.layout);
    for (int v = 1; v <= longest && is_whole; ++v) {
      for (const auto& [dx, dy] : {std::pair{v, 0}, {-v, 0}, {0, v}, {0, -v}}) {
        is_whole = is_whole && codec.holds({.op = Op::sew, .dx = dx, .dy = dy});
      }
    }
    if (is_whole) return;
    learnt_.asked.emplace_back(
        "not every stitch up to the longest of the patterns is settled: save one more pattern that "
        "holds them");
    learnt_.further = further_pattern(seen, longest);
  }

  const std::vector<Sample>& samples_;
  const LearnOptions& options_;
  Progress progress_;
  Learnt learnt_;
  bool is_done_ = false;
};

void check(const std::vector<Sample>& samples) {
  if (samples.size() < 2 || samples.size() > 8) {
    fail(fmt::format("{} patterns are given, 2 to 8 are wanted", samples.size()),
         "Give each as PATTERN.csv=FILE");
  }
  for (const Sample& sample : samples) {
    if (sample.bytes.size() > kMostSampleBytes) {
      fail(fmt::format("{} has {} bytes, {} at most", sample.pattern.name, sample.bytes.size(),
                       kMostSampleBytes),
           "Save the pattern alone");
    }
    BUCKRAM_ASSERT(!sample.pattern.steps.empty() && sample.pattern.steps.back().op == Op::end);
  }
}

}  // namespace

Learnt learn_layout(const std::vector<Sample>& samples, const LearnOptions& options) {
  check(samples);
  return Learner(samples, options).run();
}

}  // namespace buckram::machine
