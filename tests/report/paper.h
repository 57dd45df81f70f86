// A sheet as other tools read it: poppler's pdftotext and pdftoppm, and qpdf.
#pragma once

#include "geometry/geometry.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace buckram::report_tests {

namespace fs = std::filesystem;

// A file that goes with the test.
class Scratch {
 public:
  Scratch() {
    std::string pattern = (fs::temp_directory_path() / "buckram-report-XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) std::abort();
    folder_ = pattern;
  }
  ~Scratch() { fs::remove_all(folder_); }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  std::string put(const std::string& name, const std::string& bytes) const {
    const std::string path = (folder_ / name).string();
    std::ofstream(path, std::ios::binary) << bytes;
    return path;
  }
  // What the command prints; empty when it cannot be run.
  std::string say(const std::string& command) const {
    std::string text;
    FILE* pipe = popen(("cd '" + folder_.string() + "' && " + command + " 2>&1").c_str(), "r");
    char buffer[4096];
    while (pipe != nullptr && fgets(buffer, sizeof buffer, pipe) != nullptr) text += buffer;
    if (pipe != nullptr) pclose(pipe);
    return text;
  }
  std::string get(const std::string& name) const {
    std::ifstream in(folder_ / name, std::ios::binary);
    std::stringstream all;
    all << in.rdbuf();
    return all.str();
  }

 private:
  fs::path folder_;
};

// Blanks and line ends as one blank, so that wrapped words are found.
inline std::string flowed(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool is_blank = c == ' ' || c == '\n' || c == '\f';
    if (!is_blank || (!out.empty() && out.back() != ' ')) out += is_blank ? ' ' : c;
  }
  return out;
}

// Words of a page with their boxes, as pdftotext finds them.
struct Word {
  geometry::Box box;
  std::string words;
};
inline std::vector<Word> words_on(const Scratch& scratch, int page) {
  const std::string n = std::to_string(page);
  std::istringstream lines(scratch.say("pdftotext -bbox -f " + n + " -l " + n + " s.pdf -"));
  std::vector<Word> all;
  for (std::string line; std::getline(lines, line);) {
    Word word;
    geometry::Box& b = word.box;
    if (std::sscanf(line.c_str(), " <word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\"",
                    &b.x0, &b.y0, &b.x1, &b.y1) != 4)
      continue;
    word.words = line.substr(line.find('>') + 1);
    word.words.resize(word.words.rfind("</word>"));
    all.push_back(std::move(word));
  }
  return all;
}

// Words that lie on each other by more than a quarter of the smaller box, as one text for people.
inline std::string overlaps_on(const Scratch& scratch, int page) {
  const std::vector<Word> all = words_on(scratch, page);
  EXPECT_GT(all.size(), 20U);
  std::string found;
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) {
      const geometry::Box &a = all[i].box, &b = all[k].box;
      const double wide = std::min(a.x1, b.x1) - std::max(a.x0, b.x0),
                   tall = std::min(a.y1, b.y1) - std::max(a.y0, b.y0);
      const double least = std::min(a.width() * a.height(), b.width() * b.height());
      if (wide > 0 && tall > 0 && wide * tall > 0.25 * least)
        found += all[k].words + " / " + all[i].words + "\n";
    }
  }
  return found;
}

}  // namespace buckram::report_tests
