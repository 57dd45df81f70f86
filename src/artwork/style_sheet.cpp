#include "artwork/style_sheet.h"

#include "artwork/css_selector.h"
#include "artwork/svg_numbers.h"
#include "base/base.h"

#include <fmt/format.h>

#include <algorithm>

namespace buckram::artwork {
namespace {

// Compounds looked at, declarations and attributes taken for one file; seconds at most.
constexpr long kMostSteps = 20'000'000;
constexpr int kDeepestBlock = 8;

std::string without_comments(std::string_view css) {
  std::string out;
  while (!css.empty()) {
    const auto open = css.find("/*");
    out += css.substr(0, open);
    if (open == std::string_view::npos) break;
    const auto close = css.find("*/", open + 2);
    if (close == std::string_view::npos) break;
    out += ' ';
    css.remove_prefix(close + 2);
  }
  return out;
}

// Splits at `separator` outside quotes and brackets.
std::vector<std::string_view> split_outside(std::string_view text, char separator) {
  std::vector<std::string_view> parts;
  std::size_t from = 0;
  int depth = 0;
  char quote = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quote) {
      if (c == quote) quote = 0;
    } else if (c == '"' || c == '\'') {
      quote = c;
    } else if (c == '(' || c == '[') {
      ++depth;
    } else if ((c == ')' || c == ']') && depth > 0) {
      --depth;
    } else if (c == separator && depth == 0) {
      parts.push_back(text.substr(from, i - from));
      from = i + 1;
    }
  }
  parts.push_back(text.substr(from));
  return parts;
}

// Where the block that opens at text[0] == '{' closes; the end of the text when it never does.
std::size_t block_end(std::string_view text) {
  int depth = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '{') ++depth;
    if (text[i] == '}' && --depth == 0) return i;
  }
  return text.size();
}

bool media_shows(std::string_view condition) {
  const std::string lower = lower_case(trimmed(condition));
  return lower == "all" || lower == "screen" || lower.empty();
}

}  // namespace

std::vector<Declaration> parse_declarations(std::string_view text) {
  const std::string plain = without_comments(text);
  std::vector<Declaration> declarations;
  for (const std::string_view part : split_outside(plain, ';')) {
    const auto colon = part.find(':');
    if (colon == std::string_view::npos) continue;
    Declaration d{lower_case(trimmed(part.substr(0, colon))), "", false};
    std::string_view value = trimmed(part.substr(colon + 1));
    if (const auto bang = value.rfind('!'); bang != std::string_view::npos) {
      d.is_important = lower_case(trimmed(value.substr(bang + 1))) == "important";
      value = trimmed(value.substr(0, bang));
    }
    d.value = value;
    if (!d.property.empty() && !d.value.empty()) declarations.push_back(std::move(d));
  }
  return declarations;
}

std::vector<std::string> StyleSheet::add(std::string_view css) {
  std::vector<std::string> unknown;
  std::string plain = without_comments(css);
  for (const std::string_view mark : {"<!--", "-->"})  // legacy hiding of the sheet
    for (auto at = plain.find(mark); at != std::string::npos; at = plain.find(mark, at))
      plain.replace(at, mark.size(), mark.size(), ' ');
  add_block(plain, unknown, 0);
  return unknown;
}

void StyleSheet::add_block(std::string_view css, std::vector<std::string>& unknown, int depth) {
  css = trimmed(css);
  while (!css.empty()) {
    if (css.front() == '@') {
      css = trimmed(add_at_rule(css, unknown, depth));
      continue;
    }
    const auto open = css.find('{');
    if (open == std::string_view::npos) return;  // trailing rubbish
    const std::string_view selectors = css.substr(0, open);
    css.remove_prefix(open);
    const auto end = block_end(css);
    add_rule(selectors, css.substr(1, std::max<std::size_t>(end, 1) - 1), unknown);
    css = trimmed(css.substr(std::min(end + 1, css.size())));
  }
}

// Returns what follows the rule.
std::string_view StyleSheet::add_at_rule(std::string_view css, std::vector<std::string>& unknown,
                                         int depth) {
  const auto stop = std::min(css.find_first_of(";{"), css.size());
  const std::string_view head = trimmed(css.substr(0, stop));
  const std::string_view name = head.substr(0, head.find_first_of(" \t\r\n("));
  if (stop == css.size() || css[stop] == ';') {
    if (name == "@import") unknown.push_back("@import: other files are never fetched");
    return css.substr(std::min(stop + 1, css.size()));
  }
  css.remove_prefix(stop);
  const auto end = block_end(css);
  const std::string_view body = css.substr(1, std::max<std::size_t>(end, 1) - 1);
  if (name == "@media" && media_shows(head.substr(name.size())) && depth < kDeepestBlock) {
    add_block(body, unknown, depth + 1);
  } else if (name != "@font-face" && name != "@keyframes" && name != "@page") {
    unknown.push_back(fmt::format("rule '{}' is passed over", head.substr(0, 60)));
  }
  return css.substr(std::min(end + 1, css.size()));
}

void StyleSheet::add_rule(std::string_view selectors, std::string_view body,
                          std::vector<std::string>& unknown) {
  bodies_.push_back(parse_declarations(body));
  if (bodies_.back().empty()) return;
  for (const std::string_view text : split_outside(selectors, ',')) {
    auto selector = parse_selector(text);
    if (!selector) {
      unknown.push_back(
          fmt::format("selector '{}' is not understood", trimmed(text).substr(0, 60)));
      continue;
    }
    const long weight = specificity(*selector);
    rules_.push_back({std::move(*selector), weight, bodies_.size() - 1});
    index_rule(rules_.size() - 1);
  }
}

void StyleSheet::index_rule(std::size_t rule) {
  for (const Test& test : rules_[rule].selector.back().tests) {
    if (test.kind == Test::Kind::has_class) return by_class_[test.name].push_back(rule);
    if (test.kind == Test::Kind::id) return by_id_[test.name].push_back(rule);
  }
  anywhere_.push_back(rule);
}

void StyleSheet::count_work(std::size_t steps, const std::string& where) const {
  steps_ += static_cast<long>(steps);
  if (steps_ <= kMostSteps) return;
  throw base::Error{base::ErrorCode::bad_artwork, "its styles take too long to apply", where,
                    "export with presentation attributes instead of a style sheet"};
}

std::vector<Declaration> StyleSheet::matching(const XmlTree& tree, int element) const {
  const Element& e = tree.elements[static_cast<std::size_t>(element)];
  std::vector<std::size_t> candidates = anywhere_;
  const auto take = [&](const auto& map, std::string_view key) {
    const auto found = map.find(key);
    if (found != map.end())
      candidates.insert(candidates.end(), found->second.begin(), found->second.end());
  };
  if (const std::string* id = attribute(e, "id")) take(by_id_, *id);
  if (const std::string* classes = attribute(e, "class"))
    for (const std::string_view name : words_of(*classes)) take(by_class_, name);
  std::erase_if(candidates,
                [&](std::size_t r) { return !matches(rules_[r].selector, tree, element, steps_); });
  count_work(0, label(e));
  std::sort(candidates.begin(), candidates.end(), [&](std::size_t a, std::size_t b) {
    return std::pair(rules_[a].weight, a) < std::pair(rules_[b].weight, b);
  });
  candidates.erase(std::unique(candidates.begin(), candidates.end()), candidates.end());
  std::vector<Declaration> all;
  for (const std::size_t r : candidates) {
    count_work(bodies_[rules_[r].body].size(), label(e));
    all.insert(all.end(), bodies_[rules_[r].body].begin(), bodies_[rules_[r].body].end());
  }
  std::stable_partition(all.begin(), all.end(),
                        [](const Declaration& d) { return !d.is_important; });
  return all;
}

}  // namespace buckram::artwork
