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

advise::Offer offer(const std::string& cap, const std::string& mount, const Asked& asked,
                    const Fit& fit, std::string why) {
  advise::Offer made;
  made.cap = cap;
  made.mount = mount;
  made.height_mm = asked.drawing.painted.height() * fit.scale;
  made.at = fit.middle;
  made.fits = true;
  made.why = std::move(why);
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

void offer_here(const Resolved& job, const Asked& asked, std::vector<advise::Offer>& all) {
  const Front front = front_of(job.setup, asked.margin);
  if (const auto fit = smaller(front, asked)) {
    all.push_back(
        offer(job.job.cap, job.job.mount, asked, *fit,
              fmt::format("fits at {:.1f} mm tall", asked.drawing.painted.height() * fit->scale)));
  }
  if (const auto fit = moved(front, asked)) {
    const double up = fit->middle.y - asked.fit.middle.y;
    all.push_back(offer(
        job.job.cap, job.job.mount, asked, *fit,
        fmt::format("fits as it is, moved {} {:.0f} mm", up > 0 ? "up" : "down", std::abs(up))));
  }
}

void offer_other(const Resolved& job, const Asked& asked, std::string Job::* what,
                 const std::vector<std::string>& names, std::vector<advise::Offer>& all) {
  for (const std::string& name : names) {
    if (name == job.job.*what || all.size() >= kMostOffers) continue;
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
      all.push_back(offer(other.cap, other.mount, asked, *fit, "fits as it is: " + title));
    }
  }
}

}  // namespace

std::vector<advise::Offer> offers(const Resolved& job, const artwork::Drawing& drawing) {
  Asked asked{drawing, silhouette(drawing), {}, margin_mm(job.recipe)};
  asked.fit = place(job.job, job.setup, job.recipe, drawing, asked.shape);
  std::vector<advise::Offer> all;
  if (asked.fit.fits) return all;  // it was not the place that stood in the way
  offer_here(job, asked, all);
  offer_other(job, asked, &Job::mount, shipped_names(job.data, "mounts"), all);
  offer_other(job, asked, &Job::cap, shipped_names(job.data, "caps"), all);
  return all;
}

}  // namespace buckram::job
