#include "job/job.h"

#include "job/judging.h"
#include "job/offer_words.h"
#include "job/placement.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <tuple>

namespace buckram::job {
namespace {

constexpr std::uint64_t kMaxListBytes = 1'000'000;

struct Pair {
  Resolved job;
  Fit fit;
  CounterAnswer answer;
  double cost_s = 0;  // a cap's minutes and breaks as they would be sewn
};

// What of a pair decides its stitches.
using SizeKey = std::tuple<long long, long long, bool>;
SizeKey size_key(const Pair& pair) {
  const auto micrometres = [](double mm) { return std::llround(1000 * mm); };
  return {micrometres(1000 * pair.fit.scale), micrometres(pair.fit.middle.x),
          pair.job.recipe.has_seam};
}

// As asked, else the largest that fits with its lower edge where it was asked or where it usually
// is.
void fit_pair(const artwork::Drawing& drawing, const geometry::Polygons& shape, Pair& pair) {
  const double tall = std::max(drawing.painted.height(), 1e-12);
  pair.fit = place(pair.job.job, pair.job.setup, pair.job.recipe, drawing, shape);
  const Front front = front_of(pair.job.setup, margin_mm(pair.job.recipe));
  const double low =
      pair.job.job.at_mm ? pair.fit.middle.y - tall * pair.fit.scale / 2 : kDefaultLowEdgeMm;
  constexpr double kTallestFrontMm = 150;
  const auto tallest =
      largest_fit(front, drawing, shape, pair.fit.middle.x, low, kTallestFrontMm / tall);
  pair.answer.offer.tallest_mm = tallest ? tall * tallest->scale : 0;
  pair.answer.offer.fits = pair.fit.fits;
  if (!pair.fit.fits && tallest && tallest->scale < pair.fit.scale) pair.fit = *tallest;
  pair.answer.offer.height_mm = tall * pair.fit.scale;
  pair.answer.offer.at = pair.fit.middle;
}

// A plan of the size, for the pair that comes first; the others shift it.
struct Sized {
  Planned planned;
  geometry::Point middle;
};

Sized plan_sized(const Pair& pair, const artwork::Drawing& drawing, const base::Watch& watch) {
  Resolved job = pair.job;
  job.job.objects.clear();  // numbers and kinds of objects change with the size
  job.recipe.own.clear();
  place_at(drawing.painted, pair.fit, job.job);
  return {plan_stitches(job, drawing, quiet(watch)), pair.fit.middle};
}

std::string told(const Pair& pair, const advise::Verdict& verdict) {
  const std::string size =
      pair.answer.offer.fits ? "fits"
                             : fmt::format("only {:.0f} mm tall fits", pair.answer.offer.height_mm);
  return size + "; " + left_in_words(verdict);
}

// Seconds a cap with every needle break at what it costs in all, which counts its stop, too: of the
// bench that would be sewn on.
double cost_s(const advise::Verdict& verdict, const advise::ShopTimes& times) {
  const bool is_changed = verdict.answer == advise::Answer::rework && verdict.best;
  const double breaks = is_changed ? verdict.best->mean / 100 : verdict.forecast->breaks_per_cap;
  return advise::seconds_a_cap(verdict, times) +
         breaks * (times.break_cost_s - times.needle_break_s);
}

void judge_pair(const Sized& sized, const base::Watch& watch, Pair& pair) {
  CounterAnswer& answer = pair.answer;
  if (!sized.planned.plan || !sized.planned.breaches.empty()) {
    answer.offer.fits = false;
    answer.offer.why =
        sized.planned.refusal.empty() ? "cannot be sewn at this size" : sized.planned.refusal;
    return;
  }
  stitch::Plan plan = *sized.planned.plan;
  for (double& y : plan.y) y += pair.fit.middle.y - sized.middle.y;
  set_pace(pair.job, plan, quiet(watch));  // block speeds are each cap's own
  const advise::Verdict verdict = judge_in_brief(pair.job, plan, watch);
  answer.answer = verdict.answer;
  answer.is_within = verdict.answer != advise::Answer::refuse;
  answer.offer.breaks_per_100 = 100 * verdict.forecast->breaks_per_cap;
  answer.offer.time_s = advise::seconds_a_cap(verdict, pair.job.times);
  pair.cost_s = cost_s(verdict, pair.job.times);
  answer.offer.set = advise::chosen_ids(verdict);
  answer.offer.why = told(pair, verdict);
}

bool comes_first(const Pair& a, const Pair& b) {
  const auto rank = [](const Pair& p) {
    return std::tuple(!p.answer.offer.breaks_per_100.has_value(), !p.answer.is_within,
                      !p.answer.offer.fits, p.cost_s, p.answer.offer.cap, p.answer.offer.mount);
  };
  return rank(a) < rank(b);
}

std::vector<Pair> pairs_of(const Job& job, const DataFolder& data,
                           const std::vector<std::string>& caps,
                           const std::vector<std::string>& mounts) {
  std::vector<Pair> pairs;
  for (const std::string& cap : caps) {
    for (const std::string& mount : mounts) {
      Job asked = job;
      asked.cap = cap;
      asked.mount = mount;
      // Gaps are measured on one cap in one mount and tell nothing about the others.
      if (cap != job.cap || mount != job.mount) asked.gap.clear();
      Pair pair{resolve(asked, data), {}, {}};
      pair.answer.offer.cap = cap;
      pair.answer.offer.mount = mount;
      pair.answer.cap_title = pair.job.setup.cap.title;
      pair.answer.mount_title = pair.job.setup.mount.title;
      pairs.push_back(std::move(pair));
    }
  }
  return pairs;
}

}  // namespace

std::vector<CounterAnswer> counter_answers(const Job& job, const DataFolder& data,
                                           const artwork::Drawing& drawing,
                                           const std::vector<std::string>& caps,
                                           const std::vector<std::string>& mounts,
                                           const base::Watch& watch) {
  std::vector<Pair> pairs = pairs_of(job, data, caps, mounts);
  const geometry::Polygons shape = silhouette(drawing);
  watch.at("placing the artwork", 0.1);
  base::parallel_for(pairs.size(), [&](std::size_t i) { fit_pair(drawing, shape, pairs[i]); });

  std::map<SizeKey, std::size_t> first;  // pair of each size that is planned
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    if (*pairs[i].answer.offer.tallest_mm > 0) first.try_emplace(size_key(pairs[i]), i);
  }
  watch.at("planning each size", 0.3);
  std::vector<std::pair<SizeKey, std::size_t>> sizes(first.begin(), first.end());
  std::vector<Sized> planned(sizes.size());
  base::parallel_for(sizes.size(), [&](std::size_t k) {
    planned[k] = plan_sized(pairs[sizes[k].second], drawing, watch);
  });
  watch.at("forecasting each cap", 0.6);
  base::parallel_for(pairs.size(), [&](std::size_t i) {
    Pair& pair = pairs[i];
    if (*pair.answer.offer.tallest_mm <= 0) {
      pair.answer.offer.why = "does not fit at any size";
      pair.answer.offer.height_mm = 0;
      return;
    }
    const auto at = first.find(size_key(pair));
    judge_pair(planned[static_cast<std::size_t>(std::distance(first.begin(), at))], watch, pair);
  });
  std::stable_sort(pairs.begin(), pairs.end(), comes_first);
  std::vector<CounterAnswer> answers;
  for (Pair& pair : pairs) answers.push_back(std::move(pair.answer));
  return answers;
}

std::vector<std::string> counter_mounts(const Job& job, const DataFolder& data) {
  const Resolved resolved = resolve(job, data);
  if (resolved.owned.mounts) return *resolved.owned.mounts;
  std::vector<std::string> mounts;
  for (const std::string& name : shipped_names(data, "mounts")) {
    const Source source = find_source(data, "mounts", "mount", name);
    const cap::Mount mount = cap::read_mount(source.text, source.where);
    if (mount.needs != cap::Needs::cut_panels) mounts.push_back(name);
  }
  return mounts;
}

std::vector<std::string> caps_from(const std::string& list, const DataFolder& data) {
  if (list.empty()) return shipped_names(data, "caps");
  const bool is_file = list.front() == '@';
  const std::string text = is_file ? base::read_file(list.substr(1), kMaxListBytes) : list;
  const std::string folder =
      is_file ? std::filesystem::path(list.substr(1)).parent_path().string() : "";
  std::vector<std::string> caps;
  std::string name;
  const auto take = [&] {
    const std::size_t from = name.find_first_not_of(" \t\r");
    if (from != std::string::npos) {
      name = name.substr(from, name.find_last_not_of(" \t\r") - from + 1);
      caps.push_back(name_or_file(name, folder));
    }
    name.clear();
  };
  for (const char c : text) {
    if (c == (is_file ? '\n' : ',')) {
      take();
    } else {
      name += c;
    }
  }
  take();
  if (caps.empty()) {
    throw base::Error{base::ErrorCode::bad_job, "names no cap", "--caps-from",
                      "Give names with commas between, or @FILE with one a line"};
  }
  return caps;
}

}  // namespace buckram::job
