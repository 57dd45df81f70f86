// Layouts found from patterns: the machine is played by a layout that writes them; what is found
// must read and write as it does.
#include "machine/layout_sample.h"

#include "machine/bits.h"
#include "machine/exact_fit.h"
#include "machine/learn.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace buckram::machine {
namespace {

using stitch::Op;

// The pattern as that machine saves it: it leaves out what it cannot do.
std::string saved_by(const Layout& machine, const Pattern& pattern) {
  const Codec codec(machine);
  std::vector<Step> steps;
  for (Step step : pattern.steps) {
    if (!codec.names_needles()) step.needle = 0;
    if (step.op == Op::end || codec.can_do(step.op)) steps.push_back(step);
  }
  return write_steps(machine, steps);
}

double longest_mm(const Layout& layout) {
  int longest = 0;
  for (const OperationRange& range : ranges_of(layout)) {
    longest = std::max(longest, std::min({range.x.high, range.y.high, -range.x.low, -range.y.low}));
  }
  return longest * layout.unit_mm;
}

std::vector<Pattern> patterns_of(const Layout& machine, int needles = 15) {
  return patterns_for(
      {.unit_mm = machine.unit_mm, .longest_mm = longest_mm(machine), .needles = needles});
}

std::vector<Sample> samples_of(const Layout& machine, const std::vector<Pattern>& patterns) {
  std::vector<Sample> samples;
  for (const Pattern& pattern : patterns) samples.push_back({pattern, saved_by(machine, pattern)});
  return samples;
}

LearnOptions options_for(const Layout& machine) {
  return {.name = machine.name, .extension = machine.extension, .unit_mm = machine.unit_mm};
}

std::string joined(const std::vector<std::string>& lines) {
  std::string all;
  for (const std::string& line : lines) all += line + "\n";
  return all;
}

std::vector<Step> random_steps(const Layout& machine, base::Random& random) {
  const Codec codec(machine);
  int longest = 0;
  for (const OperationRange& range : ranges_of(machine)) longest = std::max(longest, range.x.most);
  std::vector<Step> steps;
  const int n = 1 + random.below(60);
  while (static_cast<int>(steps.size()) < n) {
    Step step{.op = "smtcp"[random.below(5)] == 's' ? Op::sew : Op::move};
    const int reach = random.below(2) == 0 ? longest : std::min(longest, 70);
    const int dice = random.below(12);
    step.dx = random.below(2 * reach + 1) - reach;
    step.dy = random.below(2 * reach + 1) - reach;
    if (dice == 0) step = {.op = Op::trim};
    if (dice == 1) step = {.op = Op::change, .needle = 1 + random.below(15)};
    if (dice == 2) step = {.op = Op::stop};
    if (step.op == Op::change && !codec.names_needles()) step.needle = 0;
    const bool is_said =
        step.op == Op::sew || step.op == Op::move ? codec.holds(step) : codec.can_do(step.op);
    if (is_said) steps.push_back(step);
  }
  steps.push_back({.op = Op::end});
  return steps;
}

class EachMachine : public testing::TestWithParam<const char*> {
 protected:
  Layout machine() const { return shipped(GetParam()); }
};

INSTANTIATE_TEST_SUITE_P(Shipped, EachMachine, testing::ValuesIn(kShipped), [](const auto& each) {
  std::string name = each.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

TEST_P(EachMachine, FourPatternsGiveALayoutThatWritesAndReadsAsTheMachineDoes) {
  const Layout machine = this->machine();
  const std::vector<Pattern> patterns = patterns_of(machine);
  ASSERT_EQ(patterns.size(), 4U);
  const Learnt learnt = learn_layout(samples_of(machine, patterns), options_for(machine));
  EXPECT_TRUE(learnt.assumed.empty()) << joined(learnt.assumed);
  EXPECT_TRUE(learnt.asked.empty()) << joined(learnt.asked);
  EXPECT_TRUE(faults_of(learnt.layout).empty());
  SCOPED_TRACE(write_layout(learnt.layout));
  base::Random random(31);
  for (int k = 0; k < 500; ++k) {
    const std::vector<Step> steps = random_steps(machine, random);
    const std::string bytes = write_steps(machine, steps);
    ASSERT_EQ(hex_text(write_steps(learnt.layout, steps)), hex_text(bytes)) << k;
    const StepFile read = read_steps(learnt.layout, bytes, "t");
    ASSERT_EQ(read.decoded.steps, steps) << k;
    ASSERT_TRUE(read.disagreements.empty());
  }
  // And what it found can be kept.
  EXPECT_EQ(read_layout(write_layout(learnt.layout), "t"), learnt.layout);
}

TEST_P(EachMachine, EveryStepInRangeIsWrittenAsTheMachineWritesIt) {
  const Layout machine = this->machine();
  const Learnt learnt =
      learn_layout(samples_of(machine, patterns_of(machine)), options_for(machine));
  const Codec a(machine), b(learnt.layout);
  int n = 0;
  for (const OperationRange& range : ranges_of(machine)) {
    for (const bool is_x : {true, false}) {
      const StepRange& along = is_x ? range.x : range.y;
      for (int v = along.least; v <= along.most; ++v) {
        std::string as, bs;
        const Step step{.op = range.does, .dx = is_x ? v : 0, .dy = is_x ? 0 : v};
        ASSERT_EQ(a.append(step, as), b.append(step, bs)) << v;
        ASSERT_EQ(hex_text(as), hex_text(bs)) << v;
        ++n;
      }
    }
  }
  EXPECT_GT(n, 1000);
}

TEST(Learn, PatternsComeBackFromTheirCsv) {
  for (const double unit : {0.1, 0.05, 0.02, 0.0254}) {
    for (const Pattern& pattern :
         patterns_for({.unit_mm = unit, .longest_mm = 100 * unit, .needles = 12})) {
      EXPECT_EQ(read_pattern(write_pattern(pattern, unit), pattern.name, unit), pattern);
    }
  }
}

TEST(Learn, BadPatternsAreRefusedWithTheLine) {
  const struct {
    const char *csv, *says;
  } cases[] = {
      {"", "t: line 0: the last line is not an end"},
      {"op,x,y\n", "t: line 1: is not a pattern"},
      {"op,x_mm,y_mm,needle\nsew,1,1\n", "t: line 2: has 3 fields"},
      {"op,x_mm,y_mm,needle\nhop,1,1,\n", "\"hop\" is nothing"},
      {"op,x_mm,y_mm,needle\nsew,1.05,1,\n", "is not a whole number of units of 0.1 mm"},
      {"op,x_mm,y_mm,needle\nsew,1e9,1,\n", "is not a number of mm"},
      {"op,x_mm,y_mm,needle\nsew,nan,1,\n", "is not a number of mm"},
      {"op,x_mm,y_mm,needle\nsew,1,1,\ntrim,2,1,\n", "trim stands elsewhere"},
      {"op,x_mm,y_mm,needle\nsew,1,1,\n", "not an end"},
      {"op,x_mm,y_mm,needle\nend,0,0,\nsew,1,1,\n", "follows the end"},
      {"op,x_mm,y_mm,needle\nchange,0,0,1.5\n", "is not a needle"},
  };
  for (const auto& each : cases) {
    try {
      read_pattern(each.csv, "t", 0.1);
      ADD_FAILURE() << each.csv;
    } catch (const base::Error& error) {
      EXPECT_NE(base::message(error).find(each.says), std::string::npos) << base::message(error);
    }
  }
}

// Weights by construction: known ones, with bits that have no weight, a sign bit or not.
TEST(Learn, WeightsAreFoundExactly) {
  base::Random random(9);
  int n_negated = 0;
  for (int k = 0; k < 200; ++k) {
    Number number;
    number.offset = random.below(201) - 100;
    for (int place = 0; place < 24; ++place) {
      if (random.below(3) != 0 || number.bits.size() >= 12) continue;
      number.bits.push_back(place);
      const int weight = random.below(2000) - 1000;
      number.weights.push_back(weight == 0 ? 1 : weight);
    }
    if (k % 2 == 0) number.negate = 30;
    n_negated += k % 2 == 0 ? 1 : 0;
    std::vector<Bits> words;
    std::vector<int> values;
    for (int i = 0; i < 80; ++i) {
      words.push_back(random.next() & 0x7FFFFFFF);
      values.push_back(value_of(number, words.back()));
    }
    const auto fit = fit_exactly(words, values);
    ASSERT_TRUE(fit.has_value()) << k;
    EXPECT_EQ(fit->number, number) << k;
    EXPECT_EQ(fit->open, 0U);
    values[17] += 1;  // one record that says otherwise, and nothing fits
    EXPECT_FALSE(fit_exactly(words, values).has_value()) << k;
  }
  EXPECT_EQ(n_negated, 100);
}

TEST(Learn, BitsThatAreAlwaysEqualGoOnDoublingAndAreSaid) {
  Number number{.bits = {0, 1, 2, 3, 4, 5}, .weights = {1, 2, 4, 8, 16, -32}};
  std::vector<Bits> words;
  std::vector<int> values;
  for (int v = -16; v < 16; ++v) {  // bits 4 and 5 alike
    words.push_back(static_cast<Bits>(v) & 0x3F);
    values.push_back(v);
  }
  const auto fit = fit_exactly(words, values);
  ASSERT_TRUE(fit.has_value());
  EXPECT_EQ(fit->number, number);
  EXPECT_EQ(fit->open, bit(4) | bit(5));
}

// A ladder that stops short leaves bits open; the pattern asked for settles them.
TEST(Learn, WhatStaysOpenIsAskedForAndTheFurtherPatternSettlesIt) {
  const Layout machine = shipped("lantern-row");
  std::vector<Pattern> patterns = patterns_of(machine);
  Pattern& ladder = patterns[1];
  // Nothing with a digit of 8 in x: that bit is never seen.
  for (Pattern& pattern : patterns) {
    std::erase_if(pattern.steps, [&](const Step& step) {
      const Codec codec(machine);
      std::string bytes;
      if (step.op != Op::sew && step.op != Op::move) return false;
      codec.append(step, bytes);
      return (static_cast<unsigned char>(bytes[1]) & 8) != 0;
    });
  }
  ASSERT_GT(ladder.steps.size(), 60U);
  const Learnt first = learn_layout(samples_of(machine, patterns), options_for(machine));
  ASSERT_FALSE(first.asked.empty());
  ASSERT_TRUE(first.further.has_value());
  patterns.push_back(*first.further);
  const Learnt second = learn_layout(samples_of(machine, patterns), options_for(machine));
  EXPECT_FALSE(second.further.has_value()) << joined(second.asked);
  EXPECT_EQ(ranges_of(second.layout)[0].x.high, 165);
}

TEST(Learn, MovesMayBeRecordsOfTheirOwn) {
  Layout machine = shipped("lantern-row");
  Kind hop{.name = "hop", .length = 6, .mask = 0xFF, .value = 0x77};
  hop.x = Number{.bits = {8, 9, 10, 11, 12, 13, 14, 15}, .weights = {1, 2, 4, 8, 16, 32, 64, -128}};
  hop.y =
      Number{.bits = {40, 41, 42, 43, 44, 45, 46, 47}, .weights = {1, 2, 4, 8, 16, 32, 64, -128}};
  machine.kinds.push_back(hop);
  machine.operations[1].records = {{.kind = 1}};
  ASSERT_TRUE(faults_of(machine).empty()) << faults_of(machine)[0];
  const auto patterns = patterns_for({.unit_mm = 0.1, .longest_mm = 12.7, .needles = 15});
  const Learnt learnt = learn_layout(samples_of(machine, patterns), options_for(machine));
  base::Random random(4);
  for (int k = 0; k < 100; ++k) {
    const std::vector<Step> steps = random_steps(machine, random);
    ASSERT_EQ(hex_text(write_steps(learnt.layout, steps)), hex_text(write_steps(machine, steps)));
  }
}

// Machines drawn at random: bits shuffled over records of 3 to 8 bytes, three ways of being
// negative, flags, trims of one to three records, fields of every kind in the head.
class RandomMachine {
 public:
  explicit RandomMachine(base::Random& random) : random_(random) {}

  Layout make() {
    Layout l;
    l.name = l.extension = "drawn";
    Kind kind{.name = "step", .length = 4 + random_.below(5)};
    for (int place = 0; place < 8 * kind.length; ++place) places_.push_back(place);
    for (std::size_t i = places_.size(); i > 1; --i) {
      std::swap(places_[i - 1],
                places_[static_cast<std::size_t>(random_.below(static_cast<int>(i)))]);
    }
    const int n_bits = 6 + random_.below(4), style = random_.below(3);
    kind.x = number(n_bits, style);
    kind.y = number(n_bits, style);
    flags_ = take() | take() | take();
    if (8 * kind.length >= 2 * (n_bits + 1) + 3 + 4) {
      needle_ = number(4, 3);
      for (int& weight : needle_->weights) weight = std::abs(weight);
    }
    for (const int place : places_) {
      kind.mask |= bit(place);
      if (random_.below(2) == 0) kind.value |= bit(place);
    }
    l.kinds = {kind};
    codes_ = {0, 1, 2, 3, 4, 5, 6, 7};
    for (const Op op : {Op::sew, Op::move, Op::trim, Op::change, Op::stop, Op::end}) {
      l.operations.push_back({op, {form(op)}});
    }
    add_parts(l);
    return l;
  }

 private:
  Bits take() {
    const Bits taken = bit(places_.back());
    places_.pop_back();
    return taken;
  }

  Number number(int n_bits, int style) {
    Number n;
    for (int k = 0; k < n_bits; ++k) {
      n.bits.push_back(places_.back());
      n.weights.push_back(1 << k);
      places_.pop_back();
    }
    if (style == 0) n.weights.back() *= -1;
    if (style == 1) n.offset = -(1 << (n_bits - 1));
    if (style == 2) {
      n.negate = places_.back();
      places_.pop_back();
    }
    return n;
  }

  RecordForm form(Op op) {
    const auto k = static_cast<std::size_t>(random_.below(static_cast<int>(codes_.size())));
    RecordForm form{.mask = flags_};
    int i = 0;
    for (int place = 0; place < 64; ++place) {
      if ((flags_ & bit(place)) != 0 && ((codes_[k] >> i++) & 1) != 0) form.value |= bit(place);
    }
    codes_.erase(codes_.begin() + static_cast<std::ptrdiff_t>(k));
    if (op == Op::trim) form.times = 1 + random_.below(3);
    if (op == Op::change) form.needle = needle_;
    return form;
  }

  void add_parts(Layout& l) {
    for (int k = 0; k < 4; ++k) {
      std::string literal;
      for (int i = 0; i <= random_.below(12); ++i) literal += static_cast<char>(random_.below(256));
      l.before.push_back({.bytes = literal + "\x01\x02"});
      Part field{.what = Part::What::field};
      field.quantity = static_cast<Quantity>(random_.below(static_cast<int>(Quantity::count_)));
      field.is_text = random_.below(2) == 0;
      field.width = field.is_text ? 8 : 4;
      field.pad = random_.below(2) == 0 ? ' ' : '0';
      field.has_plus = field.is_text && random_.below(2) == 0;
      field.high_first = !field.is_text && random_.below(2) == 0;
      field.is_signed = !field.is_text && field.quantity >= Quantity::end_x;
      (k < 3 ? l.before : l.after).push_back(field);
    }
  }

  base::Random& random_;
  std::vector<int> places_;  // not used yet
  std::vector<unsigned> codes_;
  Bits flags_ = 0;
  std::optional<Number> needle_;
};

TEST(Learn, MachinesDrawnAtRandomAreFound) {
  base::Random random(77);
  int n_needles = 0;
  for (int k = 0; k < 60; ++k) {
    const Layout machine = RandomMachine(random).make();
    SCOPED_TRACE(fmt::format("machine {}\n{}", k, write_layout(machine)));
    ASSERT_TRUE(faults_of(machine).empty()) << joined(faults_of(machine));
    std::vector<Sample> samples = samples_of(machine, patterns_of(machine));
    Learnt learnt;
    try {
      learnt = learn_layout(samples, options_for(machine));
    } catch (const base::Error& error) {
      FAIL() << base::message(error);
    }
    EXPECT_TRUE(learnt.asked.empty()) << joined(learnt.asked);
    n_needles += Codec(machine).names_needles() ? 1 : 0;
    for (int i = 0; i < 40; ++i) {
      const std::vector<Step> steps = random_steps(machine, random);
      const std::string bytes = write_steps(machine, steps);
      ASSERT_EQ(hex_text(write_steps(learnt.layout, steps)), hex_text(bytes));
      ASSERT_EQ(read_steps(learnt.layout, bytes, "t").decoded.steps, steps);
    }
  }
  EXPECT_GT(n_needles, 10);
}

TEST(Learn, TwoPatternsAreEnoughForASimpleMachine) {
  const Layout machine = shipped("harbour-tally");
  const std::vector<Pattern> all = patterns_of(machine);
  const Learnt learnt = learn_layout(samples_of(machine, {all[1], all[2]}), options_for(machine));
  EXPECT_EQ(joined(learnt.asked).find("no pattern holds a trim") == std::string::npos, false);
  EXPECT_EQ(ranges_of(learnt.layout)[0].x.high, 2047);
}

std::string refusal(const std::vector<Sample>& samples) {
  try {
    learn_layout(samples, {});
  } catch (const base::Error& error) {
    return base::message(error);
  }
  return "";
}

TEST(Learn, FilesOfOtherPatternsAreRefusedSayingHowFarItGot) {
  const Layout machine = shipped("pilot-signal");
  std::vector<Sample> samples = samples_of(machine, patterns_of(machine));
  EXPECT_NE(refusal({samples[0]}).find("1 patterns are given"), std::string::npos);
  std::swap(samples[0].bytes, samples[1].bytes);
  EXPECT_NE(refusal(samples).find("no length of record"), std::string::npos) << refusal(samples);
  std::swap(samples[0].bytes, samples[1].bytes);
  EXPECT_NE(refusal({samples[2], samples[3]}).find("no pattern holds stitches alone"),
            std::string::npos);
  EXPECT_NE(refusal({samples[0], samples[1]}).find("no moves"), std::string::npos);
  samples[3].bytes.erase(100, 3);
  EXPECT_NE(refusal(samples).find("trims, changes and stops"), std::string::npos);
}

}  // namespace
}  // namespace buckram::machine
