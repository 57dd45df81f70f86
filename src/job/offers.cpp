#include "job/offers.h"

#include "job/judging.h"
#include "job/offer_words.h"
#include "job/placement.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace buckram::job {
namespace {

constexpr std::size_t kMostOffers = 6;

struct Asked {
  const artwork::Drawing& drawing;
  geometry::Polygons shape;
  Fit fit;
  double margin;
};

// How far an offer lies from what was asked, in shares of the height asked for: size given up
// counts in full, millimetres moved at a half; another mount is work at the bench, another cap is
// the customer's to accept (estimates).
constexpr double kMovedShare = 0.5, kOtherMount = 0.25, kOtherCap = 0.5;

// Common practice on caps: the lowest stitch above the bill seam, the tallest on a rotary mount
// (data/practice.toml, T9 and T10). An offer beyond them is allowed, and says so.
constexpr double kUsualLowEdgeMm = 12.7, kUsualTallestMm = 50.8;

// When this many offers keep within the limit of breaks, those that do not are left out.
constexpr std::ptrdiff_t kEnoughWithin = 3;

struct Candidate {
  Job job;
  advise::Offer offer;
  double distance = 0;
  bool is_smaller_here = false;  // a smaller size on the cap and mount asked for
  bool is_within = false;        // of the limit of breaks, with the bench changes in `set`
  bool is_usual = false;         // within common practice
};

// "fits at 50.0 mm tall, its lower edge 16 mm above the bill seam": in width where that was asked.
std::string size_and_place(const Job& job, const Asked& asked, const Fit& fit) {
  const geometry::Box& painted = asked.drawing.painted;
  const bool is_wide = job.width_mm && !job.height_mm;
  const double low_mm = fit.middle.y - painted.height() * fit.scale / 2;
  return fmt::format("fits at {:.1f} mm {}, its lower edge {:.0f} mm above the bill seam",
                     (is_wide ? painted.width() : painted.height()) * fit.scale,
                     is_wide ? "wide" : "tall", low_mm);
}

// What is beyond common practice about it, or nothing.
std::string beyond_practice(const cap::Mount& mount, const Asked& asked, const Fit& fit) {
  const double tall_mm = asked.drawing.painted.height() * fit.scale;
  std::string words;
  if (fit.middle.y - tall_mm / 2 < kUsualLowEdgeMm - 0.05) {
    words += fmt::format(", nearer the bill seam than the usual {:g} mm", kUsualLowEdgeMm);
  }
  if (mount.kind == cap::MountKind::rotary && tall_mm > kUsualTallestMm + 0.05) {
    words += fmt::format(", taller than the usual {:g} mm on a rotary mount", kUsualTallestMm);
  }
  return words;
}

Candidate candidate(const Job& job, const Asked& asked, const Fit& fit, double distance,
                    const cap::Mount& mount, std::string_view where = "") {
  Candidate made{job, {}, distance};
  made.job.objects.clear();  // their numbers and kinds are of the size and place as asked
  const double tall = asked.drawing.painted.height();
  made.offer.cap = job.cap;
  made.offer.mount = job.mount;
  made.offer.height_mm = tall * fit.scale;
  made.offer.at = fit.middle;
  made.offer.fits = true;
  const std::string beyond = beyond_practice(mount, asked, fit);
  made.is_usual = beyond.empty();
  made.offer.why = size_and_place(job, asked, fit) + std::string(where) + beyond;
  const double size = std::max(tall, asked.drawing.painted.width()) * asked.fit.scale;
  made.distance += 1 - fit.scale / asked.fit.scale;
  made.distance += kMovedShare * geometry::distance(fit.middle, asked.fit.middle) / size;
  place_at(asked.drawing.painted, fit, made.job);
  return made;
}

double low_edge(const Asked& asked) {
  return asked.fit.middle.y - asked.drawing.painted.height() * asked.fit.scale / 2;
}

// The asked size, moved up or down the front by steps of 1 mm, nearest first.
std::optional<Fit> moved(const Front& front, const Asked& asked) {
  for (int step = 1; step <= 30; ++step) {
    for (const double up : {1.0, -1.0}) {
      const geometry::Point middle{asked.fit.middle.x, asked.fit.middle.y + up * step};
      const Fit fit = try_fit(front, asked.drawing, asked.shape, asked.fit.scale, middle);
      if (fit.fits) return fit;
    }
  }
  return std::nullopt;
}

std::optional<Fit> smaller(const Front& front, const Asked& asked, double most) {
  for (const double low : {std::max(low_edge(asked), 0.0), kDefaultLowEdgeMm}) {
    const auto fit = largest_fit(front, asked.drawing, asked.shape, asked.fit.middle.x, low, most);
    if (fit) return fit;
  }
  return std::nullopt;
}

// On another cap or mount: as asked if it goes, else at the default height above the bill.
std::optional<Fit> elsewhere(const Front& front, const Asked& asked) {
  const Fit same = try_fit(front, asked.drawing, asked.shape, asked.fit.scale, asked.fit.middle);
  if (same.fits) return same;
  geometry::Point middle{0,
                         kDefaultLowEdgeMm + asked.drawing.painted.height() * asked.fit.scale / 2};
  const Fit usual = try_fit(front, asked.drawing, asked.shape, asked.fit.scale, middle);
  if (usual.fits) return usual;
  return std::nullopt;
}

void offer_here(const Resolved& job, const Asked& asked, std::vector<Candidate>& all) {
  const Front front = front_of(job.setup, asked.margin);
  if (const auto fit = smaller(front, asked, asked.fit.scale)) {
    all.push_back(candidate(job.job, asked, *fit, 0, job.setup.mount));
    all.back().is_smaller_here = fit->scale < asked.fit.scale;
  }
  // As large as common practice has it, where the largest that goes is beyond that.
  if (!all.empty() && !all.back().is_usual) {
    const double tall = std::max(asked.drawing.painted.height(), 1e-9);
    const bool is_rotary = job.setup.mount.kind == cap::MountKind::rotary;
    const double most =
        is_rotary ? std::min(asked.fit.scale, kUsualTallestMm / tall) : asked.fit.scale;
    const double low = std::max(low_edge(asked), kDefaultLowEdgeMm);
    const auto usual =
        largest_fit(front, asked.drawing, asked.shape, asked.fit.middle.x, low, most);
    if (usual) {
      all.push_back(candidate(job.job, asked, *usual, 0, job.setup.mount));
      all.back().is_smaller_here = usual->scale < asked.fit.scale;
    }
  }
  if (const auto fit = moved(front, asked)) {
    all.push_back(candidate(job.job, asked, *fit, 0, job.setup.mount));
  }
}

void offer_other(const Resolved& job, const Asked& asked, std::string Job::* what,
                 const std::vector<std::string>& names, std::vector<Candidate>& all) {
  for (const std::string& name : names) {
    if (name == job.job.*what) continue;
    Job other = without_own(job.job, what == &Job::mount ? Own::mount : Own::cap);
    other.*what = name;
    const Resolved resolved = resolve(other, job.data);
    // The cap is sewn together already, unless the mount asked for says otherwise.
    if (resolved.setup.mount.needs == cap::Needs::cut_panels &&
        job.setup.mount.needs != cap::Needs::cut_panels) {
      continue;
    }
    if (const auto fit = elsewhere(front_of(resolved.setup, asked.margin), asked)) {
      const std::string where = what == &Job::cap ? " on " + resolved.setup.cap.title
                                                  : " in the " + resolved.setup.mount.title;
      const double distance = what == &Job::cap ? kOtherCap : kOtherMount;
      all.push_back(candidate(other, asked, *fit, distance, resolved.setup.mount, where));
    }
  }
}

// Says what is left, with the bench changes that it takes, and where that is over the limit.
void tell_breaks(const advise::Verdict& verdict, const Resolved& job, Candidate& each) {
  each.offer.breaks_per_100 = 100 * verdict.forecast->breaks_per_cap;
  each.offer.time_s = advise::seconds_a_cap(verdict, job.times);
  each.is_within = verdict.answer != advise::Answer::refuse;
  each.offer.set = advise::chosen_ids(verdict);
  each.offer.why += "; " + left_in_words(verdict);
}

// What the offer would cost: planned and forecast as any job, with the bench changes that get it
// under the shop's limit where it needs some. Left unknown where it cannot be planned after all.
void forecast(Candidate& each, const Resolved& job, const artwork::Drawing& drawing,
              const base::Watch& watch) {
  try {
    const Resolved resolved = resolve(each.job, job.data);
    const Planned planned = plan_stitches(resolved, drawing, quiet(watch));
    if (!planned.plan || !planned.breaches.empty()) return;
    tell_breaks(judge_in_brief(resolved, *planned.plan, watch), resolved, each);
  } catch (const base::Error& error) {
    if (error.code == base::ErrorCode::cancelled) throw;
  }
}

// The largest size here, in steps of 15 %, that keeps within the limit, with changes or without.
std::optional<Candidate> within_here(const Resolved& job, const Asked& asked, double scale,
                                     const base::Watch& watch) {
  constexpr double kStep = 0.85;
  constexpr int kMostSteps = 7;  // down to a third
  const Front front = front_of(job.setup, asked.margin);
  for (int step = 0; step < kMostSteps; ++step) {
    scale *= kStep;
    const auto fit = smaller(front, asked, scale);
    if (!fit) continue;
    Candidate each = candidate(job.job, asked, *fit, 0, job.setup.mount);
    each.is_smaller_here = true;
    forecast(each, job, asked.drawing, watch);
    if (each.is_within) return each;
  }
  return std::nullopt;
}

// The job at the size and place asked for, whatever the other cap's defaults are.
Job pinned_size(const Resolved& job, const Asked& asked) {
  Job pinned = job.job;
  place_at(asked.drawing.painted, asked.fit, pinned);
  return pinned;
}

// The same size moved up the front, away from the bill: the nearest that keeps within the limit.
// The stitches are those planned, laid higher.
std::optional<Candidate> higher_here(const Resolved& job, const Asked& asked,
                                     const stitch::Plan& planned, const base::Watch& watch) {
  constexpr double kStepMm = 4;
  constexpr int kMostSteps = 4;
  const Front front = front_of(job.setup, asked.margin);
  for (int step = 1; step <= kMostSteps; ++step) {
    const double up = kStepMm * step;
    const Fit fit = try_fit(front, asked.drawing, asked.shape, asked.fit.scale,
                            asked.fit.middle + geometry::Point{0, up});
    if (!fit.fits) return std::nullopt;
    stitch::Plan plan = planned;
    for (double& y : plan.y) y += up;
    set_pace(job, plan, quiet(watch));
    Candidate each = candidate(job.job, asked, fit, 0, job.setup.mount);
    tell_breaks(judge_in_brief(job, plan, watch), job, each);
    if (each.is_within) return each;
  }
  return std::nullopt;
}

// The counter's answers for the other mounts on this cap, or the other caps on this mount, that
// take it as asked and keep within the limit.
void runs_elsewhere(const Resolved& job, const Asked& asked, bool is_cap, const base::Watch& watch,
                    std::vector<Candidate>& all) {
  const Job other = without_own(pinned_size(job, asked), is_cap ? Own::cap : Own::mount);
  std::vector<std::string> caps{job.job.cap}, mounts{job.job.mount};
  if (is_cap) {
    caps = shipped_names(job.data, "caps");
    std::erase(caps, job.job.cap);
  } else {
    mounts = counter_mounts(job.job, job.data);
    std::erase(mounts, job.job.mount);
  }
  for (const CounterAnswer& answer :
       counter_answers(other, job.data, asked.drawing, caps, mounts, quiet(watch))) {
    if (!answer.is_within || !answer.offer.fits) continue;
    Candidate each{other, answer.offer, is_cap ? kOtherCap : kOtherMount};
    each.offer.why = is_cap ? "runs on " + answer.cap_title : "runs in the " + answer.mount_title;
    each.offer.why += " as asked" + answer.offer.why.substr(std::string("fits").size());
    each.is_within = each.is_usual = true;
    all.push_back(std::move(each));
  }
}

// What keeps within the limit leads; among those, what keeps to common practice; then the nearest.
bool comes_first(const Candidate& a, const Candidate& b) {
  if (a.is_within != b.is_within) return a.is_within;
  if (a.is_usual != b.is_usual) return a.is_usual;
  return a.distance < b.distance;
}

// At most kMostOffers, within the limit first; a smaller size here stays whatever it costs.
void choose(std::vector<Candidate>& all) {
  std::stable_sort(all.begin(), all.end(), comes_first);
  const auto n_within =
      std::count_if(all.begin(), all.end(), [](const Candidate& each) { return each.is_within; });
  const auto kept = std::find_if(all.begin(), all.end(),
                                 [](const Candidate& each) { return each.is_smaller_here; });
  std::optional<Candidate> here;
  if (kept != all.end()) here = *kept;
  const std::ptrdiff_t n_here = kept - all.begin();
  const std::ptrdiff_t most = static_cast<std::ptrdiff_t>(kMostOffers);
  std::ptrdiff_t n = n_within >= kEnoughWithin ? n_within : static_cast<std::ptrdiff_t>(all.size());
  n = std::min(n, most);
  all.resize(static_cast<std::size_t>(n));
  if (!here || n_here < n) return;
  if (n == most) all.pop_back();
  all.push_back(std::move(*here));
  std::stable_sort(all.begin(), all.end(), comes_first);
}

}  // namespace

std::vector<advise::Offer> offers(const Resolved& job, const artwork::Drawing& drawing,
                                  const base::Watch& watch) {
  Asked asked{drawing, silhouette(drawing), {}, margin_mm(job.recipe)};
  asked.fit = place(job.job, job.setup, job.recipe, drawing, asked.shape);
  if (asked.fit.fits) return {};  // it was not the place that stood in the way
  std::vector<Candidate> all;
  offer_here(job, asked, all);
  offer_other(job, asked, &Job::mount, job.owned.mounts.value_or(shipped_names(job.data, "mounts")),
              all);
  offer_other(job, asked, &Job::cap, shipped_names(job.data, "caps"), all);
  std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) {
    if (a.is_smaller_here != b.is_smaller_here) return a.is_smaller_here;
    return a.distance < b.distance;
  });
  if (all.size() > kMostOffers) all.resize(kMostOffers);
  double done = 0;
  for (Candidate& each : all) {
    watch.at("looking for what fits", 0.3 + 0.5 * done++ / static_cast<double>(kMostOffers));
    forecast(each, job, drawing, watch);
  }
  const auto here = std::find_if(all.begin(), all.end(),
                                 [](const Candidate& each) { return each.is_smaller_here; });
  if (here != all.end() && !here->is_within) {
    watch.at("looking for a size that runs", 0.8);
    const double scale = here->offer.height_mm / std::max(drawing.painted.height(), 1e-12);
    if (auto runs = within_here(job, asked, scale, watch)) all.push_back(std::move(*runs));
  }
  choose(all);
  std::vector<advise::Offer> told;
  for (Candidate& each : all) told.push_back(std::move(each.offer));
  return told;
}

std::vector<advise::Offer> offers_within_limit(const Resolved& job, const artwork::Drawing& drawing,
                                               const Planned& planned, const base::Watch& watch) {
  Asked asked{drawing, silhouette(drawing), {}, margin_mm(job.recipe)};
  asked.fit = place(job.job, job.setup, job.recipe, drawing, asked.shape);
  std::vector<Candidate> all;
  watch.at("looking for what runs", 0.9);
  if (auto higher = higher_here(job, asked, *planned.plan, watch))
    all.push_back(std::move(*higher));
  if (auto runs = within_here(job, asked, asked.fit.scale, watch)) all.push_back(std::move(*runs));
  for (const bool is_cap : {false, true}) {
    watch.at("looking for what runs", is_cap ? 0.94 : 0.92);
    runs_elsewhere(job, asked, is_cap, watch, all);
  }
  choose(all);
  std::vector<advise::Offer> told;
  for (Candidate& each : all) told.push_back(std::move(each.offer));
  return told;
}

}  // namespace buckram::job
