#include "job/offers.h"

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

struct Candidate {
  Job job;
  advise::Offer offer;
  double distance = 0;
};

Candidate candidate(const Job& job, const Asked& asked, const Fit& fit, double distance,
                    std::string why) {
  Candidate made{job, {}, distance};
  const double tall = asked.drawing.painted.height();
  made.offer.cap = job.cap;
  made.offer.mount = job.mount;
  made.offer.height_mm = tall * fit.scale;
  made.offer.at = fit.middle;
  made.offer.fits = true;
  made.offer.why = std::move(why);
  const double size = std::max(tall, asked.drawing.painted.width()) * asked.fit.scale;
  made.distance += 1 - fit.scale / asked.fit.scale;
  made.distance += kMovedShare * geometry::distance(fit.middle, asked.fit.middle) / size;
  made.job.at_mm = fit.middle;
  made.job.height_mm.reset();
  made.job.width_mm.reset();
  const double height_mm = tall * fit.scale;
  if (height_mm >= 1) {
    made.job.height_mm = height_mm;
  } else {
    made.job.width_mm = asked.drawing.painted.width() * fit.scale;
  }
  return made;
}

// The same watch without its reports: these plans are steps of another.
base::Watch quiet(const base::Watch& watch) {
  return {{}, watch.stop};
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

std::optional<Fit> smaller(const Front& front, const Asked& asked) {
  for (const double low : {std::max(low_edge(asked), 0.0), kDefaultLowEdgeMm}) {
    const auto fit =
        largest_fit(front, asked.drawing, asked.shape, asked.fit.middle.x, low, asked.fit.scale);
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
  if (const auto fit = smaller(front, asked)) {
    all.push_back(candidate(
        job.job, asked, *fit, 0,
        fmt::format("fits at {:.1f} mm tall", asked.drawing.painted.height() * fit->scale)));
  }
  if (const auto fit = moved(front, asked)) {
    const double up = fit->middle.y - asked.fit.middle.y;
    all.push_back(candidate(
        job.job, asked, *fit, 0,
        fmt::format("fits as it is, moved {} {:.0f} mm", up > 0 ? "up" : "down", std::abs(up))));
  }
}

void offer_other(const Resolved& job, const Asked& asked, std::string Job::* what,
                 const std::vector<std::string>& names, std::vector<Candidate>& all) {
  for (const std::string& name : names) {
    if (name == job.job.*what) continue;
    Job other = job.job;
    other.*what = name;
    if (what == &Job::mount) {  // plate and packing are the other mount's own
      other.raise_mm.reset();
      other.packing_mm.reset();
    }
    const Resolved resolved = resolve(other, job.data);
    if (const auto fit = elsewhere(front_of(resolved.setup, asked.margin), asked)) {
      const std::string& title =
          what == &Job::cap ? resolved.setup.cap.title : resolved.setup.mount.title;
      const double distance = what == &Job::cap ? kOtherCap : kOtherMount;
      all.push_back(candidate(other, asked, *fit, distance, "fits as it is: " + title));
    }
  }
}

// What the offer would cost: planned and forecast as any job, with the bench changes that get it
// under the shop's limit where it needs some. Left unknown where it cannot be planned after all.
void forecast(Candidate& each, const Resolved& job, const artwork::Drawing& drawing,
              const base::Watch& watch) {
  try {
    const Resolved resolved = resolve(each.job, job.data);
    const Planned planned = plan_stitches(resolved, drawing, quiet(watch));
    if (!planned.plan || !planned.breaches.empty()) return;
    const advise::Verdict verdict = check_plan(resolved, *planned.plan, quiet(watch));
    each.offer.breaks_per_100 = 100 * verdict.forecast->breaks_per_cap;
    each.offer.time_s = verdict.per_cap->time_s;
    if (verdict.answer != advise::Answer::run) {
      for (const advise::Change& change : verdict.changes) {
        if (change.chosen) each.offer.set.push_back(change.id);
      }
    }
  } catch (const base::Error& error) {
    if (error.code == base::ErrorCode::cancelled) throw;
  }
}

}  // namespace

std::vector<advise::Offer> offers(const Resolved& job, const artwork::Drawing& drawing,
                                  const base::Watch& watch) {
  Asked asked{drawing, silhouette(drawing), {}, margin_mm(job.recipe)};
  asked.fit = place(job.job, job.setup, job.recipe, drawing, asked.shape);
  if (asked.fit.fits) return {};  // it was not the place that stood in the way
  std::vector<Candidate> all;
  offer_here(job, asked, all);
  offer_other(job, asked, &Job::mount, shipped_names(job.data, "mounts"), all);
  offer_other(job, asked, &Job::cap, shipped_names(job.data, "caps"), all);
  std::stable_sort(all.begin(), all.end(),
                   [](const Candidate& a, const Candidate& b) { return a.distance < b.distance; });
  if (all.size() > kMostOffers) all.resize(kMostOffers);
  std::vector<advise::Offer> told;
  for (Candidate& each : all) {
    watch.at("looking for what fits", 0.3 + 0.6 * static_cast<double>(told.size()) / kMostOffers);
    forecast(each, job, drawing, watch);
    told.push_back(std::move(each.offer));
  }
  return told;
}

}  // namespace buckram::job
