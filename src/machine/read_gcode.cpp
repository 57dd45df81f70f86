#include "machine/machine.h"

#include "base/base.h"
#include "machine/entries.h"
#include "machine/gcode_words.h"
#include "machine/thread_comment.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace buckram::machine {
namespace {

using geometry::Point;
using stitch::Op;

constexpr double kFarthestMm = 2000;  // beyond this it is no cap's file

// What one line asks for.
struct Command {
  std::optional<double> x, y;
  int motion = -1;  // 0 or 1 where the line names one
  std::vector<int> m_codes;
  bool is_dwell = false;
};

class Reader {
 public:
  Reader(const std::string& where, const cap::Setup& setup) : where_(where), map_(setup) {}

  stitch::Plan run(std::string_view text) && {
    while (!text.empty() && !ended_) {
      ++line_;
      const std::size_t end = std::min(text.find('\n'), text.size());
      obey(read_line(text.substr(0, end), place()));
      text.remove_prefix(std::min(end + 1, text.size()));
    }
    if (!ended_) {
      line_ = 0;
      fail("ends without M2", "The file may be cut off; copy it again");
    }
    drop_own_moves();
    for (Entry& entry : entries_) entry.at = map_.to_chart(entry.at);
    return plan_of(std::move(entries_), std::move(threads_), where_);
  }

 private:
  std::string place() const {
    return line_ > 0 ? fmt::format("{}: line {}", where_, line_) : where_;
  }

  [[noreturn]] void fail(const std::string& what, const std::string& hint) const {
    throw base::Error{base::ErrorCode::bad_stitches, what, place(), hint};
  }

  void obey(const GcodeLine& line) {
    for (const std::string& comment : line.comments) heed(comment);
    const Command command = understand(line);
    if (command.x || command.y) go(command);
    for (const int code : command.m_codes) switch_machine(code, line);
  }

  // Comments that the writer puts in; others are only words. "sewing" and "return" bound what is
  // sewn only while no stitch would be lost: a file may be two that were joined.
  void heed(std::string_view comment) {
    if (comment == "sewing" && !has_work_) begins_ = entries_.size();
    if (comment == "return" && has_work_) returns_ = entries_.size();
    if (const auto block = block_in(comment)) {
      block_ = *block;
      ++n_blocks_;
    }
    const auto thread = thread_in(comment);
    if (thread && threads_.empty()) threads_.push_back(*thread);
  }

  Command understand(const GcodeLine& line) {
    Command command;
    for (const Word& word : line.words) take(word, command);
    if (command.is_dwell && (command.x || command.y)) {
      fail("G4 stands on a line with X or Y", "Put the dwell on a line of its own");
    }
    return command;
  }

  void take(const Word& word, Command& command) {
    switch (word.letter) {
      case 'X':
        command.x = word.value * scale_;
        break;
      case 'Y':
        command.y = word.value * scale_;
        break;
      case 'G':
        take_g(word.value, command);
        break;
      case 'M':
        command.m_codes.push_back(whole(word));
        break;
      case 'F':
      case 'N':
      case 'P':
      case 'S':
        break;
      default:
        fail(fmt::format("the word {}{:g} has no meaning for stitches", word.letter, word.value),
             "Read are G0 G1 with X Y, G4 G17 G20 G21 G40 G49 G54 G80 G90 G91 G94, M0 to M3, M5, "
             "M8, M9, M30, F N P S");
    }
  }

  int whole(const Word& word) const {
    if (word.value != std::floor(word.value) || word.value < 0 || word.value > 999) {
      fail(fmt::format("{}{:g} is not a code", word.letter, word.value), "");
    }
    return static_cast<int>(word.value);
  }

  void take_g(double value, Command& command) {
    switch (whole({'G', value})) {
      case 0:
      case 1:
        motion_ = command.motion = static_cast<int>(value);
        break;
      case 4:
        command.is_dwell = true;
        break;
      case 20:
        scale_ = base::kMmPerInch;
        break;
      case 21:
        scale_ = 1;
        break;
      case 90:
        is_absolute_ = true;
        break;
      case 91:
        is_absolute_ = false;
        break;
      case 17:
      case 40:
      case 49:
      case 54:
      case 80:
      case 94:
        break;
      default:
        fail(fmt::format("G{:g} has no meaning for stitches", value),
             value == 2 || value == 3 ? "Arcs are not sewn; write them as single stitches" : "");
    }
  }

  void go(const Command& command) {
    if (motion_ < 0) fail("X or Y before any G0 or G1", "Say which of the two it is");
    const Point from = is_absolute_ ? Point{0, 0} : at_;
    at_.x = command.x ? from.x + *command.x : at_.x;
    at_.y = command.y ? from.y + *command.y : at_.y;
    if (std::abs(at_.x) > kFarthestMm || std::abs(at_.y) > kFarthestMm) {
      fail(fmt::format("goes to X{:g} Y{:g}, more than {:g} mm away", at_.x, at_.y, kFarthestMm),
           "Check the units: G21 is mm, G20 inches");
    }
    put(motion_ == 1 ? Op::sew : Op::move);
  }

  void put(Op op) {
    if (entries_.size() >= static_cast<std::size_t>(kMostEntries)) {
      fail(fmt::format("has more than {} stitches and moves", kMostEntries), "Split the file");
    }
    if (threads_.empty()) threads_.push_back(unnamed_thread(0));
    if (op != Op::move) {
      has_work_ = true;
      returns_.reset();
    }
    entries_.push_back({.at = at_,
                        .op = op,
                        .thread = thread_,
                        .object = block_.object,
                        .kind = block_.kind,
                        .layer = block_.layer,
                        .speed_spm = block_.speed_spm,
                        .block = n_blocks_ - 1});
  }

  void switch_machine(int code, const GcodeLine& line) {
    switch (code) {
      case 0:
        pause(line);
        break;
      case 1:
        put(Op::stop);
        break;
      case 2:
      case 30:
        ended_ = true;
        break;
      case 7:
      case 8:
        put(Op::trim);
        break;
      case 3:
      case 4:
      case 5:
      case 9:
        break;
      default:
        fail(fmt::format("M{} has no meaning for stitches", code),
             "M0 changes the thread, M8 trims, M2 ends");
    }
  }

  // M0: a stop when the comment says so, else a change to the thread it names.
  void pause(const GcodeLine& line) {
    std::optional<stitch::PlanThread> named;
    for (const std::string& comment : line.comments) {
      if (comment.starts_with("stop")) return put(Op::stop);
      if (const auto thread = thread_in(comment)) named = thread;
    }
    if (threads_.empty()) threads_.push_back(named.value_or(unnamed_thread(0)));
    thread_ = index_of(named.value_or(unnamed_thread(static_cast<int>(threads_.size()))));
    put(Op::change);
  }

  int index_of(const stitch::PlanThread& thread) {
    const auto same = std::find_if(threads_.begin(), threads_.end(), [&](const auto& each) {
      return each.name == thread.name && each.rgb == thread.rgb && each.needle == thread.needle;
    });
    const auto index = same - threads_.begin();
    if (same == threads_.end()) threads_.push_back(thread);
    if (threads_.size() > 1000) fail("changes between more than 1000 threads", "");
    return static_cast<int>(index);
  }

  // The way to the start and round the box, and the way home, are the file's own, not the plan's.
  // Without our comments: moves up to the last one to X0 Y0 before all else, and a last one there.
  void drop_own_moves() {
    const auto is_home = [](const Entry& e) { return e.op == Op::move && e.at == Point{0, 0}; };
    if (!begins_) {
      begins_ = 0;
      for (std::size_t i = 0; i < entries_.size() && entries_[i].op == Op::move; ++i) {
        if (is_home(entries_[i])) begins_ = i + 1;
      }
    }
    if (!returns_) {
      returns_ = entries_.size();
      if (!entries_.empty() && is_home(entries_.back())) --*returns_;
    }
    const std::size_t end = std::max(*begins_, *returns_);
    entries_.erase(entries_.begin() + static_cast<std::ptrdiff_t>(end), entries_.end());
    entries_.erase(entries_.begin(), entries_.begin() + static_cast<std::ptrdiff_t>(*begins_));
  }

  const std::string& where_;
  MachineMap map_;
  int line_ = 0;
  bool ended_ = false;
  double scale_ = 1;  // of X and Y to mm
  bool is_absolute_ = true;
  int motion_ = -1;
  Point at_;  // machine, mm
  int thread_ = 0;
  BlockComment block_;
  int n_blocks_ = 0;
  bool has_work_ = false;                        // an entry is more than a move
  std::optional<std::size_t> begins_, returns_;  // entries where sewing begins and is over
  std::vector<Entry> entries_;                   // machine mm until the end
  std::vector<stitch::PlanThread> threads_;
};

}  // namespace

stitch::Plan read_gcode(std::string_view text, const std::string& where, const cap::Setup& setup) {
  return Reader(where, setup).run(text);
}

}  // namespace buckram::machine
