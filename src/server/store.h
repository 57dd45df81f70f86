// The folder that holds the shop's jobs.
//
//   artwork/ID/NAME.svg     by content and name; never changed
//   jobs/ID/job.json        what is asked, every step of it, what is shown (record.h)
//   jobs/ID/plan-N/         the files of revision N, whole or not there
//   jobs/ID/log.jsonl       breaks, a line each, only ever added to
//   jobs/ID/ticks.json      steps that the floor has ticked off
//   making/                 plans that are being written
//   bin/ID/                 jobs thrown away, as they were
//   lock, token             of the server that runs
//
// Everything is written beside its place and renamed. A plan's folder gets its name when its last
// file is written, and job.json speaks of it only afterwards: whenever the program is killed, what
// job.json speaks of is whole. What nothing speaks of is cleared away at the next start. When the
// power fails, what the system had not yet put on the disk is lost, but for the log, which is put
// there line by line: a plan that is not whole is planned again at the next start.
#pragma once

#include "server/record.h"

#include "base/base.h"

#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::server {

struct KeptArtwork {
  std::string id, name, path;
};

class Store {
 public:
  // Makes the folder where there is none, and locks it. Throws Error{cannot_write}; {bad_job} when
  // another server has it.
  explicit Store(const std::string& folder);
  ~Store();
  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;

  const std::string& folder() const { return folder_; }

  struct Opened {
    std::vector<Record> records;
    std::vector<std::string> troubles;  // folders that are no jobs, in words
  };
  // Every job, once, at the start; clears what was left half written.
  Opened open_jobs();

  void save(const Record& record) const;
  // A revision's files, with plain names: written beside first, then put in place in one step.
  void prepare(const std::string& id, int revision, std::vector<base::OutputFile> files) const;
  void drop_prepared(const std::string& id, int revision) const;
  void publish(const std::string& id, int revision) const;
  void drop_plan(const std::string& id, int revision) const;
  // The shown plan of one job as revision 1 of another, whose folder is made.
  void copy_plan(const Record& from, const std::string& to) const;
  std::string plan_folder(const std::string& id, int revision) const;
  // Empty where there is no such file.
  std::optional<std::string> plan_file(const std::string& id, int revision,
                                       const std::string& name) const;

  void to_bin(const std::string& id) const;
  Record from_bin(const std::string& id) const;  // throws Error{cannot_read} when it is not there
  bool is_in_bin(const std::string& id) const;

  // The name is data: only its last piece is kept, cleaned. Throws Error{bad_artwork} for kinds
  // that cannot be read.
  KeptArtwork keep_artwork(const std::string& name, const std::string& bytes) const;
  std::optional<KeptArtwork> find_artwork(const std::string& id) const;

  // Throw Error{cannot_write}, {cannot_read}.
  void add_to_log(const std::string& id, const std::string& line) const;
  std::string read_log(const std::string& id) const;  // empty: none yet
  void write_ticks(const std::string& id, const std::string& json) const;
  std::string read_ticks(const std::string& id) const;  // empty: none yet

 private:
  std::string job_folder(const std::string& id) const;
  std::string making(const std::string& id, int revision) const;
  void plan_again_if_spoilt(Record& record) const;
  void write(const std::string& path, const std::string& bytes) const;

  std::string folder_;
  int lock_ = -1;
  mutable std::mutex one_at_a_time_;  // small files: their names while written are not unique
};

// "keld-harbour-crest-3f9ac2d1" from "Keld Harbour crest": new at every call.
std::string new_id(std::string_view title);
// A name for a file out of what a client called it; empty where nothing is left.
std::string clean_name(std::string_view name);
// Throws Error{bad_artwork} for a name whose ending is no kind of artwork that can be read.
void refuse_other_kinds(const std::string& name);
// A random word of so many letters and digits, from the system's own source.
std::string random_word(std::size_t letters);
// Now, as "2026-11-30T07:21:06Z".
std::string utc_now();

}  // namespace buckram::server
