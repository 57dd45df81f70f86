// The job's keys written out again: into plan.json, and as TOML for settings to be laid over.
#pragma once

#include "job/job.h"

#include <array>
#include <string>
#include <string_view>

namespace buckram::job {

inline constexpr std::array<std::string_view, 2> kStyles{"cap", "flat"};
inline constexpr std::array<std::string_view, 4> kOrders{"planned", "given", "inward", "across"};
inline constexpr std::array<std::string_view, 3> kKinds{"column", "fill", "run"};
inline constexpr std::array<std::string_view, 5> kUnders{"none", "centre", "edge", "zigzag",
                                                         "lattice"};

// The keys under [object.7].
inline constexpr std::array<const char*, 6> kObjectKeys{
    "sewn_as", "angle_deg", "row_spacing_mm", "column_spacing_mm", "stitch_mm", "under"};

// Names of caps and mounts hold no slash and no dot; files do.
bool looks_like_file(const std::string& text);

// The bench on which the job's gaps were measured: its `gap_bench`, else its bench.
GapBench gap_bench_of(const Job& job);

// Every key that is set, as a JSON object in the job file's own structure. Law: reading it gives
// the job back.
std::string to_json(const Job& job);
std::string to_toml(const Job& job);
// The same object with `artwork.file` as it is found from `folder`: "../art/crest.svg". A plan thus
// holds no absolute path, and moves together with its artwork. Unchanged without an artwork file.
std::string with_artwork_from(const std::string& json, const std::string& folder);
// A JSON object of scalars, arrays and objects as TOML, for base::Table. Throws
// Error{bad_stitches} when it is not one.
std::string json_to_toml(const std::string& json);

}  // namespace buckram::job
