// A layout found from patterns of known coordinates that a machine saved.
//
// 1. Records: every length from 1 to 8 bytes, alone and in pairs told apart by one bit, at every
//    place where they could begin, is tried on the patterns of stitches alone; equal stitches must
//    give equal records and others different ones, and all files the same bytes after the last.
// 2. Numbers: for what is left, x and y as exact whole weights of bits (exact_fit.h).
// 3. Moves, as stitches with another bit, or as a record of their own.
// 4. Trims, changes and stops: whatever number of bytes between known stitches lets the next ones
//    be read; needles as whole weights of the bits that differ.
// 5. Masks by elimination: bits that never change within a kind, and within an operation.
// 6. What stands before and after: numbers that equal a count, sum or extent of every pattern;
//    bytes that are the same in all.
// A layout is given only when it has no faults and writes every pattern byte for byte.
//
// Cannot be learnt: more than two lengths of steps, records with check digits or counters, parts of
// varying length, a fill up to a multiple, text fields of more than 20 characters.
#pragma once

#include "machine/layout.h"
#include "machine/pattern.h"

#include <optional>
#include <string>
#include <vector>

namespace buckram::machine {

struct Sample {
  Pattern pattern;
  std::string bytes;  // of the file that the machine saved
};

struct Learnt {
  Layout layout;
  std::vector<std::string> found;    // in words: records, numbers with their rank, fields
  std::vector<std::string> assumed;  // what the patterns leave open and was taken to be usual
  std::vector<std::string> asked;    // what further patterns would settle
  std::optional<Pattern> further;    // the one to save next, where there is one
};

struct LearnOptions {
  std::string name = "learnt";
  std::string extension = "bin";
  double unit_mm = 0.1;  // of the patterns
};

// Most bytes of a pattern's file.
inline constexpr std::size_t kMostSampleBytes = 1'000'000;

// Throws Error{bad_stitches} that says how far it got and what to try when no layout gives the
// files. Requires every pattern to end. Input is untrusted. Laws: the layout has no faults, and
// write_steps(layout, pattern) gives each sample's bytes.
Learnt learn_layout(const std::vector<Sample>& samples, const LearnOptions& options);

}  // namespace buckram::machine
