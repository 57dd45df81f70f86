// Options that several verbs share, and the settings they stand for.
#pragma once

#include "face.h"

#include <CLI/CLI.hpp>

#include <memory>
#include <string>
#include <vector>

namespace buckram::app {

struct Options {
  std::string input;
  std::string output;
  std::string cap, mount, needle, at, text, font;
  std::string height, width, speed, caps, seed;  // kept as typed: the job's reader checks them
  std::vector<std::string> sets;
  bool walk = false;
  Talk talk;
};

void add_bench_options(CLI::App& verb, Options& options);  // --cap --mount --needle --speed --set
void add_place_options(CLI::App& verb, Options& options);  // --height --width --at --caps --seed
void add_walk_option(CLI::App& verb, Options& options);    // --walk
void add_talk_options(CLI::App& verb, Options& options);   // --json --quiet

// The options as job settings, after the --set ones: the command line goes over all else.
std::vector<std::string> settings_of(const Options& options);

// A job from a job file or straight from artwork.
job::Job job_of(const Options& options);

// Stitches from a plan, CSV or G-code; the job that goes with them.
struct Stitches {
  stitch::Plan plan;
  job::Resolved job;
  std::vector<std::string> remarks;  // what was assumed
};
Stitches read_stitches(const Options& options, const job::DataFolder& data);

}  // namespace buckram::app
