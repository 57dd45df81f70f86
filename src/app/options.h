// Options that several verbs share, and the settings they stand for.
#pragma once

#include "face.h"

#include "machine/machine.h"

#include <CLI/CLI.hpp>

#include <memory>
#include <string>
#include <vector>

namespace buckram::app {

struct Options {
  std::string input;
  std::string output;
  std::string cap, mount, needle, at, text, font;
  std::string layout;                            // of a stitch file: a shipped name or a file
  std::string height, width, speed, caps, seed;  // kept as typed: the job's reader checks them
  std::vector<std::string> sets;
  bool walk = false;
  bool improves = false;  // --auto
  Talk talk;
};

void add_bench_options(CLI::App& verb, Options& options);  // --cap --mount --needle --speed --set
void add_place_options(CLI::App& verb, Options& options);  // --height --width --at --caps --seed
void add_walk_option(CLI::App& verb, Options& options);    // --walk
void add_layout_option(CLI::App& verb, Options& options);  // --layout
void add_talk_options(CLI::App& verb, Options& options);   // --json --quiet

// The options as job settings, after the --set ones: the command line goes over all else.
std::vector<std::string> settings_of(const Options& options);

// A job from a job file or straight from artwork.
job::Job job_of(const Options& options);

// A layout by its shipped name or file.
machine::Layout read_layout(const job::DataFolder& data, const std::string& name_or_file);

// Stitches from a plan, CSV or G-code, or from a file of `layout` where one is named; the job that
// goes with them.
struct Stitches {
  stitch::Plan plan;
  job::Resolved job;
  std::vector<std::string> remarks;  // what was assumed
};
Stitches read_stitches(const Options& options, const job::DataFolder& data);

}  // namespace buckram::app
