#include "base/table.h"

#include "base/error.h"

#include <gtest/gtest.h>

#include <functional>

namespace buckram::base {
namespace {

Error refused(const std::function<void()>& read) {
  try {
    read();
  } catch (const Error& error) {
    return error;
  }
  ADD_FAILURE() << "was accepted";
  return {};
}

TEST(Table, ReadsTypesAndDefaults) {
  const Table table = Table::parse(
      "a = 1\nb = 2.5\nc = 'text'\nd = true\ne = [1, 2.5]\nf = ['x', 'y']\n"
      "[g]\nh = 3\n[[i]]\nj = 1\n[[i]]\nj = 2\n",
      "t.toml");
  EXPECT_EQ(table.number("a", {0, 10}), 1);
  EXPECT_EQ(table.integer("a", {0, 10}), 1);
  EXPECT_EQ(table.number("b", {0, 10}), 2.5);
  EXPECT_EQ(table.number("none", {0, 10}, 7), 7);
  EXPECT_EQ(table.text("c"), "text");
  EXPECT_TRUE(table.truth("d", false));
  EXPECT_EQ(table.numbers("e", {0, 10}), (std::vector<double>{1, 2.5}));
  EXPECT_EQ(table.texts("f"), (std::vector<std::string>{"x", "y"}));
  EXPECT_EQ(table.table("g")->number("h", {0, 10}), 3);
  EXPECT_EQ(table.tables("i").at(1).number("j", {0, 10}), 2);
  EXPECT_FALSE(table.table("k").has_value());
  EXPECT_NO_THROW(table.refuse_unknown());
}

TEST(Table, IdsAreTextsNumbersOrATablesOwnKeys) {
  const Table table = Table::parse("a = ['x', 12]\nb = 3\n[c.7]\nk = 1\n[c.'a b']\n", "t");
  EXPECT_EQ(table.ids("a"), (std::vector<std::string>{"x", "12"}));
  EXPECT_EQ(table.ids("c"), (std::vector<std::string>{"7", "a b"}));
  EXPECT_TRUE(table.ids("none").empty());
  EXPECT_EQ(refused([&] { table.ids("b"); }).what, "wants a list of ids, found 3");
}

TEST(Table, NamesKeyLineValueAndRange) {
  const Table table = Table::parse("[bench]\nraise_mm = 40\n", "job.toml");
  const Error error = refused([&] { table.table("bench")->number("raise_mm", {0, 20}); });
  EXPECT_EQ(error.where, "job.toml: bench: raise_mm (line 2)");
  EXPECT_EQ(error.what, "is 40, outside 0 to 20");
}

TEST(Table, RefusesTheWrongType) {
  const Table table = Table::parse("a = 'x'\nb = 1.5\nc = nan\n", "t");
  EXPECT_EQ(refused([&] { table.number("a", {0, 1}); }).what, "wants a number, found \"x\"");
  EXPECT_EQ(refused([&] { table.integer("b", {0, 9}); }).what, "wants a whole number, found 1.5");
  EXPECT_EQ(refused([&] { table.number("c", {0, 9}); }).what, "is nan, outside 0 to 9");
  EXPECT_EQ(refused([&] { table.number("missing", {0, 9}); }).what, "is missing");
}

TEST(Table, UnknownKeyIsRefusedWithTheNearest) {
  const Table table = Table::parse("rise_mm = 2\n", "t");
  table.number("raise_mm", {0, 20}, 0);
  table.truth("clips", false);
  EXPECT_EQ(refused([&] { table.refuse_unknown(); }).hint, "Did you mean raise_mm?");
}

TEST(Table, BadTomlNamesLineAndColumn) {
  const Error error = refused([] { Table::parse("a = 1\nb = = 2\n", "t.toml"); });
  EXPECT_EQ(error.where.substr(0, 15), "t.toml: line 2,");
}

TEST(Table, EveryRefusalSaysWhatToDo) {
  const Table table = Table::parse(
      "text = 'x'\nnumber = 1.5\nlist = [1]\nmixed = [{a = 1}, 2]\nday = 2024-01-01\n", "t");
  Table other = table;
  const std::vector<std::function<void()>> reads{
      [&] { table.number("text", {0, 1}); },
      [&] { table.number("number", {2, 3}); },
      [&] { table.number("none", {2, 3}); },
      [&] { table.integer("number", {0, 9}); },
      [&] { table.truth("number", true); },
      [&] { table.text("number"); },
      [&] { table.numbers("text", {0, 1}); },
      [&] { table.texts("text"); },
      [&] { table.texts("list"); },
      [&] { table.table("text"); },
      [&] { table.tables("text"); },
      [&] { table.tables("mixed"); },
      [&] { table.text("day"); },
      [&] { Table::parse("= 1", "t"); },
      [&] { other.set("number.deep", "1"); },
      [&] { other.set("new.", "1"); },
      [&] { other.set("number", "1\nb = 2"); },
      [&] { Table::parse("a=1", "t").refuse_unknown(); }};
  for (std::size_t i = 0; i < reads.size(); ++i) EXPECT_NE(refused(reads[i]).hint, "") << i;
}

TEST(Table, AnyTextIsQuotedAndReadBack) {
  std::string all;
  for (int c = 1; c < 128; ++c) all += static_cast<char>(c);
  for (const std::string& text : {std::string("O'Neill \"caps\""), std::string("a\\b\nc\t"),
                                  std::string("κέπι '' '"), all, std::string()}) {
    const Table table = Table::parse("a = " + toml_text(text) + "\n", "t");
    EXPECT_EQ(table.text("a"), text);
    Table set = Table::parse("", "t");
    set.set("a", toml_text(text));
    EXPECT_EQ(set.text("a"), text);
  }
}

TEST(Table, SettingsAreLaidOver) {
  Table table = Table::parse("[bench]\nraise_mm = 1\n", "t");
  table.set("bench.raise_mm", "2");
  table.set("bench.needle", "80:sharp");  // a bare word is a string
  table.set("gap", "[{x_mm = 0, gap_mm = 2.5}]");
  table.set("stitch.style", "flat");
  EXPECT_EQ(table.table("bench")->number("raise_mm", {0, 9}), 2);
  EXPECT_EQ(table.table("bench")->text("needle"), "80:sharp");
  EXPECT_EQ(table.tables("gap").at(0).number("gap_mm", {0, 9}), 2.5);
  EXPECT_EQ(table.table("stitch")->text("style"), "flat");
  EXPECT_EQ(refused([&] { table.set("bench.raise_mm.deep", "1"); }).code, ErrorCode::bad_job);
  table.set("bench.speed_spm", "80000");
  EXPECT_EQ(refused([&] { table.table("bench")->number("speed_spm", {100, 1500}); }).where,
            "t: bench: speed_spm")
      << "no line of a file that has none";
}

TEST(Table, LaidOverAnotherMergesTablesAndReplacesAllElse) {
  const Table above = Table::parse("a = 1\nown = 2\nlist = [3]\n[t]\nx = 4\n", "above.toml");
  const Table below =
      Table::parse("a = 9\nb = 8\nlist = [1, 2]\n[t]\nx = 7\ny = 6\n", "below.toml");
  const Table both = above.over(below, {"own"});
  EXPECT_EQ(both.number("a", {0, 10}), 1);
  EXPECT_EQ(both.number("b", {0, 10}), 8);
  EXPECT_EQ(both.numbers("list", {0, 10}), std::vector<double>{3});
  EXPECT_EQ(both.table("t")->number("x", {0, 10}), 4);
  EXPECT_EQ(both.table("t")->number("y", {0, 10}), 6);
  EXPECT_FALSE(both.has("own"));
  EXPECT_EQ(both.where(), "above.toml");
  EXPECT_EQ(below.number("a", {0, 10}), 9);  // what is below stays as it was
}

}  // namespace
}  // namespace buckram::base
