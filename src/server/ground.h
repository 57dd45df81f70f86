// What the chart lies on, as JSON for the page's drawings: cap, field, gap.
#pragma once

#include "job/job.h"

#include <optional>
#include <string>

namespace buckram::server {

// [[x,y],...] to 0.01 mm.
std::string ring_json(const geometry::Ring& ring);

// "ground" of docs/api.md. `art`: the box of what is sewn on the chart, empty when there is none
// yet; `usual_top_mm`: where designs usually end, by the plan. Some 20 ms on one core.
std::string ground_json(const cap::Setup& setup, const geometry::Box& art,
                        std::optional<double> usual_top_mm);

}  // namespace buckram::server
