#include "report/paragraph.h"

#include <algorithm>

namespace buckram::report {
namespace {

// A piece of a word: parts of one word in different type have no space between them.
struct Piece {
  std::string words;
  Type type;
  bool has_space_before = false;
};

std::vector<Piece> pieces_of(const std::vector<Run>& runs) {
  std::vector<Piece> pieces;
  bool is_after_space = false;
  for (const Run& run : runs) {
    const std::string words = clean_words(run.words);
    std::string word;
    const auto flush = [&] {
      if (word.empty()) return;
      pieces.push_back({word, run.type, is_after_space});
      word.clear();
      is_after_space = false;
    };
    for (const char c : words) {
      if (c != ' ') {
        word += c;
        continue;
      }
      flush();
      is_after_space = true;
    }
    flush();
  }
  return pieces;
}

struct Word {
  std::vector<Piece> pieces;
  double width_mm = 0, space_mm = 0;
};

std::vector<Word> words_of(const std::vector<Run>& runs, const TypeRule& rule, double limit_mm) {
  std::vector<Word> words;
  for (Piece& piece : pieces_of(runs)) {
    if (words.empty() || piece.has_space_before)
      words.push_back({{}, 0, rule.width_mm("a b", piece.type) - rule.width_mm("ab", piece.type)});
    Word& word = words.back();
    // Words join their neighbours at a space only; one wider than the line is cut.
    if (word.width_mm + rule.width_mm(piece.words, piece.type) > limit_mm)
      piece.words = rule.fitted(piece.words, piece.type, std::max(0.0, limit_mm - word.width_mm));
    word.width_mm += rule.width_mm(piece.words, piece.type);
    word.pieces.push_back(std::move(piece));
  }
  return words;
}

std::vector<std::vector<Word>> broken(const std::vector<Word>& words, double limit_mm) {
  std::vector<std::vector<Word>> lines;
  double width = 0;
  for (const Word& word : words) {
    const double with = lines.empty() ? 0 : width + word.space_mm + word.width_mm;
    if (lines.empty() || with > limit_mm) {
      lines.push_back({word});
      width = word.width_mm;
      continue;
    }
    lines.back().push_back(word);
    width = with;
  }
  return lines;
}

// Neighbours in the same type become one text, so that copies and searches read whole lines.
Line laid(const std::vector<Word>& words, const TypeRule& rule) {
  Line line;
  double x = 0;
  for (std::size_t i = 0; i < words.size(); ++i) {
    for (std::size_t k = 0; k < words[i].pieces.size(); ++k) {
      const Piece& piece = words[i].pieces[k];
      const bool has_space = i > 0 && k == 0;
      if (!line.texts.empty() && line.texts.back().type == piece.type) {
        line.texts.back().words += (has_space ? " " : "") + piece.words;
        x = line.texts.back().at.x + rule.width_mm(line.texts.back().words, piece.type);
        continue;
      }
      if (has_space) x += words[i].space_mm;
      line.texts.push_back({{x, 0}, piece.words, piece.type});
      x += rule.width_mm(piece.words, piece.type);
    }
  }
  line.width_mm = x;
  return line;
}

// The narrowest width that still takes no more lines.
double balanced_width(const std::vector<Word>& words, double limit_mm) {
  const std::size_t n = broken(words, limit_mm).size();
  double low = limit_mm * 0.5, high = limit_mm;
  for (const Word& word : words) low = std::max(low, word.width_mm);
  for (int k = 0; k < 8 && low < high; ++k) {
    const double middle = (low + high) / 2;
    if (broken(words, middle).size() <= n)
      high = middle;
    else
      low = middle;
  }
  return high;
}

void shorten(std::vector<std::vector<Word>>& lines, const Setting& setting, const TypeRule& rule) {
  lines.resize(static_cast<std::size_t>(setting.most_lines));
  std::vector<Word>& last = lines.back();
  const auto width = [&] {
    double w = 0;
    for (const Word& word : last) w += word.space_mm + word.width_mm;
    return w;
  };
  const Type type = last.back().pieces.back().type;
  const double mark = rule.width_mm("…", type);
  while (last.size() > 1 && width() + mark > setting.width_mm) last.pop_back();
  last.back().pieces.back().words += "…";
  last.back().width_mm += mark;
}

}  // namespace

std::vector<Line> set_lines(const std::vector<Run>& runs, const Setting& setting,
                            const TypeRule& rule) {
  const std::vector<Word> words = words_of(runs, rule, setting.width_mm);
  if (words.empty()) return {};
  const double limit =
      setting.is_balanced ? balanced_width(words, setting.width_mm) : setting.width_mm;
  std::vector<std::vector<Word>> lines = broken(words, limit);
  if (lines.size() > static_cast<std::size_t>(setting.most_lines)) shorten(lines, setting, rule);
  std::vector<Line> out;
  for (const std::vector<Word>& line : lines) out.push_back(laid(line, rule));
  return out;
}

double draw_paragraph(Picture& picture, double x, double y, const std::vector<Run>& runs,
                      const Setting& setting, const TypeRule& rule) {
  double size = 0;
  for (const Run& run : runs) size = std::max(size, run.type.size_mm);
  const double step = size * setting.leading;
  double base_line = y + step / 2 + size * 0.34;
  for (Line& line : set_lines(runs, setting, rule)) {
    const double back = setting.anchor == Anchor::start    ? 0
                        : setting.anchor == Anchor::middle ? line.width_mm / 2
                                                           : line.width_mm;
    for (Text& text : line.texts) {
      text.at = {x - back + text.at.x, base_line};
      picture.add(std::move(text));
    }
    base_line += step;
    y += step;
  }
  return y;
}

std::vector<Run> runs_of(const std::string& marked, const Type& type, int bold) {
  std::vector<Run> runs;
  Type heavy = type;
  heavy.weight = bold;
  std::size_t at = 0;
  while (at < marked.size()) {
    const std::size_t open = marked.find("**", at);
    const std::size_t close = open == std::string::npos ? open : marked.find("**", open + 2);
    if (close == std::string::npos) break;
    if (open > at) runs.push_back({marked.substr(at, open - at), type});
    runs.push_back({marked.substr(open + 2, close - open - 2), heavy});
    at = close + 2;
  }
  if (at < marked.size()) runs.push_back({marked.substr(at), type});
  return runs;
}

}  // namespace buckram::report
