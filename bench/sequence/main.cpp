// How near the order comes to what no order can better.
//
//   sequence_bench [--per-set N] [--seed N] [--tries N] [--each] [--hostile] [PICTURE.svg...]
//
// Open pictures, 45 mm tall or 90 mm wide, on `loose-panels`: trims against islands and against the
// matching bound, thread changes against the least, visible travel against the Held-Karp bound of
// the same visits without precedence; once with the default cost of sewing inwards and once without
// any, which is what the search alone can do. Then random points, where only travel counts, against
// the Held-Karp bound (the optimum itself lies about 0.7 % above it: Johnson and McGeoch 1997).
// With --each a line for every picture, and no points. Times are of the processor, so that a busy
// machine does not matter. With --hostile only the artwork of hostile.h.
#include "job/job.h"
#include "sequence/bound.h"
#include "sequence/search.h"

#include "hostile.h"
#include "picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <string>

namespace {

using namespace buckram;

struct Options {
  int per_set = 20;
  std::uint64_t seed = 1;
  int tries = sequence::OrderOptions{}.most_tries;
  bool is_hostile = false, lists_each = false;
  std::vector<quality::Picture> pictures;
};

Options read_options(int argc, char** argv) {
  Options options;
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    const auto value = [&] { return i + 1 < argc ? argv[++i] : ""; };
    if (word == "--per-set")
      options.per_set = std::atoi(value());
    else if (word == "--seed")
      options.seed = std::strtoull(value(), nullptr, 10);
    else if (word == "--hostile")
      options.is_hostile = true;
    else if (word == "--each")
      options.lists_each = true;
    else if (word == "--tries")
      options.tries = std::atoi(value());
    else
      options.pictures.push_back({"given", word});
  }
  if (options.pictures.empty() && !options.is_hostile) {
    options.pictures = quality::sample_pictures(BUCKRAM_ROOT "/build/corpus/node_modules",
                                                options.per_set, options.seed);
  }
  return options;
}

double seconds_since(std::clock_t start) {
  return double(std::clock() - start) / CLOCKS_PER_SEC;
}

struct Sums {
  int n = 0, trims = 0, islands = 0, least_trims = 0, changes = 0, least_changes = 0;
  int n_guesses = 0, n_wrong = 0, n_tucks = 0, n_tucks_over = 0, n_unbounded = 0;
  std::vector<double> travel, ms, over;
  double inward_mm = 0, visible_mm = 0, least_visible_mm = 0;
};

double quantile(std::vector<double> all, double q) {
  if (all.empty()) return 0;
  std::sort(all.begin(), all.end());
  return all[static_cast<std::size_t>(q * double(all.size() - 1) + 0.5)];
}

sequence::Order add(const std::vector<digitise::Object>& objects,
                    const sequence::OrderOptions& options, Sums& sums) {
  const auto start = std::clock();
  const sequence::Order order = sequence::order_objects(objects, options);
  sums.ms.push_back(seconds_since(start) * 1e3);
  ++sums.n;
  sums.trims += order.trims, sums.islands += order.islands_bound;
  sums.least_trims += order.least_trims;
  sums.over.push_back(order.trims - order.islands_bound);
  sums.changes += order.thread_changes, sums.least_changes += order.least_thread_changes;
  sums.inward_mm += order.inward_mm;
  sums.visible_mm += order.visible_mm, sums.least_visible_mm += order.least_visible_mm;
  sums.n_tucks += order.n_tucks, sums.n_tucks_over += order.n_tucks_over;
  sums.n_unbounded += order.n_unbounded_visits;
  sums.n_guesses += order.n_guesses, sums.n_wrong += order.n_wrong_guesses;
  if (order.least_visible_mm > 1) {
    sums.travel.push_back(order.visible_mm / order.least_visible_mm);
  }
  return order;
}

void list(const std::string& path, std::size_t n_objects, const sequence::Order& o, double ms) {
  fmt::print(
      "{}: {} objects, {} changes; trims {} islands {} least {}; visible {:.1f} mm, least {:.1f}; "
      "wrong {} of {}; over {} of {}; {:.0f} ms\n",
      path, n_objects, o.thread_changes, o.trims, o.islands_bound, o.least_trims, o.visible_mm,
      o.least_visible_mm, o.n_wrong_guesses, o.n_guesses, o.n_tucks_over, o.n_tucks, ms);
}

void print(const char* name, const Sums& s) {
  fmt::print("{}: {} pictures\n", name, s.n);
  fmt::print("  trims {}, islands less one {} (ratio {:.3f}), no order has fewer than {}\n",
             s.trims, s.islands, double(s.trims) / std::max(s.islands, 1), s.least_trims);
  if (s.n_unbounded > 0)
    fmt::print("  {} visits too large for a bound: they count as needing nothing\n", s.n_unbounded);
  fmt::print("  trims above islands a picture: median {:.0f}, p95 {:.0f}, worst {:.0f}\n",
             quantile(s.over, 0.5), quantile(s.over, 0.95), quantile(s.over, 1));
  fmt::print("  thread changes {}, least {}\n", s.changes, s.least_changes);
  fmt::print("  visible travel / bound: median {:.3f}, p95 {:.2f}, of all {:.3f}\n",
             quantile(s.travel, 0.5), quantile(s.travel, 0.95),
             s.visible_mm / std::max(s.least_visible_mm, 1.0));
  fmt::print("  cost of sewing inwards {:.0f} mm\n", s.inward_mm);
  fmt::print("  tucked ends {}, of these sewn over what they butt against {}\n", s.n_tucks,
             s.n_tucks_over);
  fmt::print("  hidden links counted on {}, not found when laid and searched again {}\n",
             s.n_guesses, s.n_wrong);
  fmt::print("  order ms: median {:.0f}, p95 {:.0f}, worst {:.0f}\n", quantile(s.ms, 0.5),
             quantile(s.ms, 0.95), quantile(s.ms, 1));
}

void pictures(const Options& options) {
  const job::DataFolder data{BUCKRAM_ROOT "/data"};
  Sums with, without;
  for (const quality::Picture& picture : options.pictures) {
    try {
      job::Job job = job::read_job("", "sequence", "", {"bench.mount=loose-panels"});
      job.artwork_file = picture.path;
      job.height_mm = 45, job.width_mm = 90;
      const job::Resolved resolved = job::resolve(job, data);
      const job::Planned planned = job::plan_stitches(resolved, job::read_artwork(job));
      if (!planned.plan) continue;
      sequence::OrderOptions order;
      order.start = resolved.setup.mount.origin;
      order.most_tries = options.tries;
      const sequence::Order made = add(planned.objects, order, with);
      if (options.lists_each) list(picture.path, planned.objects.size(), made, with.ms.back());
      order.inward = [](int, int) { return 0.0; };
      add(planned.objects, order, without);
    } catch (const base::Error& error) {
      fmt::print("{}: {}\n", picture.path, base::message(error));
    }
  }
  print("middle out and bill up", with);
  print("without the cost of sewing inwards", without);
}

digitise::Object point_object(int id, geometry::Point p) {
  digitise::Object object;
  object.id = id;
  object.shape = digitise::Run{{p, p}, false, 2};
  object.outline = {{{{p.x, p.y}, {p.x + 0.01, p.y}, {p.x, p.y + 0.01}}, {}}};
  object.ways = {{p, p, 0}};
  return object;
}

constexpr int kPointTries = 10'000'000;  // under a second

// A path through n random points from anywhere to anywhere.
void points(int n, int tries, std::uint64_t seed) {
  base::Random random(seed);
  std::vector<digitise::Object> objects;
  std::vector<int> members;
  std::vector<geometry::Point> all;
  for (int i = 0; i < n; ++i) {
    const double x = random.uniform(0, 1000);  // far apart: nothing hides a link
    all.push_back({x, random.uniform(0, 1000)});
    objects.push_back(point_object(i + 1, all.back()));
    members.push_back(i);
  }
  sequence::OrderOptions options;
  options.trim_mm = 0;
  options.seam_clear_mm = 0;
  const sequence::Precedence precedence = sequence::precedence_of(n, {});
  const sequence::CoverGrid grid(objects, options.hide_inset_mm);
  const sequence::Links links(objects, grid, options, {});
  const sequence::VisitLinks visit(links, precedence, members, sequence::ObjectSet(n));
  const sequence::Inward none(n);
  const sequence::Judge judge{precedence, visit, none, std::nullopt};
  const auto start = std::clock();
  const sequence::Chain chain = sequence::best_chain(judge, members, {tries, seed});
  const double ms = seconds_since(start) * 1e3;
  double length = 0;
  for (std::size_t i = 1; i < chain.size(); ++i) {
    length += geometry::distance(links.exit(chain[i - 1]), links.entry(chain[i]));
  }
  std::vector<double> cost;
  for (const geometry::Point a : all)
    for (const geometry::Point b : all) cost.push_back(geometry::distance(a, b));
  const double bound = sequence::path_bound(cost, n, 1000);
  fmt::print("  {:5} points, {:8} tries: {:.2f} % above the bound ({:.1f} mm), {:.0f} ms\n", n,
             tries, 100 * (length / bound - 1), bound, ms);
}

}  // namespace

int main(int argc, char** argv) {
  const Options options = read_options(argc, argv);
  if (options.is_hostile) {
    buckram::bench::hostile();
    return 0;
  }
  if (!options.lists_each) fmt::print("random points\n");
  for (const int n : {50, 100, 200, 300, 500, 1000}) {
    if (!options.lists_each) points(n, kPointTries, options.seed);
  }
  pictures(options);
}
