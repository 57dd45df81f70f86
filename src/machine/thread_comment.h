// Threads and objects as G-code comments: written, and understood again.
#pragma once

#include "stitch/stitch.h"

#include <optional>
#include <string>
#include <string_view>

namespace buckram::machine {

// Printable ASCII without brackets, at most 60 characters: what every interpreter takes.
std::string plain_comment(std::string_view text);

// "(thread: needle 2, #c8102e, tex 27, no. 1147, Signal Red)"; without "no. …" where the thread has
// no number of its own.
std::string comment_of(const stitch::PlanThread& thread);
// The comment's words without the brackets; empty when it is not about a thread.
std::optional<stitch::PlanThread> thread_in(std::string_view comment);

struct BlockComment {
  int object = 0;
  stitch::Kind kind = stitch::Kind::run;
  stitch::Layer layer = stitch::Layer::top;
  double speed_spm = 0;
};
// From "block: object 3, fill, top" or "block: object 3, fill, top, 450 a minute".
std::optional<BlockComment> block_in(std::string_view comment);

// By their names in a plan; empty when there is none of that name.
std::optional<stitch::Kind> kind_named(std::string_view name);
std::optional<stitch::Layer> layer_named(std::string_view name);

}  // namespace buckram::machine
