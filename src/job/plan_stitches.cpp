#include "job/job.h"

#include "job/groundwork.h"
#include "job/keys.h"
#include "job/placement.h"
#include "job/told.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <utility>

namespace buckram::job {
namespace {

using base::Error;
using base::ErrorCode;

constexpr std::uint64_t kMaxArtworkBytes = 20'000'000;

// The job as it was carried out, so that plan.json makes the same plan again whatever later becomes
// of defaults and mount files.
Job as_carried_out(const Resolved& resolved, const Fit& fit, const geometry::Box& painted) {
  Job job = as_resolved(resolved);
  place_at(painted, fit, job);
  return job;
}

std::string refusal(const Fit& fit, const Resolved& job, const geometry::Box& painted) {
  return fmt::format("At {:.0f} mm tall the artwork would reach {} on {} in the {}.",
                     painted.height() * fit.scale,
                     fit.obstacle.empty() ? "the edge of the field" : fit.obstacle,
                     job.setup.cap.title, job.setup.mount.title);
}

sequence::OrderOptions order_options(const Resolved& job) {
  sequence::OrderOptions options;
  options.mode = job.job.order;
  options.travel_stitch_mm = job.recipe.run_mm;
  options.start = job.setup.mount.origin;
  options.seam_clear_mm = job.recipe.has_seam ? job.recipe.seam_clear_mm : 0;
  return options;
}

// A seamed front is tacked to its backing first, with the first thread that sews.
void tack_the_seam(const Resolved& job, Planned& planned) {
  sequence::Step& first = planned.order.steps.front();
  const digitise::Object& object = planned.objects[static_cast<std::size_t>(first.object)];
  auto tacking = digitise::tacking_run(
      planned.objects, object.ways[static_cast<std::size_t>(first.way)].entry, job.recipe);
  if (!tacking) return;
  first.link = tacking->travel ? sequence::Link::hidden : sequence::Link::trim;
  if (tacking->travel) first.travel = std::move(*tacking->travel);
  for (const digitise::Object& other : planned.objects) {
    tacking->object.id = std::max(tacking->object.id, other.id + 1);
  }
  tacking->object.thread = object.thread;
  tacking->object.order = -1;
  const int index = static_cast<int>(planned.objects.size());
  planned.order.steps.insert(planned.order.steps.begin(),
                             {index, tacking->way, sequence::Link::first, {}});
  planned.objects.push_back(std::move(tacking->object));
  sequence::measure(planned.objects, planned.order);
}

void add(const std::vector<artwork::Note>& more, std::vector<artwork::Note>& notes) {
  notes.insert(notes.end(), more.begin(), more.end());
}

std::vector<stitch::Breach> broken_limits(const Resolved& job, const Planned& planned) {
  std::vector<stitch::ObjectOutline> outlines;
  for (const digitise::Object& object : planned.objects) {
    outlines.push_back({object.id, object.outline});
  }
  return stitch::breaches(*planned.plan, job.limits, outlines);
}

}  // namespace

artwork::Drawing read_artwork(const Job& job) {
  if (!job.lettering.text.empty()) return artwork::read_lettering(job.lettering);
  const std::string kind = std::filesystem::path(job.artwork_file).extension().string();
  if (job.artwork_file.empty()) {
    throw Error{ErrorCode::bad_job, "names no artwork", "artwork.file",
                "Give an SVG file, or a text and a font"};
  }
  if (kind == ".png" || kind == ".jpg" || kind == ".jpeg") {
    throw Error{ErrorCode::bad_artwork, "is a picture; this version reads vector artwork",
                job.artwork_file, "Ask for the logo as SVG, or trace it to outlines first"};
  }
  const std::string name = std::filesystem::path(job.artwork_file).filename().string();
  return artwork::read_svg(base::read_file(job.artwork_file, kMaxArtworkBytes), name);
}

Job as_resolved(const Resolved& resolved) {
  Job job = resolved.job;
  const cap::Bench& bench = resolved.setup.bench;
  job.has_seam = resolved.setup.cap.has_seam;
  job.raise_mm = bench.raise_mm;
  job.packing_mm = bench.packing_mm;
  job.has_clips = bench.has_clips;
  job.is_pressed = bench.is_pressed;
  job.tautness = bench.tautness;
  job.foot_mm = bench.foot_mm;
  job.speed_spm = bench.speed_spm;
  job.turn_deg = bench.turn_deg;
  job.turned_by = bench.turned_by;
  job.heads = bench.heads;
  job.needles = bench.needles;
  const cap::Bench& then = resolved.setup.read_with ? *resolved.setup.read_with : bench;
  job.gap_bench.reset();
  if (!job.gap.empty()) {
    job.gap_bench =
        GapBench{then.raise_mm, then.packing_mm, then.tautness, then.has_clips, then.is_pressed};
  }
  std::vector<std::string> backing;
  for (const cap::Layer& layer : bench.backing) backing.push_back(layer.name);
  job.backing = backing;
  job.row_spacing_mm = resolved.recipe.row_mm;
  job.column_spacing_mm = resolved.recipe.column_mm;
  job.compensation_mm = resolved.recipe.compensation_mm;
  job.fill_stitch_mm = resolved.recipe.fill_stitch_mm;
  return job;
}

std::string settings_json(const Resolved& resolved) {
  return to_json(as_resolved(resolved));
}

Groundwork groundwork(const Resolved& job, const artwork::Drawing& drawing,
                      const base::Watch& watch) {
  Groundwork ground;
  ground.notes = drawing.notes;
  ground.painted = drawing.painted;

  watch.at("placing the artwork", 0.05);
  const geometry::Polygons shape = silhouette(drawing);
  ground.fit = place(job.job, job.setup, job.recipe, drawing, shape);
  ground.placement = artwork::placement_matrix(drawing, {ground.fit.middle, ground.fit.scale});
  if (!ground.fit.fits) {
    ground.refusal = refusal(ground.fit, job, drawing.painted);
    return ground;
  }

  watch.at("finding what shows", 0.1);
  artwork::RegionOptions regions;
  regions.max_threads = job.setup.bench.needles;
  artwork::Spaced spaced;  // copied only where there is a seam to keep clear of
  if (job.recipe.has_seam) {
    spaced = artwork::space_at_seam(drawing, ground.placement, {job.recipe.seam_clear_mm});
  }
  add(spaced.notes, ground.notes);
  ground.regions = artwork::visible_regions(job.recipe.has_seam ? spaced.drawing : drawing,
                                            ground.placement, job.threads, regions);
  add(ground.regions.notes, ground.notes);

  watch.at("choosing columns, fills and runs", 0.2);
  ground.digitised = digitise::make_objects(ground.regions, job.recipe, watch);
  add(ground.digitised.notes, ground.notes);
  if (ground.digitised.objects.empty()) {
    ground.refusal = "Nothing in the artwork can be sewn at this size.";
    return ground;
  }

  watch.at("ordering", 0.5);
  ground.order = sequence::order_objects(ground.digitised.objects, order_options(job), watch);
  return ground;
}

Planned plan_on(const Groundwork& ground, const Resolved& job, const base::Watch& watch) {
  Planned planned;
  planned.placement = ground.placement;
  planned.refusal = ground.refusal;
  planned.notes = ground.notes;
  planned.regions = ground.regions;
  if (!ground.refusal.empty()) return planned;

  planned.objects = ground.digitised.objects;
  digitise::OwnObjects own = digitise::own_objects(ground.digitised, ground.regions, job.recipe);
  for (std::size_t i = 0; i < own.indices.size(); ++i) {
    planned.objects[static_cast<std::size_t>(own.indices[i])] = std::move(own.objects[i]);
  }
  add(own.notes, planned.notes);
  planned.order =
      sequence::with_own(planned.objects, ground.order, own.indices, order_options(job), watch);

  tack_the_seam(job, planned);

  watch.at("laying stitches", 0.6);
  planned.plan = sequence::lay(planned.objects, planned.order, planned.regions.threads, job.recipe);
  stitch::ease_crowds(*planned.plan, job.limits);
  set_pace(job, *planned.plan, watch);
  planned.plan->placement = planned.placement;
  planned.plan->job = to_json(as_carried_out(job, ground.fit, ground.painted));
  planned.breaches = broken_limits(job, planned);
  refuse_outside_reach(job, *planned.plan, "the plan");
  return planned;
}

Planned plan_stitches(const Resolved& job, const artwork::Drawing& drawing,
                      const base::Watch& watch) {
  return plan_on(groundwork(job, drawing, watch), job, watch);
}

}  // namespace buckram::job
