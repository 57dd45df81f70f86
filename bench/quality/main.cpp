// Plans open pictures and prints how good the stitches are: medians and 95th percentiles.
//
// usage: quality [--per-set N] [--seed N] [--pitch MM] [--tall MM] [--worst N] [--csv FILE]
// [--draw DIR] [--causes] [--limits] [--shapes] [--set KEY=VALUE]... [SVG...]
#include "causes.h"
#include "shapes.h"

#include "machine/machine.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace {

using namespace buckram;
using quality::Picture;
using quality::Score;

struct Options {
  int per_set = 100, worst = 5;
  std::uint64_t seed = 1;
  double pitch = 0.05;
  double tall_mm = 45;  // or twice as wide, whichever is smaller
  std::string csv;
  std::string draw;  // folder for pictures of the thread, and of the artwork as read
  bool causes = false;
  bool shapes = false;  // our simple shapes beside plain straight rows instead of open pictures
  bool limits_only = false;  // plan, do not score
  // Scored on flat panels without compensation, so that the artwork itself is the target.
  std::vector<std::string> sets{"bench.mount=loose-panels", "stitch.compensation_mm=0"};
  std::vector<Picture> pictures;
};

std::vector<Picture> simple_shapes() {
  std::vector<Picture> all;
  for (const char* name :
       {"square", "rectangle-15", "rectangle-40", "disc", "ring", "angle", "star", "crescent"}) {
    all.push_back({"shapes", fmt::format(BUCKRAM_ROOT "/bench/quality/shapes/{}.svg", name)});
  }
  return all;
}

Options read_options(int argc, char** argv) {
  Options options;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    const auto value = [&] { return i + 1 < argc ? argv[++i] : ""; };
    if (word == "--per-set")
      options.per_set = std::atoi(value());
    else if (word == "--seed")
      options.seed = std::strtoull(value(), nullptr, 10);
    else if (word == "--pitch")
      options.pitch = std::atof(value());
    else if (word == "--tall")
      options.tall_mm = std::atof(value());
    else if (word == "--worst")
      options.worst = std::atoi(value());
    else if (word == "--csv")
      options.csv = value();
    else if (word == "--draw")
      options.draw = value();
    else if (word == "--causes")
      options.causes = true;
    else if (word == "--limits")
      options.limits_only = true;
    else if (word == "--shapes")
      options.shapes = true;
    else if (word == "--set")
      options.sets.emplace_back(value());
    else
      options.pictures.push_back({"given", word});
  }
  if (options.shapes) options.pictures = simple_shapes();
  if (options.pictures.empty()) {
    options.pictures = quality::sample_pictures(BUCKRAM_ROOT "/build/corpus/node_modules",
                                                options.per_set, options.seed);
  }
  return options;
}

struct Result {
  Picture picture;
  std::string trouble;        // why there is no score
  Score score, plain, inset;  // plain ones of simple shapes only
  quality::Causes causes;
};

// The artwork's regions as read, in their threads' colours, on the frame of write_svg().
std::string regions_svg(const job::Planned& planned) {
  const geometry::Box& box = planned.regions.box;
  std::string text = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{:.3f} {:.3f} {:.3f} {:.3f}\">"
      "<g transform=\"scale(1 -1)\" fill-rule=\"evenodd\">\n",
      box.x0, -box.y1, box.width(), box.height());
  const auto add = [&](const geometry::Ring& ring) {
    char word = 'M';
    for (const geometry::Point p : ring)
      text += fmt::format("{}{:.3f} {:.3f}", word, p.x, p.y), word = 'L';
    text += 'Z';
  };
  for (const artwork::Region& region : planned.regions.regions) {
    const auto& thread = planned.regions.threads[static_cast<std::size_t>(region.thread)];
    text += fmt::format("<path fill=\"{}\" d=\"", artwork::hex(thread.colour));
    for (const geometry::Polygon& polygon : region.visible) {
      add(polygon.outer);
      for (const geometry::Ring& hole : polygon.holes) add(hole);
    }
    text += "\"/>\n";
  }
  return text + "</g></svg>\n";
}

void draw(const job::Planned& planned, const Picture& picture, const Options& options) {
  namespace fs = std::filesystem;
  const std::string name = picture.set + '-' + fs::path(picture.path).stem().string();
  const auto path = [&](const char* end) {
    return (fs::path(options.draw) / (name + end)).string();
  };
  base::write_files({{path(".svg"), machine::write_svg(*planned.plan)},
                     {path("-artwork.svg"), regions_svg(planned)}});
}

void score_plain(const Picture& picture, const job::Planned& planned, double pitch,
                 Result& result) {
  quality::PlainOptions options;
  quality::score(picture, quality::plain_rows(planned, options), pitch, result.plain);
  options.inset_mm = 0.2;
  quality::score(picture, quality::plain_rows(planned, options), pitch, result.inset);
}

Result plan_and_score(const Picture& picture, const Options& options, const job::DataFolder& data) {
  Result result{picture, "", {}, {}, {}, {}};
  try {
    job::Job job = job::read_job("", "quality", "", options.sets);
    job.artwork_file = picture.path;
    if (!job.height_mm && !job.width_mm)
      job.height_mm = options.tall_mm, job.width_mm = 2 * options.tall_mm;
    const job::Resolved resolved = job::resolve(job, data);
    const auto start = std::chrono::steady_clock::now();
    const artwork::Drawing drawing = job::read_artwork(job);
    const job::Planned planned = job::plan_stitches(resolved, drawing);
    result.score.plan_s =
        std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    if (!planned.plan) {
      result.trouble = "refused: " + planned.refusal;
    } else if (!options.limits_only &&
               !quality::score(picture, planned, options.pitch, result.score)) {
      result.trouble = "librsvg cannot paint it";
    } else {
      if (options.shapes) score_plain(picture, planned, options.pitch, result);
      if (options.causes) quality::find_causes(picture, planned, options.pitch, result.causes);
      if (!options.draw.empty()) draw(planned, picture, options);
      result.score.breaches = static_cast<int>(planned.breaches.size());
      if (!planned.breaches.empty()) result.score.first_breach = planned.breaches.front().rule;
    }
  } catch (const base::Error& error) {
    result.trouble = base::message(error);
  }
  return result;
}

struct Column {
  const char* name;
  std::function<double(const Score&)> value;
};

const std::vector<Column>& columns() {
  static const std::vector<Column> all{
      {"missed %", [](const Score& s) { return s.missed; }},
      {"spilled %", [](const Score& s) { return s.spilled; }},
      {"wrong colour %", [](const Score& s) { return s.wrong_colour; }},
      {"left out %", [](const Score& s) { return s.left_out; }},
      {"edge p5 mm", [](const Score& s) { return s.edge_p5; }},
      {"edge p50 mm", [](const Score& s) { return s.edge_p50; }},
      {"edge p95 mm", [](const Score& s) { return s.edge_p95; }},
      {"edge |p95| mm", [](const Score& s) { return s.edge_abs_p95; }},
      {"worst feature %", [](const Score& s) { return s.worst_feature; }},
      {"lost features", [](const Score& s) { return double(s.lost_features); }},
      {"largest hole mm", [](const Score& s) { return s.largest_hole_mm; }},
      {"covered twice %", [](const Score& s) { return s.covered_twice; }},
      {"covered thrice %", [](const Score& s) { return s.covered_thrice; }},
      {"thread ratio", [](const Score& s) { return s.thread_ratio; }},
      {"even rows %", [](const Score& s) { return s.even_rows; }},
      {"crowded %", [](const Score& s) { return s.crowded; }},
      {"most in 1 mm disc", [](const Score& s) { return double(s.most_in_disc); }},
      {"short stitches %", [](const Score& s) { return s.short_stitches; }},
      {"stitches", [](const Score& s) { return double(s.stitches); }},
      {"trims", [](const Score& s) { return double(s.trims); }},
      {"trims - bound", [](const Score& s) { return double(s.trims - s.trims_bound); }},
      {"changes - least", [](const Score& s) { return double(s.changes - s.changes_bound); }},
      {"visible travel mm", [](const Score& s) { return s.visible_mm; }},
      {"travel / bound",
       [](const Score& s) {
         return s.visible_bound_mm > 0 ? s.visible_mm / s.visible_bound_mm : 1.0;
       }},
      {"limits broken", [](const Score& s) { return double(s.breaches); }},
      {"plan s", [](const Score& s) { return s.plan_s; }}};
  return all;
}

double quantile(std::vector<double> values, double q) {
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(q * double(values.size() - 1) + 0.5)];
}

void print(const std::vector<Result>& results, const Options& options) {
  std::vector<const Result*> good;
  for (const Result& r : results) {
    if (r.trouble.empty())
      good.push_back(&r);
    else
      fmt::print("NO PLAN  {}: {}\n", r.picture.path, r.trouble);
  }
  std::map<std::string, std::vector<std::string>> broken;  // pictures by the rule without figures
  for (const Result* r : good) {
    if (r->score.breaches == 0) continue;
    std::string rule = r->score.first_breach;
    std::erase_if(rule, [](char c) { return c >= '0' && c <= '9'; });
    broken[rule].push_back(r->picture.path);
  }
  for (const auto& [rule, paths] : broken) {
    fmt::print("LIMIT  {} pictures: {}\n", paths.size(), rule);
    for (const std::string& path : paths) fmt::print("       {}\n", path);
  }
  fmt::print("{} pictures, {} planned and scored\n\n", results.size(), good.size());
  if (good.empty() || options.limits_only) return;
  fmt::print("{:<20} {:>9} {:>9} {:>9}\n", "", "median", "p95", "worst");
  for (const Column& column : columns()) {
    std::vector<double> values;
    for (const Result* r : good) values.push_back(column.value(r->score));
    fmt::print("{:<20} {:>9.3f} {:>9.3f} {:>9.3f}\n", column.name, quantile(values, 0.5),
               quantile(values, 0.95), quantile(values, 1));
  }
  int trims = 0, trims_bound = 0;
  for (const Result* r : good) trims += r->score.trims, trims_bound += r->score.trims_bound;
  fmt::print("\ntrims in all {}, bound {}: {:.2f} times\n", trims, trims_bound,
             double(trims) / std::max(trims_bound, 1));
  constexpr int kWorstFeature = 8;
  for (int c : {0, 1, 2, kWorstFeature, 9}) {
    const Column& column = columns()[static_cast<std::size_t>(c)];
    std::stable_sort(good.begin(), good.end(), [&](const Result* a, const Result* b) {
      return column.value(a->score) > column.value(b->score);
    });
    fmt::print("\nworst by {}:\n", column.name);
    for (int i = 0; i < std::min<int>(options.worst, int(good.size())); ++i) {
      const Score& s = good[i]->score;
      fmt::print("  {:8.3f}  {}", column.value(s), good[i]->picture.path);
      if (c == kWorstFeature)
        fmt::print("  {:.1f} mm2 at {:.1f}, {:.1f}", s.worst_mm2, s.worst_at.x, s.worst_at.y);
      fmt::print("\n");
    }
  }
}

using Tally = std::map<std::string, double>;

// Means over the pictures, largest first.
void print_tally(const std::vector<Result>& results, Tally quality::Causes::* which,
                 const char* name) {
  Tally sum;
  for (const Result& r : results)
    for (const auto& [cause, share] : r.causes.*which) sum[cause] += share / double(results.size());
  std::vector<std::pair<std::string, double>> sorted(sum.begin(), sum.end());
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const auto& a, const auto& b) { return a.second > b.second; });
  double all = 0;
  for (const auto& [cause, share] : sorted) all += share;
  fmt::print("\n{}, mean {:.3f} %, by cause:\n", name, all);
  for (const auto& [cause, share] : sorted) {
    if (share >= 0.001) fmt::print("  {:.3f}  {}\n", share, cause);
  }
}

void write_csv(const std::vector<Result>& results, const std::string& path) {
  std::ofstream out(path);
  out << "set,path,trouble";
  for (const Column& column : columns()) out << ',' << column.name;
  out << '\n';
  for (const Result& r : results) {
    out << r.picture.set << ',' << r.picture.path << ",\"" << r.trouble << '"';
    for (const Column& column : columns()) out << ',' << column.value(r.score);
    out << '\n';
  }
}

}  // namespace

int main(int argc, char** argv) {
  const Options options = read_options(argc, argv);
  if (options.pictures.empty()) {
    fmt::print("no pictures: run scripts/fetch-corpus first\n");
    return 2;
  }
  // Once, before threads write into it.
  if (!options.draw.empty()) std::filesystem::create_directories(options.draw);
  const job::DataFolder data{BUCKRAM_ROOT "/data"};
  std::vector<Result> results(options.pictures.size());
  base::parallel_for(results.size(), [&](std::size_t i) {
    results[i] = plan_and_score(options.pictures[i], options, data);
  });
  if (options.shapes) {
    std::vector<quality::Compared> compared;
    for (const Result& r : results) {
      const std::string name = std::filesystem::path(r.picture.path).stem().string();
      compared.push_back({name, r.score, r.plain, r.inset});
    }
    quality::print_table(compared);
  } else {
    print(results, options);
  }
  if (options.causes) {
    print_tally(results, &quality::Causes::wrong_colour, "wrong colour");
    print_tally(results, &quality::Causes::hidden_seen, "hidden thread seen, of the artwork");
    print_tally(results, &quality::Causes::crowded, "crowded penetrations");
  }
  if (!options.csv.empty()) write_csv(results, options.csv);
  const bool all = std::all_of(results.begin(), results.end(), [](const Result& r) {
    return r.trouble.empty() && r.score.breaches == 0;
  });
  return all ? 0 : 1;
}
