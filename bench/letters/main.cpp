// Plans every letter, digit and common sign of open fonts at several heights and prints how good
// the stitches are.
//
// usage: letters [--face NAME]... [--height MM]... [--signs TEXT] [--worst N] [--pitch MM]
//                [--sheet DIR] [--across N] [--csv FILE]
#include "evenness.h"
#include "faces.h"
#include "sheet.h"

#include "score.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <set>

namespace {

using namespace buckram;
using letters::Face;
using letters::Glyph;

struct Options {
  std::set<std::string> faces;  // empty: all
  std::vector<double> heights;
  std::string signs = letters::signs();
  std::string sheet, csv;
  int worst = 20, across = 12;
  double pitch = 0.025;  // letters are small: a quarter of the pictures' cells
};

Options read_options(int argc, char** argv) {
  Options options;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    const auto value = [&] { return i + 1 < argc ? argv[++i] : ""; };
    if (word == "--face") options.faces.insert(value());
    if (word == "--height") options.heights.push_back(std::atof(value()));
    if (word == "--signs") options.signs = value();
    if (word == "--sheet") options.sheet = value();
    if (word == "--csv") options.csv = value();
    if (word == "--across") options.across = std::max(1, std::atoi(value()));
    if (word == "--worst") options.worst = std::atoi(value());
    if (word == "--pitch") options.pitch = std::atof(value());
  }
  if (options.heights.empty()) options.heights = {6, 8, 12, 20};
  return options;
}

struct Result {
  const Face* face = nullptr;
  double height_mm = 0;
  Glyph glyph;
  std::string trouble;
  quality::Score score;
  letters::Rows rows;
  int objects = 0;
  job::Planned planned;
};

// The glyph as a file, which librsvg and the planner both read.
std::string write_glyph(const Glyph& glyph, const Face& face) {
  namespace fs = std::filesystem;
  const fs::path folder = fs::path(BUCKRAM_BUILD) / "letters" / face.name;
  fs::create_directories(folder);
  const fs::path file = folder / fmt::format("{:02x}.svg", static_cast<unsigned>(glyph.sign));
  std::ofstream(file) << glyph.svg;
  return file.string();
}

void plan_and_score(const job::Resolved& shop, const std::string& file, const Options& options,
                    Result& r) {
  try {
    job::Resolved resolved = shop;
    resolved.job.artwork_file = file;
    resolved.job.height_mm = r.glyph.height * r.height_mm;
    resolved.job.width_mm = r.glyph.width * r.height_mm;
    r.planned = job::plan_stitches(resolved, job::read_artwork(resolved.job));
    if (!r.planned.plan) {
      r.trouble = r.planned.refusal;
      return;
    }
    if (!quality::score({r.face->name, file}, r.planned, options.pitch, r.score))
      r.trouble = "librsvg cannot paint it";
    if (!r.planned.breaches.empty()) r.trouble = "limit: " + r.planned.breaches.front().rule;
    r.rows = letters::column_rows(*r.planned.plan, resolved.recipe.column_mm / 2);
    r.objects = static_cast<int>(r.planned.objects.size());
  } catch (const base::Error& error) {
    r.trouble = base::message(error);
  }
}

std::vector<Result> plan_all(const Options& options) {
  const job::DataFolder data{BUCKRAM_ROOT "/data"};
  const job::Resolved shop = job::resolve(
      job::read_job("", "letters", "", {"bench.mount=loose-panels", "stitch.compensation_mm=0"}),
      data);
  std::vector<Result> results;
  std::vector<std::string> files;
  for (const Face& face : letters::faces()) {
    if (!options.faces.empty() && !options.faces.contains(face.name)) continue;
    const auto glyphs = letters::glyphs(face, options.signs);
    if (glyphs.empty()) fmt::print("NO FONT  /usr/share/fonts/{}\n", face.file);
    for (const double height : options.heights) {
      for (const Glyph& glyph : glyphs) {
        Result result;
        result.face = &face, result.height_mm = height, result.glyph = glyph;
        results.push_back(std::move(result));
        files.push_back(write_glyph(glyph, face));
      }
    }
  }
  base::parallel_for(results.size(),
                     [&](std::size_t i) { plan_and_score(shop, files[i], options, results[i]); });
  return results;
}

double quantile(std::vector<double> values, double q) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(q * double(values.size() - 1) + 0.5)];
}

using Group = std::vector<const Result*>;

double of(const Group& group, double q, const std::function<double(const Result&)>& value) {
  std::vector<double> values;
  for (const Result* r : group) values.push_back(value(*r));
  return quantile(std::move(values), q);
}

double mean(const Group& group, const std::function<double(const Result&)>& value) {
  double sum = 0;
  for (const Result* r : group) sum += value(*r);
  return group.empty() ? 0 : sum / double(group.size());
}

void print_row(const std::string& name, const std::string& height, const Group& group) {
  double rows = 0, uneven = 0;
  for (const Result* r : group) rows += r->rows.n, uneven += r->rows.uneven;
  using R = const Result&;
  fmt::print(
      "{:<11} {:>4} {:>5.2f} {:>5.2f} {:>5.2f} {:>5.2f} {:>6.3f} {:>6.3f} {:>6.2f} {:>6.2f} "
      "{:>5.3f} {:>6.2f} {:>6.2f} {:>6.2f} {:>5.1f} {:>5.2f} {:>5.2f}\n",
      name, height, of(group, 0.5, [](R r) { return r.score.missed; }),
      of(group, 0.95, [](R r) { return r.score.missed; }),
      of(group, 0.5, [](R r) { return r.score.spilled; }),
      of(group, 0.95, [](R r) { return r.score.spilled; }),
      of(group, 0.5, [](R r) { return r.score.edge_abs_p95; }),
      of(group, 0.95, [](R r) { return r.score.edge_abs_p95; }),
      of(group, 0.5, [](R r) { return r.score.worst_feature; }),
      of(group, 0.95, [](R r) { return r.score.worst_feature; }),
      of(group, 0.5, [](R r) { return r.score.thread_ratio; }),
      mean(group, [](R r) { return r.score.crowded; }),
      mean(group, [](R r) { return r.score.short_stitches; }), rows > 0 ? 100 * uneven / rows : 0,
      mean(group, [](R r) { return double(r.objects); }),
      mean(group, [](R r) { return double(r.score.trims); }),
      mean(group, [](R r) { return r.score.left_out; }));
}

void print_causes(const Group& group) {
  letters::Rows sum;
  for (const Result* r : group) {
    sum.n += r->rows.n;
    for (int c = 0; c < letters::kCauses; ++c) sum.by_cause[c] += r->rows.by_cause[c];
  }
  const auto share = [&](letters::Cause c) {
    return sum.n > 0 ? 100.0 * sum.by_cause[static_cast<int>(c)] / sum.n : 0;
  };
  using enum letters::Cause;
  fmt::print(
      "uneven steps, % of all: tight curves {:.1f}, tapers {:.1f}, ends {:.1f}, other {:.1f}\n",
      share(curve), share(taper), share(end), share(other));
}

void print(const std::vector<Result>& results, const Options& options) {
  fmt::print(
      "Medians and 95th percentiles over the glyphs; crowded, short, uneven: per cent in all;\n"
      "objects, trims, left out: means a glyph.\n"
      "{:<11} {:>4} {:>11} {:>11} {:>13} {:>13} {:>5} {:>6} {:>6} {:>6} {:>5} {:>5} {:>5}\n",
      "face", "mm", "missed %", "spilled %", "edge p95 mm", "worst part %", "ratio", "crowd%",
      "short%", "uneven", "objs", "trims", "out %");
  Group all;
  for (const Face& face : letters::faces()) {
    for (const double height : options.heights) {
      Group group;
      for (const Result& r : results) {
        if (r.face == &face && r.height_mm == height && r.planned.plan) group.push_back(&r);
      }
      if (group.empty()) continue;
      print_row(face.name, fmt::format("{:g}", height), group);
      all.insert(all.end(), group.begin(), group.end());
    }
  }
  print_row("all", "", all);
  print_causes(all);
  fmt::print("\nworst of {} by missed + spilled + edge:\n", all.size());
  const auto badness = [](const Result* r) {
    return r->score.missed + r->score.spilled + 20 * r->score.edge_abs_p95;
  };
  std::stable_sort(all.begin(), all.end(),
                   [&](const Result* a, const Result* b) { return badness(a) > badness(b); });
  for (int i = 0; i < std::min<int>(options.worst, int(all.size())); ++i) {
    const Result& r = *all[i];
    fmt::print("  {} {:<11} {:>4g} mm  missed {:5.2f} spilled {:5.2f} edge {:5.3f} objects {}\n",
               r.glyph.sign, r.face->name, r.height_mm, r.score.missed, r.score.spilled,
               r.score.edge_abs_p95, r.objects);
  }
  for (const Result& r : results) {
    if (!r.trouble.empty())
      fmt::print("TROUBLE  {} {} {:g} mm: {}\n", r.glyph.sign, r.face->name, r.height_mm,
                 r.trouble);
  }
}

void write_csv(const std::vector<Result>& results, const std::string& path) {
  std::ofstream out(path);
  out << "face,height_mm,sign,missed,spilled,edge_p95,worst_part,ratio,crowded,short,rows,uneven,"
         "objects,trims,left_out\n";
  for (const Result& r : results) {
    const quality::Score& s = r.score;
    out << fmt::format(
        "{},{:g},{},{:.3f},{:.3f},{:.3f},{:.2f},{:.3f},{:.2f},{:.2f},{},{},{},{},{:.3f}\n",
        r.face->name, r.height_mm, int(r.glyph.sign), s.missed, s.spilled, s.edge_abs_p95,
        s.worst_feature, s.thread_ratio, s.crowded, s.short_stitches, r.rows.n, r.rows.uneven,
        r.objects, s.trims, s.left_out);
  }
}

void draw_sheets(const std::vector<Result>& results, const Options& options) {
  std::filesystem::create_directories(options.sheet);
  for (const Face& face : letters::faces()) {
    for (const double height : options.heights) {
      std::vector<letters::Drawn> drawn;
      for (const Result& r : results) {
        if (r.face == &face && r.height_mm == height)
          drawn.push_back({r.glyph.sign, &r.planned, r.glyph.x * height, r.glyph.y * height});
      }
      if (drawn.empty()) continue;
      letters::draw_sheet(drawn, height, options.across,
                          fmt::format("{}/{}-{:g}.png", options.sheet, face.name, height));
    }
  }
}

}  // namespace

int main(int argc, char** argv) {
  const Options options = read_options(argc, argv);
  const std::vector<Result> results = plan_all(options);
  print(results, options);
  if (!options.csv.empty()) write_csv(results, options.csv);
  if (!options.sheet.empty()) draw_sheets(results, options);
  const bool all = std::all_of(results.begin(), results.end(),
                               [](const Result& r) { return r.trouble.empty(); });
  return all && !results.empty() ? 0 : 1;
}
