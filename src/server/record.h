// What the server keeps of a job: job.json in the job's folder.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace buckram::server {

// Of what is asked. `refused`: it cannot be placed or sewn as asked, and there are no stitches.
enum class State { empty, planning, done, refused, failed, cancelled };
const char* name(State state);

// The job after one change. Undo goes back a step, redo forward.
struct Step {
  std::string words;             // what undo calls the change that led here
  std::string artwork;           // an id; empty: lettering, or none yet
  std::vector<std::string> set;  // "KEY=VALUE", every key once
  std::string layout;            // the machine's own files; empty: none
  bool improves = false;         // the best changes are still to be found and made
  bool operator==(const Step&) const = default;
};

// What lists show without opening the plan.
struct Summary {
  std::string title, artwork;  // artwork: its file name, or the lettering
  std::string cap, mount;      // titles
  std::optional<double> height_mm;
  int caps = 1;
  std::string verdict;  // run, rework, refuse; empty: none yet
  std::optional<double> breaks_per_100;
  bool operator==(const Summary&) const = default;
};

// Two revisions: what is asked, and what the files show. `shown` is 0 until there is a plan or a
// refusal; `before` is the one shown before that, 0 when there is none.
struct Record {
  std::string id, made, changed;  // times in UTC, ISO 8601
  std::vector<Step> steps;        // at least one
  std::size_t at = 0;             // the step that is asked
  int revision = 1, shown = 0, before = 0;
  State state = State::empty;
  std::string error;  // of `failed`: the fault as JSON
  Summary summary;
  bool operator==(const Record&) const = default;

  const Step& step() const { return steps[at]; }
};
inline constexpr std::size_t kMostSteps = 200, kMostSettings = 200;

// "bench.needle" of "bench.needle=75:sharp".
std::string key_of(const std::string& setting);
// Each of `next` takes the place of the one in `set` with its key; keys keep the order in which
// they were first set. Throws Error{bad_job} above kMostSettings.
void lay_over(std::vector<std::string>& set, const std::vector<std::string>& next);

// Ids are names of folders: small letters, digits and -, 1 to 80 of them.
bool is_id(const std::string& text);

// Law: reading what was written gives the record back. read_record throws Error{bad_data} naming
// `where` for anything else.
std::string write_record(const Record& record);
Record read_record(const std::string& bytes, const std::string& where);

}  // namespace buckram::server
