// Door of job/: the job file, and the one path from artwork to files.
#pragma once

#include "advise/advise.h"
#include "artwork/artwork.h"
#include "base/base.h"
#include "cap/cap.h"
#include "digitise/digitise.h"
#include "needle/hazard.h"
#include "sequence/sequence.h"
#include "stitch/stitch.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace buckram::job {

// A job as asked: every key of the job file, before caps and mounts are looked up.
struct Job {
  std::string artwork_file;
  std::optional<double> height_mm, width_mm;
  std::optional<geometry::Point> at_mm;
  std::string threads_file;                 // empty: the shipped list
  std::string title, customer;              // for the sheet
  std::string cap = "six-panel-structured-mid";   // name or file
  double crown_stiffness = 1;
  std::optional<bool> seam;
  std::string mount = "rotary";
  std::optional<double> raise_mm, packing_mm, tautness, foot_mm, speed_spm, turn_deg;
  std::optional<bool> clips, pressed;
  std::string needle = "80:sharp";
  std::optional<std::vector<std::string>> backing;
  std::optional<int> heads, needles;
  std::optional<std::string> turned_by;
  std::vector<cap::GapReading> gap;
  digitise::Style style = digitise::Style::cap;
  sequence::Mode order = sequence::Mode::planned;
  std::optional<double> row_spacing_mm, column_spacing_mm, compensation_mm;
  int caps = 1;
  double breaks_per_100 = 2;
  std::vector<std::string> locked;
  std::uint64_t seed = 1;
};

// Where shipped data lies (caps/, mounts/, fabrics.toml, needles.toml, threads/, mechanics.toml).
struct DataFolder {
  std::string path;
};

// Reads a job file and applies --set KEY=VALUE in order. Paths in the file are relative to it.
// Throws Error{bad_job} naming key, value, range; unknown keys with the nearest known one.
Job read_job(std::string_view toml, const std::string& where, const std::vector<std::string>& sets);
Job job_from_settings(const std::vector<std::string>& sets);

// The job with every name looked up and every default filled in.
struct Resolved {
  Job job;
  cap::Setup setup;
  std::vector<artwork::Thread> threads;
  std::vector<cap::Needle> needles;
  digitise::Recipe recipe;
  stitch::Limits limits;
  std::shared_ptr<const needle::Mechanics> mechanics;
  std::string practice_toml;
  std::string as_json;                       // goes into plan.json
};
Resolved resolve(const Job& job, const DataFolder& data);

// Artwork to plan. `plan` is empty when the artwork cannot be placed inside the reach; then
// `refusal` says why in words.
struct Planned {
  std::optional<stitch::Plan> plan;
  std::string refusal;
  std::vector<advise::Note> notes;
  artwork::Regions regions;
  std::vector<digitise::Object> objects;
  sequence::Order order;
};
Planned plan_stitches(const Resolved& job, const artwork::Drawing& drawing, const base::Watch& watch = {});

// Plan to verdict and changes; when there is no plan, offers instead.
advise::Verdict plan_job(const Resolved& job, const Planned& planned, const artwork::Drawing& drawing,
                         const base::Watch& watch = {});

}  // namespace buckram::job
