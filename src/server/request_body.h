// What the page asks for, read from JSON. Input is untrusted.
#pragma once

#include "base/base.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace buckram::server {

// What may be asked of a job. Empty optionals: not spoken of.
struct Asked {
  std::optional<std::string> artwork;         // an id; empty text: none
  std::vector<std::string> set;               // "KEY=VALUE", laid over what is set
  std::vector<std::string> unset;             // keys that go back to their default
  std::optional<std::string> layout;          // a shipped layout's name; empty text: none
  std::string words;                          // what undo calls it
  std::optional<std::string> copy_of, again;  // ids, in place of the others
  std::string job;                            // whose settings lie below
  std::vector<std::string> caps;              // to offer; empty: all shipped
};
// {"artwork","set","unset","layout","words","copy_of","again","job","caps"}, all of them optional.
// An empty body asks for nothing.
Asked read_asked(const std::string& body);

enum class Broke { needle, thread };
const char* name(Broke what);

struct BreakReport {
  std::string event;  // the page's own name for it, so that none is logged twice; empty: none
  std::string at;     // when it was told, UTC; empty: now
  int revision = 0;   // of the plan that was sewn; 0: the one that is shown
  int entry = 0;
  int needle = 0, cap = 0;  // 0: not told
  std::string note;
  Broke broke = Broke::needle;
};
BreakReport read_break(const std::string& body);

// {"ticks":{"step id":true}}: ids of those ticked.
std::vector<std::string> read_ticks(const std::string& body);

// Thrown for a body that is no JSON at all: status 400.
struct NotJson {};

// Each throws NotJson, or Error{bad_job} naming the field, for wrong types, unknown fields and
// texts that are too long or too many.

}  // namespace buckram::server
