#include "artwork/css_font.h"

#include "artwork/svg_numbers.h"

#include <algorithm>
#include <cctype>
#include <map>

namespace buckram::artwork {
namespace {

std::string unquoted(std::string_view text) {
  text = trimmed(text);
  const bool is_quoted = text.size() >= 2 && (text.front() == '"' || text.front() == '\'') &&
                         text.back() == text.front();
  return std::string(is_quoted ? text.substr(1, text.size() - 2) : text);
}

bool starts_size(std::string_view word) {
  const bool is_number = std::isdigit(static_cast<unsigned char>(word.front())) ||
                         (word.front() == '.' && word.size() > 1);
  const bool has_unit = word.find_first_not_of("0123456789.") != std::string_view::npos;
  return (is_number && has_unit) || parse_worded_size(word);
}

}  // namespace

std::vector<std::string> parse_families(std::string_view text) {
  std::vector<std::string> families;
  while (!text.empty() && families.size() < 20) {
    const auto comma = text.find(',');
    if (std::string name = unquoted(text.substr(0, comma)); !name.empty()) {
      families.push_back(std::move(name));
    }
    text = comma == std::string_view::npos ? std::string_view() : text.substr(comma + 1);
  }
  if (families.empty()) families.push_back("sans-serif");
  return families;
}

// CSS Fonts 3, 3.2: bolder and lighter step between 100, 400, 700 and 900.
std::optional<int> parse_weight(std::string_view text, int parent) {
  if (text == "normal") return 400;
  if (text == "bold") return 700;
  if (text == "bolder") return parent < 350 ? 400 : parent < 550 ? 700 : 900;
  if (text == "lighter") return parent < 550 ? 100 : parent < 750 ? 400 : 700;
  Scanner in(text);
  const auto number = in.number();
  if (!number || !in.done() || !(*number >= 1 && *number <= 1000)) return std::nullopt;
  return static_cast<int>(*number);
}

std::optional<WordedSize> parse_worded_size(std::string_view text) {
  static const std::map<std::string_view, WordedSize> kSizes = {
      {"xx-small", {3.0 / 5, false}}, {"x-small", {3.0 / 4, false}}, {"small", {8.0 / 9, false}},
      {"medium", {1, false}},         {"large", {6.0 / 5, false}},   {"x-large", {3.0 / 2, false}},
      {"xx-large", {2, false}},       {"smaller", {1 / 1.2, true}},  {"larger", {1.2, true}}};
  const auto found = kSizes.find(text.substr(0, text.find('/')));
  return found == kSizes.end() ? std::nullopt : std::optional(found->second);
}

std::optional<FontShorthand> parse_font(std::string_view text, int parent_weight) {
  FontShorthand font;
  while (true) {
    text = trimmed(text);
    const std::string_view word = text.substr(0, text.find_first_of(" \t\r\n"));
    if (word.empty()) return std::nullopt;
    text.remove_prefix(word.size());
    if (starts_size(word)) {
      font.size = word.substr(0, word.find('/'));
      break;
    }
    if (word == "italic" || word == "oblique") font.wish.is_italic = true;
    if (const auto weight = parse_weight(word, parent_weight); weight && word != "normal") {
      font.wish.weight = *weight;
    }
  }
  text = trimmed(text);
  if (text.starts_with('/')) {  // "12px / 1.2 serif"
    text = trimmed(text.substr(1));
    text.remove_prefix(std::min(text.size(), text.find_first_of(" \t\r\n")));
  }
  if (trimmed(text).empty()) return std::nullopt;
  font.wish.families = parse_families(text);
  return font;
}

}  // namespace buckram::artwork
