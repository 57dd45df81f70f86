#include "artwork/thread_list.h"

#include "base/base.h"

#include <gtest/gtest.h>

#include <set>

namespace buckram::artwork {
namespace {

std::string refusal(const std::string& text) {
  try {
    read_threads(text, "t.csv");
  } catch (const base::Error& error) {
    EXPECT_EQ(error.code, base::ErrorCode::bad_data);
    EXPECT_FALSE(error.hint.empty()) << error.what;
    return base::message(error);
  }
  return "not refused";
}

TEST(ThreadList, ReadsCsvInAnyColumnOrderWithQuotesAndComments) {
  const auto threads = read_threads(
      "# ours\r\nrgb,name,tex,number\r\n#102030,\"Deep, dark\",40,7\n#FFFFFF,White\n", "t");
  ASSERT_EQ(threads.size(), 2u);
  EXPECT_EQ(threads[0], (Thread{"Deep, dark", "7", {16, 32, 48}, 40}));
  EXPECT_EQ(threads[1], (Thread{"White", "", {255, 255, 255}, 27}));
}

TEST(ThreadList, ReadsTomlToTheSameThreads) {
  const auto threads =
      read_threads("[[thread]]\nname='Brass'\nnumber='9'\nrgb='#c8973a'\ntex=30\n", "t.toml");
  ASSERT_EQ(threads.size(), 1u);
  EXPECT_EQ(threads[0], (Thread{"Brass", "9", {200, 151, 58}, 30}));
}

TEST(ThreadList, RefusesWithLineAndReason) {
  EXPECT_NE(refusal("").find("no threads"), std::string::npos);
  EXPECT_NE(refusal("name,number,rgb,tex\n").find("no threads"), std::string::npos);
  EXPECT_NE(refusal("a,b\n1,2\n").find("header"), std::string::npos);
  EXPECT_NE(refusal("name,rgb\nRed,red\n").find("line 2: 'red' is not a colour"),
            std::string::npos);
  EXPECT_NE(refusal("name,rgb,tex\nRed,#f00,300\n").find("tex is '300'"), std::string::npos);
  EXPECT_NE(refusal("name,rgb,tex\nRed,#f00,thick\n").find("tex is 'thick'"), std::string::npos);
  EXPECT_NE(refusal("name,rgb\n,#f00\n").find("without a name"), std::string::npos);
  EXPECT_NE(refusal("name,rgb\nRed,#f00\nRed,#e00\n").find("'Red' is given twice"),
            std::string::npos);
  EXPECT_NE(refusal("[[thread]]\nname='A'\nrgb='#fff'\nshade=3\n").find("shade"),
            std::string::npos);
}

TEST(ThreadList, NearestIsTheFirstOfEquals) {
  const std::vector<Thread> threads = {
      {"a", "", {0, 0, 0}, 27}, {"b", "", {200, 0, 0}, 27}, {"c", "", {200, 0, 0}, 27}};
  EXPECT_EQ(nearest_thread({190, 10, 10}, threads), 1);
  EXPECT_EQ(nearest_thread({20, 20, 20}, threads), 0);
}

TEST(ThreadList, ShippedListHasSixtyThreadsThatCanBeToldApart) {
  const auto threads = read_threads(
      base::read_file(BUCKRAM_ROOT "/data/threads/harbour.csv", 100'000), "harbour.csv");
  EXPECT_EQ(threads.size(), 61u);
  std::set<std::string> numbers;
  double least = 100;
  for (std::size_t i = 0; i < threads.size(); ++i) {
    EXPECT_TRUE(numbers.insert(threads[i].number).second) << threads[i].number;
    for (std::size_t j = 0; j < i; ++j)
      least = std::min(least, difference(to_lab(threads[i].colour), to_lab(threads[j].colour)));
  }
  EXPECT_GT(least, 2.0);
}

// Well spread: whatever colour a logo brings, some thread is near. Saturated screen colours lie
// outside what thread reaches, so the bound is on the median and the 90th percentile.
TEST(ThreadList, ShippedListIsNearMostColours) {
  const auto threads = read_threads(
      base::read_file(BUCKRAM_ROOT "/data/threads/harbour.csv", 100'000), "harbour.csv");
  std::vector<double> far;
  for (int r = 0; r <= 255; r += 17)
    for (int g = 0; g <= 255; g += 17)
      for (int b = 0; b <= 255; b += 17) {
        const Rgb c{static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g),
                    static_cast<std::uint8_t>(b)};
        far.push_back(difference(
            to_lab(c),
            to_lab(threads[static_cast<std::size_t>(nearest_thread(c, threads))].colour)));
      }
  std::sort(far.begin(), far.end());
  EXPECT_LT(far[far.size() / 2], 9);
  EXPECT_LT(far[far.size() * 9 / 10], 16);
}

}  // namespace
}  // namespace buckram::artwork
