// Runs the built program in a folder of its own and keeps what it said.
#pragma once

#include "base/base.h"

#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

namespace buckram::app {

namespace fs = std::filesystem;

struct Answer {
  int status = -1;  // exit status; 128 + signal when killed
  std::string out, err;
};

// A folder that goes with the test.
class Bench {
 public:
  Bench() {
    std::string pattern = (fs::temp_directory_path() / "buckram-app-XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) std::abort();
    folder_ = pattern;
  }
  ~Bench() { fs::remove_all(folder_); }
  Bench(const Bench&) = delete;
  Bench& operator=(const Bench&) = delete;

  const fs::path& folder() const { return folder_; }
  void put(const std::string& name, const std::string& bytes) const {
    std::ofstream(folder_ / name, std::ios::binary) << bytes;
  }
  std::string get(const std::string& name) const {
    std::ifstream in(folder_ / name, std::ios::binary);
    std::stringstream all;
    all << in.rdbuf();
    return all.str();
  }

  // `words` as a shell reads them, `before` put in front of the program ("ulimit -f 1;").
  Answer run(const std::string& words, const std::string& before = "") const {
    // What it says goes beside the folder, so that the folder shows only what it wrote.
    const std::string said = folder_.string() + ".said";
    const std::string command = "cd '" + folder_.string() + "'; " + before +
                                " '" BUCKRAM_PROGRAM "' " + words + " >'" + said + ".out' 2>'" +
                                said + ".err' </dev/null";
    const int raw = std::system(command.c_str());
    Answer answer;
    answer.status = WIFEXITED(raw) ? WEXITSTATUS(raw) : 128 + WTERMSIG(raw);
    answer.out = slurp(said + ".out");
    answer.err = slurp(said + ".err");
    fs::remove(said + ".out");
    fs::remove(said + ".err");
    return answer;
  }

 private:
  static std::string slurp(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::stringstream all;
    all << in.rdbuf();
    return all.str();
  }
  fs::path folder_;
};

// A small mark that plans in a moment: a ring with a bar.
inline const char* const kMark =
    "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 60'>"
    "<path id='ring' fill='#24365a' fill-rule='evenodd' d='M30 5A25 25 0 1 0 30.1 5Z"
    "M30 15A15 15 0 1 1 29.9 15Z'/>"
    "<rect id='bar' x='65' y='10' width='12' height='40' fill='#c8973a'/></svg>";

}  // namespace buckram::app
