// What anyone can see on the cap: letters as high as a row of thread is wide do not read (common
// practice, no source: capitals under 4 to 5 mm do not, in thread of size 40).
#include "job/readable.h"

#include <gtest/gtest.h>

namespace buckram::job {
namespace {

advise::Verdict verdict_of(const std::vector<std::string>& sets) {
  std::vector<std::string> all{"bench.mount=loose-panels"};
  all.insert(all.end(), sets.begin(), sets.end());
  const Resolved job = resolve(read_job("", "test", "", all), {BUCKRAM_ROOT "/data"});
  const artwork::Drawing drawing = read_artwork(job.job);
  return plan_job(job, drawing, plan_stitches(job, drawing));
}

bool tells_unreadable(const advise::Verdict& verdict) {
  return std::any_of(verdict.notes.begin(), verdict.notes.end(),
                     [](const advise::Note& note) { return note.kind == "unreadable"; });
}

TEST(Readable, LetteringLowerThanThreadCanDrawIsRefusedWithTheLeastHeight) {
  for (const char* height : {"artwork.height_mm=1.5", "artwork.height_mm=3"}) {
    const advise::Verdict verdict = verdict_of({"artwork.text=QUAY", height});
    EXPECT_EQ(verdict.answer, advise::Answer::refuse) << height;
    EXPECT_TRUE(tells_unreadable(verdict)) << height;
    EXPECT_NE(verdict.sentence.find("at least 4 mm"), std::string::npos) << verdict.sentence;
  }
}

TEST(Readable, LetteringThatReadsIsNot) {
  const advise::Verdict verdict = verdict_of({"artwork.text=QUAY", "artwork.height_mm=10"});
  EXPECT_EQ(verdict.answer, advise::Answer::run);
  EXPECT_FALSE(tells_unreadable(verdict));
}

TEST(Readable, ADesignShrunkToALumpIsRefused) {
  const std::string words = "artwork.file='" BUCKRAM_ROOT "/examples/tern-and-tide-wordmark.svg'";
  EXPECT_TRUE(tells_unreadable(verdict_of({words, "artwork.height_mm=4"})));
  EXPECT_FALSE(tells_unreadable(verdict_of({words, "artwork.height_mm=20"})));
}

TEST(Readable, SmallRowsAreToldFirst) {
  const advise::Verdict verdict = verdict_of({"artwork.text=QUAYSIDE", "artwork.height_mm=5"});
  EXPECT_EQ(verdict.answer, advise::Answer::run);
  EXPECT_NE(verdict.sentence.find("1 row of letters or details"), std::string::npos)
      << verdict.sentence;
}

}  // namespace
}  // namespace buckram::job
