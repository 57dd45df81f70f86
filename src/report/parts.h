// What an operator calls a part of the design: by its own name, or by thread, form and place.
//
// A part is what lies together: objects of one thread out of one artwork element whose boxes touch.
// Three or more parts of one thread that stand side by side at the same height, as letters do, are
// counted from the left. Parts that would be called alike are counted from the left or the top.
#pragma once

#include "stitch/stitch.h"

#include <map>
#include <string>

namespace buckram::report {

struct PartName {
  std::string full;    // "Brass column 2.3 mm wide, round the edge"; "Chief"
  std::string brief;   // where the place is told beside it: "Brass column"; "Chief"
  std::string beside;  // where the thread is told beside it: "column round the edge"; "chief"
};
using PartNames = std::map<int, PartName>;  // by object id

// Names for every object of the plan. An artwork element's own name is kept ("letter-ground" is
// "Letter ground") unless nobody gave it one ("path[3]", "g12"). O(entries + n log n) parts and
// pairs that lie above one another.
PartNames name_parts(const stitch::Plan& plan);
// The name of one; "Stitches" for an object that the plan does not have.
const PartName& part_name(const PartNames& names, int object_id);

}  // namespace buckram::report
