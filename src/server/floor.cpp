#include "server/floor.h"

#include "server/json_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace buckram::server {
namespace {

std::string step_json(const std::string& id, const report::ToldStep& step) {
  return fmt::format(R"({{"id":{},"label":{},"value":{},"inches":{},"reason":{},"is_change":{}}})",
                     text_json(id), text_json(step.label), text_json(step.value),
                     text_json(step.inches), text_json(step.reason), step.is_change);
}

// What a step asks is in its id: a tick falls away when that changes. A file that was loaded, a box
// that was walked round and a cap that was sewn are of one plan.
std::string id_of(const report::ToldStep& step, int revision) {
  const bool is_of_plan = step.label == "Load" || step.label == "Box" || step.label == "One cap";
  return step.label + ": " + step.value +
         (is_of_plan ? fmt::format(" (plan {})", revision) : std::string());
}

std::string steps_json(const report::Told& told, int revision) {
  std::string out = "[";
  for (const report::ToldStep& step : told.bench) {
    out += (out.size() > 1 ? "," : "") + step_json(id_of(step, revision), step);
  }
  const bool moves_plate =
      std::any_of(told.bench.begin(), told.bench.end(), [](const report::ToldStep& step) {
        return step.is_change && (step.label == "Plate" || step.label == "Foot");
      });
  if (moves_plate) {
    const report::ToldStep turn{"By hand", "power off; turn the machine one full stitch by hand",
                                "", "the needle must clear the plate", false};
    out += "," + step_json(id_of(turn, revision), turn);
  }
  const report::ToldStep box{"Box", "walk round the design’s box, needle up", "",
                             "nothing may touch the frame", false};
  const report::ToldStep one{"One cap", "sew one cap first, and look at it in good light", "",
                             "before the order is started", false};
  return out + "," + step_json(id_of(box, revision), box) + "," +
         step_json(id_of(one, revision), one) + "]";
}

std::string threads_json(const stitch::Plan& plan, const report::Told& told, int caps) {
  std::string out = "[";
  for (const report::ToldVisit& visit : told.visits) {
    const stitch::PlanThread& thread = plan.threads[static_cast<std::size_t>(visit.thread)];
    out +=
        fmt::format(R"({}{{"thread":{},"needle":{},"name":{},"number":{},"rgb":{},"stitches":{},)"
                    R"("first":{},"end":{},"needle_m":{:.4g},"order_m":{:.4g},"sews":{}}})",
                    out.size() > 1 ? "," : "", visit.thread, thread.needle, text_json(thread.name),
                    text_json(thread.number), text_json(thread.rgb), visit.stitches, visit.first,
                    visit.end, visit.needle_m, visit.needle_m * caps, text_json(visit.sews));
  }
  return out + "]";
}

std::string value_of_step(const report::Told& told, const std::string& label) {
  for (const report::ToldStep& step : told.bench) {
    if (step.label == label) return step.value;
  }
  return "";
}

// Entries since the thread was last cut or changed.
int first_of_chain(const stitch::Plan& plan, int entry) {
  int first = entry;
  while (first > 0 && stitch::has_thread(plan, first)) --first;
  return first;
}

// The steps set the bench up as a rework asks: told is what is left so, then what it was.
std::string sentence_as_set_up(const advise::Verdict& verdict) {
  if (verdict.answer != advise::Answer::rework || !verdict.best) return verdict.sentence;
  return fmt::format("Set up as below, {}. Without the changes, {}.",
                     advise::breaks_in_words(*verdict.best, verdict.limit_breaks_per_100),
                     advise::breaks_in_words(100 * verdict.forecast->breaks_per_cap));
}

int stitches_up_to(const stitch::Plan& plan, int entry) {
  return static_cast<int>(
      std::count(plan.op.begin(), plan.op.begin() + entry + 1, stitch::Op::sew));
}

}  // namespace

std::string floor_json(const job::Resolved& job, const stitch::Plan& plan,
                       const advise::Verdict& verdict, const report::Told& told, int revision) {
  const geometry::Point start = job.setup.mount.origin;
  return fmt::format(
      R"({{"title":{},"customer":{},"caps":{},"spare_caps":{},"cap":{},"mount":{},"verdict":"{}",)"
      R"("sentence":{},"steps":{},"threads":{},"cautions":{},"seconds_a_cap":{:.0f},)"
      R"("stitches":{},"way_up":{{"turn_deg":{:g},"turned_by":"{}","words":{}}},)"
      R"("start":{{"x_mm":{:g},"y_mm":{:g},"words":{}}}}})",
      text_json(job::title_of(job.job)), text_json(job.job.customer), job.job.caps, told.spare_caps,
      text_json(job.setup.cap.title), text_json(job.setup.mount.title),
      advise::name(verdict.answer), text_json(sentence_as_set_up(verdict)),
      steps_json(told, revision), threads_json(plan, told, job.job.caps),
      text_list(verdict.cautions), told.seconds_a_cap, stitch::count(plan).stitches,
      job.setup.bench.turn_deg,
      job.setup.bench.turned_by == cap::TurnedBy::file ? "file" : "controller",
      text_json(value_of_step(told, "Way up")), start.x, start.y,
      text_json(value_of_step(told, "Start")));
}

BreakPlace place_of_break(const stitch::Plan& plan, int entry, Broke broke) {
  if (entry < 0 || entry >= plan.size()) {
    throw base::Error{base::ErrorCode::bad_job,
                      fmt::format("is {}; the plan has {} entries", entry, plan.size()), "entry",
                      "Tap the place on the chart"};
  }
  while (entry > 0 && plan.op[static_cast<std::size_t>(entry)] != stitch::Op::sew) --entry;
  const int chain = first_of_chain(plan, entry);
  int back = entry;
  for (double mm = 0; back > chain && (entry - back < kBackStitches || mm < kBackMm); --back) {
    mm += geometry::distance(plan.at(back - 1), plan.at(back));
  }
  const std::vector<int> blocks = stitch::block_of_entries(plan);
  const int block = blocks[static_cast<std::size_t>(entry)];
  BreakPlace place{entry,     stitches_up_to(plan, entry),
                   block + 1, plan.blocks[static_cast<std::size_t>(block)].object,
                   back,      stitches_up_to(plan, back),
                   ""};
  const int n_back = place.stitch - place.go_back_stitch;
  place.words = fmt::format(
      "Stitch {} in block {}. {} Before going on: power off, {}.", place.stitch, place.block,
      n_back > 0 ? fmt::format("Go back {} {}, to stitch {}, so that the new thread is held.",
                               n_back, n_back == 1 ? "stitch" : "stitches", place.go_back_stitch)
                 : "Start again at that stitch: the thread begins there.",
      broke == Broke::needle
          ? "find every piece of the needle or keep the cap back, fit a new needle, look at the "
            "hook and the thread path"
          : "feel the needle for a burr, look at the thread path and the bobbin, thread it again");
  return place;
}

}  // namespace buckram::server
