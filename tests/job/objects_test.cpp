// Single objects' own stitches through the whole chain: only theirs change, and the plan still
// keeps every limit.
#include "job/job.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>
#include <tuple>
#include <vector>

namespace buckram::job {
namespace {

const DataFolder kData{BUCKRAM_ROOT "/data"};

std::vector<std::string> badge(std::vector<std::string> more = {}) {
  std::vector<std::string> sets{"artwork.file=" BUCKRAM_ROOT "/examples/skerry-light-badge.svg",
                                "artwork.height_mm=46"};
  sets.insert(sets.end(), more.begin(), more.end());
  return sets;
}

Planned planned(const std::vector<std::string>& sets) {
  const Job job = read_job("", "test", "", sets);
  return plan_stitches(resolve(job, kData), read_artwork(job));
}

using Holes = std::vector<std::tuple<double, double, char>>;

// Every hole of each object with its layer, in the order sewn; travel and ties apart, which follow
// the neighbours.
std::map<int, Holes> holes(const stitch::Plan& plan) {
  std::map<int, Holes> all;
  for (const stitch::Block& block : plan.blocks) {
    const bool is_own = block.layer == stitch::Layer::top || block.layer == stitch::Layer::under;
    for (int i = block.first; is_own && i < block.first + block.count; ++i) {
      if (plan.op[static_cast<std::size_t>(i)] != stitch::Op::sew) continue;
      all[block.object].emplace_back(plan.at(i).x, plan.at(i).y, static_cast<char>(block.layer));
    }
  }
  return all;
}

// The run that tacks the seam goes round, from wherever the first object begins.
bool is_tacking(const Planned& plan, int id) {
  return std::any_of(plan.objects.begin(), plan.objects.end(),
                     [&](const digitise::Object& each) { return each.id == id && each.order < 0; });
}

Holes sorted(Holes holes) {
  std::sort(holes.begin(), holes.end());
  return holes;
}

// The fill with the most holes.
int largest_fill(const Planned& plan) {
  int best = 0;
  std::size_t most = 0;
  for (const auto& [id, each] : holes(*plan.plan)) {
    const stitch::PlanObject* object = stitch::find_object(*plan.plan, id);
    if (object->kind == stitch::Kind::fill && each.size() > most) most = each.size(), best = id;
  }
  return best;
}

TEST(Objects, OnlyTheNamedObjectsStitchesChange) {
  const Planned before = planned(badge());
  const int fill = largest_fill(before);
  ASSERT_GT(fill, 0);
  const auto was = holes(*before.plan);
  int n_checked = 0;
  for (const char* change : {"angle_deg=60", "row_spacing_mm=0.5", "stitch_mm=5", "under=edge"}) {
    SCOPED_TRACE(change);
    const Planned after = planned(badge({"object." + std::to_string(fill) + "." + change}));
    EXPECT_TRUE(after.breaches.empty());
    const auto is = holes(*after.plan);
    ASSERT_EQ(is.size(), was.size());
    for (const auto& [id, each] : is) {
      if (id == fill) {
        EXPECT_NE(each, was.at(id));
      } else if (is_tacking(after, id)) {
        EXPECT_EQ(sorted(each), sorted(was.at(id)));
      } else {
        EXPECT_EQ(each, was.at(id)) << "object " << id;
        ++n_checked;
      }
    }
  }
  EXPECT_GT(n_checked, 40);
}

TEST(Objects, APlanMadeAgainFromItsOwnJobIsTheSame) {
  const Planned first = planned(badge());
  const std::string set = "object." + std::to_string(largest_fill(first)) + ".angle_deg=60";
  const Planned made = planned(badge({set}));
  const Job again = read_plan_job(made.plan->job, {});
  ASSERT_EQ(again.objects.size(), 1U);
  const Planned remade = plan_stitches(resolve(again, kData), read_artwork(again));
  EXPECT_EQ(remade.plan->x, made.plan->x);
  EXPECT_EQ(remade.plan->y, made.plan->y);
}

// A number means the same object whatever stitches of their own others have.
TEST(Objects, NumbersStayWhatOthersAreGiven) {
  const Planned before = planned(badge());
  const std::string fill = std::to_string(largest_fill(before));
  std::string column;
  for (const stitch::PlanObject& object : before.plan->objects) {
    if (object.kind == stitch::Kind::column) column = std::to_string(object.id);
  }
  ASSERT_FALSE(column.empty());
  const Planned after =
      planned(badge({"object." + column + ".sewn_as=fill", "object." + fill + ".angle_deg=60"}));
  ASSERT_EQ(after.plan->objects.size(), before.plan->objects.size());
  for (std::size_t i = 0; i < after.plan->objects.size(); ++i) {
    EXPECT_EQ(after.plan->objects[i].id, before.plan->objects[i].id);
    EXPECT_EQ(after.plan->objects[i].source, before.plan->objects[i].source);
  }
  EXPECT_EQ(stitch::find_object(*after.plan, std::stoi(column))->kind, stitch::Kind::fill);
}

TEST(Objects, TheVerdictTellsWhatEachWasGiven) {
  const Planned before = planned(badge());
  const std::string fill = std::to_string(largest_fill(before));
  const Planned after = planned(badge({"object." + fill + ".stitch_mm=5"}));
  int n = 0;
  for (const artwork::Note& note : after.notes) {
    if (note.kind != "object") continue;
    EXPECT_EQ(note.why, "object " + fill + ": stitches up to 5 mm, as the job asks");
    ++n;
  }
  EXPECT_EQ(n, 1);
}

}  // namespace
}  // namespace buckram::job
