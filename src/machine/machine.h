// Door of machine/: stitch files in and out, which way up, where the needle starts.
#pragma once

#include "cap/cap.h"
#include "stitch/stitch.h"

#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

// Chart to machine and back, with the half turn where the file carries it (turned_by file and
// turn_deg 180), counted from the origin, where the needle stands at the start and end.
class MachineMap {
 public:
  explicit MachineMap(const cap::Setup& setup);
  geometry::Point to_machine(geometry::Point chart) const;
  geometry::Point to_chart(geometry::Point machine) const;

 private:
  cap::Chart chart_;
  geometry::Point origin_machine_;
  bool turned_;
};

struct GcodeOptions {
  double speed_spm = 650;
  bool walk_box = false;        // move round the design's box before sewing
};

// ISO 6983 (RS-274): G21 G90 G94, one G1 per stitch and G0 per move, M0 with a comment at thread
// changes and stops, needle down and trim as described in docs/files.md, M2. Coordinates 0.001 mm.
std::string write_gcode(const stitch::Plan& plan, const cap::Setup& setup, const GcodeOptions& options = {});

// stitches.csv with header index,x_mm,y_mm,op,thread,object,layer,hazard. `hazard` per entry or empty.
std::string write_csv(const stitch::Plan& plan, const std::vector<double>& hazard);

// The stitches as a drawing in chart mm, y up, thread colours, one path per block.
std::string write_svg(const stitch::Plan& plan);

// Readers; what the format does not carry (objects, layers of G-code) becomes one object of kind
// run per thread. Throw Error{bad_stitches} with line and what is wrong. Input is untrusted.
stitch::Plan read_gcode(std::string_view text, const std::string& where, const cap::Setup& setup);
stitch::Plan read_csv(std::string_view text, const std::string& where);

}  // namespace buckram::machine
