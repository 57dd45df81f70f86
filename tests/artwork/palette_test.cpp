#include "artwork/palette.h"

#include <gtest/gtest.h>

#include <cmath>

namespace buckram::artwork {
namespace {

Palette palette_of(Rgb colour) {
  const std::vector<Thread> threads{{"Ensign blue", "1", {40, 70, 140}, 27}};
  return choose_threads({{colour, 100, "band"}}, threads, {});
}

double off(Rgb colour) {
  return difference(to_lab(colour), to_lab({40, 70, 140}));
}

// CIEDE2000 itself is held against its published pairs in colour_test.
TEST(Palette, TellsOfAThreadThatCustomersWouldSeeAsAnotherColour) {
  const Rgb near{46, 76, 148}, far{60, 92, 168};
  ASSERT_LT(off(near), 5);
  ASSERT_GT(off(far), 5);
  ASSERT_LT(off(far), 10);
  EXPECT_TRUE(palette_of(near).notes.empty());
  const std::vector<Note> notes = palette_of(far).notes;
  ASSERT_EQ(notes.size(), 1u);
  EXPECT_EQ(notes[0].kind, "colour");
  EXPECT_EQ(notes[0].source, "band");
  EXPECT_EQ(notes[0].why, "nearest thread Ensign blue, " + std::to_string(std::lround(off(far))) +
                              " off: show the customer the thread");
}

}  // namespace
}  // namespace buckram::artwork
