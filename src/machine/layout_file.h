// Whole files of a described layout: steps and their parts, plans, and what a file holds.
#pragma once

#include "machine/codec.h"
#include "machine/fields.h"
#include "machine/layout.h"
#include "machine/machine_map.h"

#include <string>
#include <string_view>
#include <vector>

namespace buckram::machine {

// The file that does these steps, the last of which is an end. Throws Error{bad_stitches} for a
// step that the layout cannot hold or a field that is too narrow. Laws: the same steps give the
// same bytes; read_steps(write_steps(s)).steps = s.
std::string write_steps(const Layout& layout, const std::vector<Step>& steps);
// The same with the layout's codec at hand.
std::string write_steps(const Layout& layout, const Codec& codec, const std::vector<Step>& steps);

struct StepFile {
  Codec::Decoded decoded;
  Tally tally;
  bool names_needles = false;
  std::vector<Disagreement> disagreements;  // of fields with the records: no error
};
// Throws Error{bad_stitches} with the byte. Input is untrusted; O(bytes).
StepFile read_steps(const Layout& layout, std::string_view bytes, const std::string& where);

struct LayoutOptions {
  bool walk_box = false;  // move round the design's box, needle up, before sewing
};

// A plan in machine mm, in whole units of the layout, from the origin and back to it.
// Every place is rounded by itself, never a step, so that each point of the plan lies within half a
// unit of where it should however long the plan. A move too long for a record is several of equal
// length; a stitch too long for one is moves and a stitch at its end. Blocks' own speeds are not
// written, nor trims where the layout has none: remarks_on() says so. Throws Error{bad_stitches}
// when the layout has no change or stop and the plan has one, when it cannot name a needle, or when
// a field is too narrow. Requires check_form(plan).
std::string write_with(const Layout& layout, const stitch::Plan& plan, const MachineMap& map,
                       const LayoutOptions& options = {});

// What of the plan a file of the layout does not carry, as sentences for the operator.
std::vector<std::string> remarks_on(const Layout& layout, const stitch::Plan& plan);

// Before a machine reads the first file of a layout.
inline constexpr const char* kFirstRunCaution =
    "First file of a layout new to this machine: its manual first; no cap mounted, needle and "
    "frame "
    "clear, slowest speed, a hand on the stop.";

struct LayoutPlan {
  stitch::Plan plan;
  std::vector<Disagreement> disagreements;
};
// One object of kind run per thread. Moves that follow each other are one; moves before the first
// stitch up to the last return to the origin, and those home before the end, are the file's own.
// Threads are told by their needles where changes name them, else numbered as they come. Throws
// Error{bad_stitches} with the byte; at most kMostEntries entries. Input is untrusted.
// Law: read_with(write_with(plan)) has the plan's stitches, trims, changes and stops in order, each
// within half a unit (and what the chart's map makes of 0.001 mm).
LayoutPlan read_with(const Layout& layout, std::string_view bytes, const std::string& where,
                     const MachineMap& map);

// What a file holds, in words, line by line: bytes before and after, records by kind and operation,
// counts, box and end in mm, fields that disagree. Throws as read_steps does.
std::vector<std::string> describe_file(const Layout& layout, std::string_view bytes,
                                       const std::string& where);
// What the layout itself can do: steps, holes and longest stitch of each way to sew and move, what
// it lacks. Requires a layout without faults.
std::vector<std::string> describe_layout(const Layout& layout);

// The first step, of all that the layout can hold, that does not come back as it was written, in
// words; empty: none. Requires a layout without faults. O(codes).
std::string first_not_returned(const Layout& layout);

}  // namespace buckram::machine
