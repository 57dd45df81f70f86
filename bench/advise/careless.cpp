// What does --auto make of jobs that start careless? Five artworks of our own, on four caps, with
// two benches as a hurried shop leaves them: 40 jobs. Prints breaks, minutes and coverage before
// and after; whether each change does alone what it is said to do (the job planned again with it);
// and medians. usage: careless [--every N]: every Nth job.
#include "job/job.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <string>
#include <vector>

namespace {

using namespace buckram;

const job::DataFolder kData{BUCKRAM_ROOT "/data"};

struct Careless {
  std::string name;
  std::vector<std::string> sets;
};

// The settings of a hurried shop: fast, slack, low on the front, stitched as for flat goods.
const std::vector<Careless> kBenches{
    {"fast and low",
     {"bench.speed_spm=950", "bench.tautness=0.4", "bench.needle=80:ball", "stitch.style=flat",
      "stitch.order=given"}},
    {"dense and thick",
     {"bench.speed_spm=800", "bench.foot_mm=5", "bench.tautness=0.5",
      "bench.backing=[\"tear-away\",\"tear-away\",\"tear-away\"]", "bench.needle=75:sharp",
      "stitch.row_spacing_mm=0.32", "stitch.column_spacing_mm=0.32"}}};

const std::vector<std::string> kCaps{"six-panel-structured-low", "six-panel-structured-mid",
                                     "six-panel-structured-high", "five-panel-structured-mid"};

struct Art {
  std::string name;
  std::vector<std::string> sets;
};
const std::vector<Art> kArt{{"crest",
                             {"artwork.file=" BUCKRAM_ROOT "/examples/keld-harbour-crest.svg",
                              "artwork.height_mm=44", "artwork.at_mm=[0,33]"}},
                            {"badge",
                             {"artwork.file=" BUCKRAM_ROOT "/examples/skerry-light-badge.svg",
                              "artwork.height_mm=46", "artwork.at_mm=[0,34]"}},
                            {"wordmark",
                             {"artwork.file=" BUCKRAM_ROOT "/examples/tern-and-tide-wordmark.svg",
                              "artwork.width_mm=95", "artwork.at_mm=[0,28]"}},
                            {"lettering",
                             {"artwork.text=HARBOUR WATCH", "artwork.font=Roboto:bold",
                              "artwork.height_mm=11", "artwork.at_mm=[0,18]"}},
                            {"two lines",
                             {"artwork.text=\"Skerry\\nBoatyard\"", "artwork.font=Roboto Slab:bold",
                              "artwork.height_mm=36", "artwork.at_mm=[0,30]"}}};

struct Row {
  double before = 0, after = 0;            // breaks per 100 caps
  double before_s = 0, after_s = 0;        // a cap, stops for breaks left out
  double lost_before = 0, lost_after = 0;  // missed and left out, per cent
  double took_s = 0;
  int n_plans = 0;
  int n_objects = 0, n_objects_made = 0;  // changes of single objects that help, and those made
  double best_object = 0;                 // most that one of them saves alone, share of the breaks
};

double quiet_s(const advise::Verdict& verdict) {
  advise::CapTime time = verdict.per_cap->time;
  time.needle_breaks_s = 0;
  return time.total_s();
}

struct Told {
  double said = 0, measured = 0;  // breaks per 100 caps
};

// What each change was said to do, and what planning again with it does.
std::vector<Told> check_effects(const job::Job& asked, const artwork::Drawing& drawing,
                                const advise::Verdict& improved) {
  const double before = improved.applied->before.mean;
  std::vector<Told> all;
  for (const advise::Change& change : improved.applied->changes) {
    const job::Resolved one = job::resolve(job::with_settings(asked, "change", {change.id}), kData);
    const job::Planned again = job::plan_stitches(one, drawing);
    if (!again.plan) continue;
    needle::ForecastOptions options;
    options.with_drivers = options.with_interval = options.with_words = false;
    const double after =
        100 * needle::forecast(*again.plan, one.setup, *one.mechanics, options).breaks_per_cap;
    all.push_back({change.breaks, after - before});
  }
  return all;
}

void count_objects(const advise::Verdict& verdict, Row& row) {
  for (const advise::Change& change : verdict.applied->changes) {
    if (!change.id.starts_with("object.")) continue;
    ++row.n_objects;
    row.n_objects_made += change.chosen;
    row.best_object = std::max(row.best_object, -change.breaks / row.before);
  }
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values.empty() ? NAN : values[values.size() / 2];
}

struct Case {
  const Art& art;
  const std::string& cap;
  const Careless& bench;
};

std::vector<Case> cases(int every) {
  std::vector<Case> all;
  int n = 0;
  for (const Art& art : kArt) {
    for (const std::string& cap : kCaps) {
      for (const Careless& bench : kBenches) {
        if (n++ % every == 0) all.push_back({art, cap, bench});
      }
    }
  }
  return all;
}

job::Job job_of(const Case& each) {
  std::vector<std::string> sets = each.art.sets;
  sets.insert(sets.end(), each.bench.sets.begin(), each.bench.sets.end());
  sets.push_back("cap.name=" + each.cap);
  sets.emplace_back("order.caps=48");  // setting up is shared by as many
  return job::read_job("", "careless", "", sets);
}

struct Results {
  std::vector<Row> rows;
  std::vector<double> misses;  // of what changes were said to do, as shares of it
};

void run(const Case& each, Results& results) {
  const job::Job asked = job_of(each);
  const job::Resolved resolved = job::resolve(asked, kData);
  const artwork::Drawing drawing = job::read_artwork(asked);
  const job::Planned planned = job::plan_stitches(resolved, drawing);
  const std::string name =
      fmt::format("{:10} {:26} {:16}", each.art.name, each.cap, each.bench.name);
  if (!planned.plan) {
    fmt::print("{} no plan: {}\n", name, planned.refusal);
    return;
  }
  const advise::Verdict before = job::plan_job(resolved, drawing, planned);
  const auto start = std::chrono::steady_clock::now();
  const job::Improved improved = job::improve_job(resolved, drawing, planned);
  const advise::Verdict& after = improved.verdict;
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  const auto lost = [](const advise::Verdict& v) {
    return v.coverage->missed + v.coverage->left_out;
  };
  Row row{100 * before.forecast->breaks_per_cap,
          100 * after.forecast->breaks_per_cap,
          quiet_s(before),
          quiet_s(after),
          lost(before),
          lost(after),
          took.count(),
          improved.n_plans};
  count_objects(after, row);
  fmt::print("{} {:8.2f} {:8.3f} {:6.1f} {:6.2f} {:6.2f} {:6.2f} {:6.2f} {:5.1f}", name, row.before,
             row.after, row.before / row.after, row.before_s / 60, row.after_s / 60,
             row.lost_before, row.lost_after, row.took_s);
  fmt::print(" {:3} plans, {:2} objects' help, {:4.1f} %;", row.n_plans, row.n_objects,
             100 * row.best_object);
  for (const advise::Change& change : after.applied->changes) {
    if (change.chosen) fmt::print(" {}", change.id);
  }
  fmt::print("\n");
  std::fflush(stdout);
  results.rows.push_back(row);
  for (const Told& told : check_effects(asked, drawing, after)) {
    if (std::abs(told.measured) < 0.02 * row.before) continue;
    results.misses.push_back(std::abs(told.said - told.measured) / std::abs(told.measured));
  }
}

void print_objects(const std::vector<Row>& rows) {
  std::vector<double> plans, best;
  int n_jobs = 0, n_made = 0;
  for (const Row& row : rows) {
    plans.push_back(row.n_plans);
    best.push_back(row.best_object);
    n_jobs += row.n_objects_made > 0;
    n_made += row.n_objects_made;
  }
  fmt::print(
      "changes of single objects: {} made, in {} jobs; the best alone saves {:.1f} % (median), "
      "{:.1f} % (most); plans a search: {:.0f} (median), {:.0f} (most)\n",
      n_made, n_jobs, 100 * median(best), 100 * *std::max_element(best.begin(), best.end()),
      median(plans), *std::max_element(plans.begin(), plans.end()));
}

void print_summary(Results& results) {
  std::vector<double> ratios, minutes, lost, took;
  for (const Row& row : results.rows) {
    ratios.push_back(row.before / row.after);
    minutes.push_back(row.after_s / row.before_s);
    lost.push_back(row.lost_after - row.lost_before);
    took.push_back(row.took_s);
  }
  fmt::print(
      "\n{} jobs. medians: breaks {:.1f} times fewer, time {:.3f} of before, lost {:+.3f} points, "
      "took {:.1f} s\n",
      results.rows.size(), median(ratios), median(minutes), median(lost), median(took));
  fmt::print("worst: breaks {:.1f} times fewer, time {:.3f}, lost {:+.3f} points, took {:.1f} s\n",
             *std::min_element(ratios.begin(), ratios.end()),
             *std::max_element(minutes.begin(), minutes.end()),
             *std::max_element(lost.begin(), lost.end()),
             *std::max_element(took.begin(), took.end()));
  print_objects(results.rows);
  std::vector<double>& misses = results.misses;
  if (misses.empty()) return;
  std::sort(misses.begin(), misses.end());
  fmt::print(
      "{} changes of at least 2 % of the breaks: said and measured apart by {:.1f} % (median), "
      "{:.1f} % (95th percentile), {:.1f} % (most)\n",
      misses.size(), 100 * median(misses), 100 * misses[misses.size() * 95 / 100],
      100 * misses.back());
}

}  // namespace

int main(int argc, char** argv) {
  const int every = argc > 2 && std::string(argv[1]) == "--every" ? std::stoi(argv[2]) : 1;
  fmt::print("{:10} {:26} {:16} {:>8} {:>8} {:>6} {:>6} {:>6} {:>6} {:>6} {:>5} {}\n", "artwork",
             "cap", "bench", "before", "after", "ratio", "min", "min", "lost", "lost", "took",
             "changes");
  Results results;
  for (const Case& each : cases(every)) run(each, results);
  if (!results.rows.empty()) print_summary(results);
}
