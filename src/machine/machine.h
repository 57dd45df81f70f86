// Door of machine/: stitch files in and out, which way up, where the needle starts.
//
// Last stage of the path (stitch plan -> machine file) and the first one for stitches that come
// from elsewhere. docs/files.md holds the field tables of every format written here.
#pragma once

#include "cap/cap.h"
#include "machine/layout.h"
#include "machine/layout_file.h"
#include "machine/learn.h"
#include "machine/machine_map.h"
#include "stitch/stitch.h"

#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

struct GcodeOptions {
  double speed_spm = 650;  // stitches a minute: the S word; a slower block has its own
  double trim_s = 0.5;     // how long the trimmer's output stays on
  bool walk_box = false;   // move round the design's box before sewing
};

// ISO 6983 (RS-274/NGC dialect), one line a stitch, coordinates to 0.001 mm in machine mm:
//   G21 G17 G90 G94, F = the frame's top speed, S = stitches a minute, again where a block differs
//   G1 X Y   the frame goes there and the needle goes down there
//   G0 X Y   the frame goes there, needle up
//   M3 / M5  needle drive on / off; it is off during every move, trim, change and stop
//   M8, G4 P, M9   the trimmer's output on, held, off: one trim
//   M0       thread change with (thread: ...), or with (stop) a wait for the operator
//   M2       end, after going back to X0 Y0, the place where the file also begins
// Comments say thread, object, layer and a block's own speed, so that read_gcode gives the plan
// back; where a comment and an S word differ, reading takes the comment.
// Requires check_form(plan). Laws: accepted by an independent RS-274 interpreter with every point
// equal; starts and ends at X0 Y0.
std::string write_gcode(const stitch::Plan& plan, const cap::Setup& setup,
                        const GcodeOptions& options = {});

// stitches.csv: header index,x_mm,y_mm,op,thread,object,layer,hazard, one row an entry; chart mm
// to 0.001; thread counts from 0. `hazard` per entry (4 significant digits), or empty: left blank.
std::string write_csv(const stitch::Plan& plan, const std::vector<double>& hazard);

// The stitches as a drawing in chart mm, y up, thread colours, one path per block.
std::string write_svg(const stitch::Plan& plan);

// Readers; what the format does not carry (thread names in CSV, objects of a G-code file from
// elsewhere) becomes one object of kind run per thread. Throw Error{bad_stitches} with line, what
// is wrong and what is wanted. Input is untrusted: at most kMostEntries entries, O(bytes).
// Law: read_gcode(write_gcode(plan)) has the plan's ops, blocks and threads, and its points within
// 0.002 mm; read_csv(write_csv(plan)) has its points exactly; read_gcode loses no stitch, stop,
// trim or change before M2, wherever the comments (sewing) and (return) stand.
inline constexpr int kMostEntries = 2'000'000;
stitch::Plan read_gcode(std::string_view text, const std::string& where, const cap::Setup& setup);
stitch::Plan read_csv(std::string_view text, const std::string& where);

}  // namespace buckram::machine
