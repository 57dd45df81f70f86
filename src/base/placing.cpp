#include "base/placing.h"

namespace buckram::base {
namespace {

namespace fs = std::filesystem;

struct Step {
  bool had_file = false;  // it stands aside
  bool is_placed = false;
};

// What stands at the place gets a second name, so that the place is never empty; where the disk
// knows no second names it is moved.
std::error_code keep_aside(const Placement& each, const RenameFile& rename_file, Step& step) {
  std::error_code trouble;
  if (!fs::exists(fs::symlink_status(each.place, trouble))) return {};
  fs::remove(each.aside, trouble);
  fs::create_hard_link(each.place, each.aside, trouble);
  if (trouble) {
    trouble = rename_file(each.place, each.aside);
    if (trouble) return trouble;
  }
  step.had_file = true;
  return {};
}

std::error_code place(const Placement& each, const RenameFile& rename_file, Step& step) {
  std::error_code trouble = keep_aside(each, rename_file, step);
  if (trouble) return trouble;
  if (each.part.empty()) {
    fs::remove(each.place, trouble);
  } else {
    trouble = rename_file(each.part, each.place);
  }
  step.is_placed = !trouble;
  return trouble;
}

void undo(const Placement& each, const Step& step, const RenameFile& rename_file) {
  std::error_code ignored;
  if (step.had_file) {
    // Where both names are of one file, renaming one onto the other leaves both.
    if (!rename_file(each.aside, each.place)) fs::remove(each.aside, ignored);
  } else if (step.is_placed) {
    fs::remove(each.place, ignored);
  }
}

}  // namespace

Placed put_in_place(const std::vector<Placement>& all, const RenameFile& rename_file) {
  std::vector<Step> steps(all.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    const std::error_code trouble = place(all[i], rename_file, steps[i]);
    if (!trouble) continue;
    for (std::size_t k = i + 1; k-- > 0;) undo(all[k], steps[k], rename_file);
    return {trouble, i};
  }
  std::error_code ignored;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (steps[i].had_file) fs::remove(all[i].aside, ignored);
  }
  return {};
}

}  // namespace buckram::base
