// Descriptions: read strictly, written so that they read back, refused where two readings of one
// file are possible; records by tables against their definition.
#include "machine/layout_sample.h"

#include "machine/bits.h"
#include "machine/codec.h"

#include <gtest/gtest.h>

#include <map>

namespace buckram::machine {
namespace {

using stitch::Op;

// A description that is in order, and short enough to be spoilt one line at a time.
const char* const kPlain = R"(buckram_layout = 1
name = "pier"
extension = "pier"
unit_mm = 0.1
before = [{ text = "PIER" }, { field = "stitches", width = 6 }, { fill = "20", to = 16 }]
after = [{ field = "end_x", bytes = 2, signed = true }]
[[kind]]
name = "walk"
length = 3
mask = "80 00 00"
value = "00 00 00"
x = { bits = ["1.0", "1.1", "1.2", "1.3"], weights = [1, 2, 4, 8], negate = "1.7" }
y = { bits = ["2.0", "2.1", "2.2", "2.3"], weights = [1, 2, 4, -8] }
[[kind]]
name = "call"
length = 2
mask = "80 00"
value = "80 00"
[[operation]]
does = "sew"
records = [{ kind = "walk", mask = "40 00 00", value = "00 00 00" }]
[[operation]]
does = "move"
records = [{ kind = "walk", mask = "40 00 00", value = "40 00 00" }]
[[operation]]
does = "trim"
records = [{ kind = "call", mask = "0F 00", value = "01 00", times = 2 }]
[[operation]]
does = "change"
records = [{ kind = "call", mask = "0F 00", value = "02 00", needle = { bits = ["1.0", "1.1"], weights = [1, 2] } }]
[[operation]]
does = "end"
records = [{ kind = "call", mask = "0F 00", value = "0F 00" }]
)";

std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

std::string refusal(const std::string& toml) {
  try {
    read_layout(toml, "pier.toml");
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_data);
    return base::message(error);
  }
  return "";
}

struct Spoilt {
  const char *from, *to, *says;
};

TEST(Layout, AmbiguousDescriptionsAreRefusedSayingWhere) {
  ASSERT_EQ(refusal(kPlain), "");
  const Spoilt cases[] = {
      {"mask = \"80 00\"\nvalue = \"80 00\"", "mask = \"80 00\"\nvalue = \"00 00\"",
       "kinds walk and call cannot be told apart"},
      {"mask = \"80 00\"\nvalue = \"80 00\"", "mask = \"00 80\"\nvalue = \"00 80\"",
       "kinds walk and call cannot be told apart"},
      {"mask = \"80 00\"\nvalue = \"80 00\"", "", "kinds walk and call cannot be told apart"},
      {"mask = \"80 00 00\"\nvalue = \"00 00 00\"", "mask = \"00 00 40\"\nvalue = \"00 00 00\"",
       "no bit of the first 2 bytes"},
      {"mask = \"40 00 00\", value = \"40 00 00\"", "mask = \"40 00 00\", value = \"00 00 00\"",
       "operation 1 (sew) and operation 2 (move) cannot be told apart"},
      {"mask = \"40 00 00\", value = \"40 00 00\"", "mask = \"20 00 00\", value = \"20 00 00\"",
       "operation 1 (sew) and operation 2 (move) cannot be told apart"},
      {"value = \"01 00\", times = 2", "value = \"02 00\", times = 2",
       "operation 3 (trim) and operation 4 (change) cannot be told apart"},
      {"mask = \"0F 00\", value = \"0F 00\"", "mask = \"01 00\", value = \"01 00\"",
       "operation 3 (trim) and operation 5 (end) cannot be told apart"},
      {"[{ kind = \"call\", mask = \"0F 00\", value = \"01 00\", times = 2 }]",
       "[{ kind = \"walk\", mask = \"40 00 00\", value = \"40 00 00\", times = 3 }]",
       "operation 2 (move) and operation 3 (trim) cannot be told apart"},
      {"value = \"40 00 00\"", "value = \"60 00 00\"", "sets bits 0.5 that its mask leaves out"},
      {"value = \"80 00\"", "value = \"81 00\"", "kind call: the value sets bits 0.0"},
      {"\"1.3\"], weights = [1, 2, 4, 8], negate", "\"1.2\"], weights = [1, 2, 4, 8], negate",
       "kind walk, x: bit 1.2 is named twice"},
      {"negate = \"1.7\"", "negate = \"1.0\"", "kind walk, x: bit 1.0 is named twice"},
      {"\"2.3\"]", "\"1.3\"]", "kind walk, y: bits 1.3 are used twice"},
      {"mask = \"80 00 00\"", "mask = \"80 01 00\"", "kind walk, x: bits 1.0 are used twice"},
      {"mask = \"40 00 00\", value = \"00 00 00\"", "mask = \"C0 00 00\", value = \"00 00 00\"",
       "operation 1 (sew), mask: bits 0.7 are used twice"},
      {"mask = \"40 00 00\", value = \"00 00 00\"", "mask = \"40 01 00\", value = \"00 00 00\"",
       "operation 1 (sew), mask: bits 1.0 are used twice"},
      {"bits = [\"1.0\", \"1.1\"], weights = [1, 2] }", "bits = [\"0.3\"], weights = [1] }",
       "operation 4 (change), needle: bits 0.3 are used twice"},
      {"bits = [\"1.0\", \"1.1\"], weights = [1, 2] }", "bits = [\"2.0\"], weights = [1] }",
       "needle: bits 2.0 lie outside a record of 2 bytes"},
      {"negate = \"1.7\"", "offset = 1", "x holds"},
      {"weights = [1, 2, 4, 8], negate", "weights = [2, 4, 6, 8], negate",
       "to sew by one unit cannot be written in every direction"},
      {"weights = [1, 2, 4, 8], negate", "offset = 3, weights = [1, 2, 4, 8], negate",
       "kind walk: its x cannot be 0"},
      {"does = \"move\"", "does = \"sew\"", "no operation moves"},
      {"kind = \"walk\", mask = \"40 00 00\", value = \"40 00 00\"",
       "kind = \"call\", mask = \"0F 00\", value = \"05 00\"", "its kind call has no step"},
      {"value = \"00 00 00\" }]", "value = \"00 00 00\", times = 2 }]", "is more than one record"},
  };
  Layout twice = read_layout(kPlain, "p");
  twice.kinds[1].name = "walk";
  ASSERT_EQ(faults_of(twice).size(), 1U);
  EXPECT_EQ(faults_of(twice)[0], "kind walk: two kinds have this name");
  int n_refused = 0;
  for (const Spoilt& each : cases) {
    const std::string said = refusal(with(kPlain, each.from, each.to));
    EXPECT_NE(said.find(each.says), std::string::npos) << each.to << "\n says: " << said;
    n_refused += said.empty() ? 0 : 1;
  }
  EXPECT_GE(n_refused, 20);
}

// Near steps in every direction, far ones forwards only: all can be written.
TEST(Layout, AFarKindMayGoForwardsOnly) {
  const std::string walk = with(kPlain, "mask = \"80 00 00\"", "mask = \"A0 00 00\"");
  const std::string text = with(walk, "[[operation]]", R"([[kind]]
name = "leap"
length = 3
mask = "A0 00 00"
value = "20 00 00"
x = { bits = ["1.0", "1.1", "1.2", "1.3", "1.4"], weights = [1, 2, 4, 8, 16] }
y = { bits = ["2.0", "2.1", "2.2", "2.3", "2.4"], weights = [1, 2, 4, 8, 16] }
[[operation]]
does = "sew"
records = [{ kind = "leap", mask = "40 00 00", value = "00 00 00" }]
[[operation]])");
  EXPECT_EQ(refusal(text), "");
  const Codec codec(read_layout(text, "pier.toml"));
  const Codec::Reach reach = codec.reach(Op::sew);
  EXPECT_EQ(reach.x.low, -15);
  EXPECT_EQ(reach.x.high, 15);
  EXPECT_TRUE(codec.holds({Op::sew, 31, 31}));
}

TEST(Layout, BadValuesAreRefusedWithKeyAndHint) {
  const Spoilt cases[] = {
      {"extension", "extention", "extension: is missing"},
      {"length = 3", "lenght = 3\nlength = 3", "Did you mean length?"},
      {"does = \"trim\"", "does = \"snip\"", "It is one of sew, move"},
      {"kind = \"call\", mask = \"0F 00\", value = \"0F",
       "kind = \"cal\", mask = \"0F 00\", value = \"0F", "Did you mean call?"},
      {"field = \"stitches\"", "field = \"stitchs\"", "Did you mean stitches?"},
      {"mask = \"80 00 00\"", "mask = \"80 00\"", "has 2 bytes where the record has 3"},
      {"mask = \"80 00 00\"", "mask = \"8 00 00\"", "is not bytes"},
      {"\"1.3\"]", "\"1.8\"]", "is not a bit"},
      {"weights = [1, 2, 4, -8]", "weights = [1, 2, 4]", "there are 3 for 4 bits"},
      {"weights = [1, 2, 4, -8]", "weights = [1, 2, 4, 0.5]", "0.5 is not a weight"},
      {"extension = \"pier\"", "extension = \"svg\"", "another kind of file"},
      {"extension = \"pier\"", "extension = \"a/b\"", "is not an ending"},
      {"unit_mm = 0.1", "unit_mm = 0", "unit_mm"},
      {"to = 16", "to = 3", "10 bytes stand before it"},
      {"width = 6", "width = 6, pad = \"x\"", "fills up no number"},
      {"buckram_layout = 1", "buckram_layout = 2", "buckram_layout"},
      {"length = 2", "length = 9", "length"},
  };
  for (const Spoilt& each : cases) {
    const std::string said = refusal(with(kPlain, each.from, each.to));
    EXPECT_NE(said.find(each.says), std::string::npos) << each.to << "\n says: " << said;
    EXPECT_NE(said.find("pier.toml"), std::string::npos) << said;
  }
}

TEST(Layout, ReadingWhatWasWrittenGivesTheLayout) {
  EXPECT_EQ(read_layout(write_layout(read_layout(kPlain, "p")), "q"), read_layout(kPlain, "p"));
  for (const char* name : kShipped) {
    const Layout layout = shipped(name);
    EXPECT_EQ(layout.name, name);
    EXPECT_EQ(read_layout(write_layout(layout), "q"), layout) << write_layout(layout);
  }
}

// A number by its definition, bit by bit.
int by_definition(const Number& number, Bits word) {
  int sum = number.offset;
  for (std::size_t i = 0; i < number.bits.size(); ++i) {
    if ((word >> number.bits[i] & 1) != 0) sum += number.weights[i];
  }
  return number.negate >= 0 && (word >> number.negate & 1) != 0 ? -sum : sum;
}

// All words over the number's bits, in the order of their bytes from the left.
std::map<std::string, Bits> all_codes(const Number& number) {
  std::map<std::string, Bits> codes;
  const Bits used = bits_of(number);
  Bits word = 0;
  do {
    codes[hex_text(word, 8)] = word;
    word = (word - used) & used;  // the next subset
  } while (word != 0);
  return codes;
}

TEST(Codec, TablesHoldTheLowestCodeOfEveryValueAndSumsReadIt) {
  int n_values = 0, n_redundant = 0;
  for (const char* name : kShipped) {
    for (const Kind& kind : shipped(name).kinds) {
      for (const auto& number : {kind.x, kind.y}) {
        if (!number) continue;
        const CodeTable table(*number, 0, 0);
        const Sums sums(*number);
        std::map<int, Bits> lowest;
        for (const auto& [text, word] : all_codes(*number)) {
          const int value = by_definition(*number, word);
          ASSERT_EQ(sums.of(word), value);
          n_redundant += lowest.try_emplace(value, word).second ? 0 : 1;
        }
        EXPECT_EQ(table.range().least, lowest.begin()->first);
        EXPECT_EQ(table.range().most, lowest.rbegin()->first);
        for (const auto& [value, word] : lowest) {
          ASSERT_TRUE(table.has(value));
          ASSERT_EQ(table.code(value), word) << name << ' ' << value;
          ++n_values;
        }
        EXPECT_FALSE(table.has(lowest.begin()->first - 1));
        EXPECT_FALSE(table.has(lowest.rbegin()->first + 1));
      }
    }
  }
  EXPECT_GT(n_values, 20'000);
  EXPECT_GT(n_redundant, 100);
}

TEST(Codec, RangesSayHoles) {
  const CodeTable table({.bits = {0, 1, 2}, .weights = {1, -1, 7}}, 0, 0);
  const StepRange range = table.range();  // -1 0 1 6 7 8
  EXPECT_EQ(range.low, -1);
  EXPECT_EQ(range.high, 1);
  EXPECT_EQ(range.least, -1);
  EXPECT_EQ(range.most, 8);
  EXPECT_EQ(range.n_missing, 4);
  EXPECT_EQ(range.first_missing, 2);
  const CodeTable taken({.bits = {0, 1}, .weights = {1, -2}}, bit(0) | bit(1), bit(1));
  EXPECT_FALSE(taken.has(-2));  // its code opens something else
  EXPECT_TRUE(taken.has(-1));
}

TEST(Layout, EveryStepOfEveryShippedLayoutComesBack) {
  for (const char* name : kShipped) EXPECT_EQ(first_not_returned(shipped(name)), "") << name;
  EXPECT_EQ(ranges_of(shipped("pilot-signal"))[0].x.low, -1023);  // -1024 opens a signal
  EXPECT_EQ(ranges_of(shipped("pilot-signal"))[0].y.low, -1024);
  EXPECT_EQ(ranges_of(shipped("lantern-row"))[0].x.high, 165);
  EXPECT_EQ(ranges_of(shipped("buoy-lengths"))[0].x.low, -64);
}

// Bytes put together by hand from the description's own words.
TEST(Layout, RecordsAreTheBytesThatTheDescriptionSays) {
  const std::vector<Step> steps{{Op::move, 20, -1}, {Op::sew, 0, 0},    {Op::sew, -2, 300},
                                {Op::trim, 0, 0},   {Op::change, 0, 0}, {Op::end, 0, 0}};
  EXPECT_EQ(hex_text(write_steps(shipped("harbour-tally"), steps)).substr(96 * 3),
            "90 14 F0 FF "              // move: x 014, y FFF
            "80 00 00 00 "              // sew
            "80 FE 1F 2C "              // x FFE, y 12C
            "B0 00 00 00 B0 00 00 00 "  // trim
            "C0 00 00 00 "              // change
            "F0 00 00 00 C9 9C");
  const std::vector<Step> rows{{Op::sew, -37, 9}, {Op::change, 0, 0, 5}, {Op::end, 0, 0}};
  EXPECT_EQ(hex_text(write_steps(shipped("lantern-row"), rows)).substr(64 * 3),
            "51 37 09 A0 0A "   // 7 and 30, negated; 9
            "54 00 00 24 0A");  // needle 5 is 4 more than 1
  const std::vector<Step> buoys{
      {Op::sew, 1, -64}, {Op::move, 64, 0}, {Op::change, 0, 0, 9}, {Op::end, 0, 0}};
  EXPECT_EQ(hex_text(write_steps(shipped("buoy-lengths"), buoys)).substr(6 * 3),
            "04 01 "              // 1 + 64 = 65: bits 0.2 and 1.0
            "09 40 00 00 00 5A "  // 64 is too far for two bytes
            "23 00 00 73 09 00 "  // change, needle
            "F3 00 00 "           // end
            "00 00 05 00 00 01 00 00 00 00 00 00 41 FF FF C0 02 3A 2E");
  const std::vector<Step> pilot{{Op::sew, -1023, 5}, {Op::change, 0, 0, 1}, {Op::end, 0, 0}};
  EXPECT_EQ(hex_text(write_steps(shipped("pilot-signal"), pilot)).substr(53 * 3),
            "01 44 05 10 "  // x 401 of eleven bits
            "00 44 18 10 "  // needle 1 is the bit of 8
            "00 44 FF 17");
}

TEST(Layout, HeadsAreTheTextThatTheDescriptionSays) {
  const std::vector<Step> steps{
      {Op::sew, 3, 0}, {Op::sew, -10, 7}, {Op::change, 0, 0}, {Op::end, 0, 0}};
  const std::string tally = write_steps(shipped("harbour-tally"), steps).substr(0, 96);
  EXPECT_EQ(tally, "TALLY 1 of       4 / stitches 0000002 / colours 2   / ends     -7,    +7" +
                       std::string(23, '.') + "\n");
  const std::string pilot =
      write_steps(shipped("pilot-signal"), {{Op::sew, 3, 0}, {Op::sew, -10, 7}, {Op::end, 0, 0}});
  EXPECT_EQ(hex_text(pilot).substr(0, 15 * 3 - 1), "50 49 4C 4F 54 00 02 00 00 02 01 F9 FF 07 00");
  EXPECT_EQ(pilot.substr(15, 36), "width 00007+00003 height 7    +0    ");
}

TEST(Layout, NumbersTooWideForTheirFieldAreRefused) {
  std::vector<Step> steps(300, {Op::change, 0, 0, 1});
  steps.push_back({Op::end, 0, 0});
  EXPECT_THROW(write_steps(shipped("lantern-row"), steps), base::Error);  // one byte of changes
  steps.assign(20, {Op::sew, -1000, 0});
  steps.push_back({Op::end, 0, 0});
  EXPECT_NO_THROW(write_steps(shipped("pilot-signal"), steps));
  steps.insert(steps.begin(), 20, {Op::sew, -1000, 0});
  EXPECT_THROW(write_steps(shipped("pilot-signal"), steps), base::Error);  // end_x in 16 bits
}

std::string reading(const Layout& layout, const std::string& bytes) {
  try {
    read_steps(layout, bytes, "cap.bin");
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_stitches);
    return base::message(error);
  }
  return "";
}

TEST(Layout, FilesThatAreNotOfItAreRefusedWithTheByte) {
  const Layout tally = shipped("harbour-tally");
  const std::vector<Step> steps{{Op::sew, 3, 0}, {Op::trim, 0, 0}, {Op::end, 0, 0}};
  const std::string good = write_steps(tally, steps);
  ASSERT_EQ(reading(tally, good), "");
  const auto spoil = [&](std::size_t at, char byte) {
    std::string bytes = good;
    bytes[at] = byte;
    return reading(tally, bytes);
  };
  EXPECT_NE(spoil(2, 'x').find("cap.bin: byte 2: holds 78"), std::string::npos) << spoil(2, 'x');
  EXPECT_NE(spoil(96, 0x11).find("byte 96: no kind of record has the bytes 11"), std::string::npos)
      << spoil(96, 0x11);
  EXPECT_NE(spoil(96, '\xA0').find("byte 96: no operation"), std::string::npos);
  EXPECT_NE(spoil(104, '\x80').find("only 1 of the 2 records"), std::string::npos);
  EXPECT_NE(spoil(108, '\x80').find("stop without an end"), std::string::npos);
  EXPECT_NE(spoil(113, 'x').find("byte 113"), std::string::npos);
  EXPECT_NE(reading(tally, good.substr(0, 50)).find("has 50 bytes"), std::string::npos);
  EXPECT_NE(reading(tally, good + "zz").find("2 bytes follow the end"), std::string::npos);
  EXPECT_NE(reading(tally, "").find("has 0 bytes"), std::string::npos);
  for (std::size_t n = 0; n < good.size(); ++n) {
    EXPECT_NE(reading(tally, good.substr(0, n)), "") << n;
  }
}

TEST(Layout, FieldsThatDisagreeAreFoundAndNoError) {
  const Layout tally = shipped("harbour-tally");
  std::string bytes = write_steps(tally, {{Op::sew, 3, 0}, {Op::sew, 4, 0}, {Op::end, 0, 0}});
  bytes[36] = '9';
  const StepFile file = read_steps(tally, bytes, "t");
  ASSERT_EQ(file.disagreements.size(), 1U);
  EXPECT_EQ(file.disagreements[0].quantity, Quantity::stitches);
  EXPECT_EQ(file.disagreements[0].found, "0000009");
  EXPECT_EQ(file.disagreements[0].expected, "0000002");
  const auto lines = describe_file(tally, bytes, "t");
  EXPECT_EQ(lines.back(), "byte 30: stitches says \"0000009\", the records say \"0000002\" (2)");
}

TEST(Layout, StepsWithinTrimsFollowThemAsMoves) {
  const Layout tally = shipped("harbour-tally");
  std::string bytes = write_steps(tally, {{Op::sew, 3, 0}, {Op::trim, 0, 0}, {Op::end, 0, 0}});
  bytes[101] = 7;  // x of the first of three
  const std::vector<Step> wanted{
      {Op::sew, 3, 0}, {Op::trim, 0, 0}, {Op::move, 7, 0}, {Op::end, 0, 0}};
  EXPECT_EQ(read_steps(tally, bytes, "t").decoded.steps, wanted);
}

}  // namespace
}  // namespace buckram::machine
