#include "artwork/css_selector.h"

#include "artwork/svg_numbers.h"

#include <algorithm>

namespace buckram::artwork {
namespace {

using Test = StyleSheet::Test;
using Compound = StyleSheet::Compound;

bool is_name_char(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
         c == '_' || static_cast<unsigned char>(c) >= 0x80;
}

// A CSS name with its backslash escapes undone (a plain character only).
std::string take_name(std::string_view& text) {
  std::string name;
  while (!text.empty() && (is_name_char(text.front()) || text.front() == '\\')) {
    if (text.front() == '\\') text.remove_prefix(1);
    if (text.empty()) break;
    name += text.front();
    text.remove_prefix(1);
  }
  return name;
}

// `[name]`, `[name=value]`, `[name~="value"]`; the bracket has been taken.
std::optional<Test> take_attribute(std::string_view& text) {
  const auto close = text.find(']');
  if (close == std::string_view::npos) return std::nullopt;
  std::string_view inside = trimmed(text.substr(0, close));
  text.remove_prefix(close + 1);
  Test test{Test::Kind::attribute, take_name(inside), "", 0};
  inside = trimmed(inside);
  if (inside.empty()) return test.name.empty() ? std::nullopt : std::optional(test);
  test.relation = inside.front();
  if (test.relation != '=') inside.remove_prefix(1);
  if (inside.empty() || inside.front() != '=') return std::nullopt;
  inside = trimmed(inside.substr(1));
  if (inside.size() >= 2 && (inside.front() == '"' || inside.front() == '\''))
    inside = inside.substr(1, inside.size() - 2);
  test.value = inside;
  if (std::string_view("=~|^$*").find(test.relation) == std::string_view::npos) return std::nullopt;
  return test;
}

// Pseudo-classes that no still picture has (a pointer over it) never match; others are unknown.
std::optional<Test> take_pseudo(std::string_view& text) {
  const std::string name = lower_case(take_name(text));
  if (name == "first-child") return Test{Test::Kind::first_child, "", "", 0};
  if (name == "last-child") return Test{Test::Kind::last_child, "", "", 0};
  if (name == "root") return Test{Test::Kind::root, "", "", 0};
  for (const std::string_view never : {"hover", "active", "focus", "visited", "target"})
    if (name == never) return Test{Test::Kind::never, "", "", 0};
  return std::nullopt;
}

std::optional<Test> take_test(std::string_view& text) {
  const char c = text.front();
  if (c == '.' || c == '#' || c == '[' || c == ':') text.remove_prefix(1);
  if (c == '[') return take_attribute(text);
  if (c == ':') return take_pseudo(text);
  const auto kind = c == '.' ? Test::Kind::has_class : c == '#' ? Test::Kind::id : Test::Kind::type;
  Test test{kind, take_name(text), "", 0};
  if (test.name.empty()) return std::nullopt;
  // A prefix of a namespace: only the local name is compared.
  if (kind == Test::Kind::type && text.starts_with("|")) {
    text.remove_prefix(1);
    test.name = take_name(text);
  }
  return test;
}

std::optional<Compound> take_compound(std::string_view& text) {
  Compound compound;
  bool is_universal = false;
  if (text.starts_with("*")) {
    text.remove_prefix(text.starts_with("*|*") ? 3 : 1);
    is_universal = true;
  }
  while (!text.empty() && !is_blank(text.front()) &&
         std::string_view(">+~").find(text.front()) == std::string_view::npos) {
    auto test = take_test(text);
    if (!test) return std::nullopt;
    compound.tests.push_back(std::move(*test));
  }
  if (compound.tests.empty() && !is_universal) return std::nullopt;
  return compound;
}

bool attribute_matches(const Test& test, const Element& element) {
  const std::string* found = attribute(element, test.name);
  if (!found) return false;
  const std::string_view have = *found, want = test.value;
  switch (test.relation) {
    case 0:
      return true;
    case '=':
      return have == want;
    case '~': {
      const auto words = words_of(have);
      return std::find(words.begin(), words.end(), want) != words.end();
    }
    case '|':
      return have == want || (have.starts_with(want) && have.substr(want.size()).starts_with("-"));
    case '^':
      return !want.empty() && have.starts_with(want);
    case '$':
      return !want.empty() && have.ends_with(want);
    default:
      return !want.empty() && have.find(want) != std::string_view::npos;
  }
}

bool test_matches(const Test& test, const XmlTree& tree, int index) {
  const Element& element = tree.elements[static_cast<std::size_t>(index)];
  const auto siblings = [&]() -> const std::vector<int>& {
    return tree.elements[static_cast<std::size_t>(element.parent)].children;
  };
  switch (test.kind) {
    case Test::Kind::type:
      return element.name == test.name;
    case Test::Kind::id: {
      const std::string* id = attribute(element, "id");
      return id && *id == test.name;
    }
    case Test::Kind::has_class: {
      const std::string* classes = attribute(element, "class");
      if (!classes) return false;
      const auto words = words_of(*classes);
      return std::find(words.begin(), words.end(), test.name) != words.end();
    }
    case Test::Kind::attribute:
      return attribute_matches(test, element);
    case Test::Kind::first_child:
      return element.parent >= 0 && siblings().front() == index;
    case Test::Kind::last_child:
      return element.parent >= 0 && siblings().back() == index;
    case Test::Kind::root:
      return element.parent < 0;
    case Test::Kind::never:
      return false;
  }
  return false;
}

bool compound_matches(const Compound& compound, const XmlTree& tree, int index) {
  return std::all_of(compound.tests.begin(), compound.tests.end(),
                     [&](const Test& test) { return test_matches(test, tree, index); });
}

// The element before this one among its siblings, -1 for the first. O(siblings).
int previous_sibling(const XmlTree& tree, int index, long& tries) {
  const int parent = tree.elements[static_cast<std::size_t>(index)].parent;
  if (parent < 0) return -1;
  const auto& all = tree.elements[static_cast<std::size_t>(parent)].children;
  const auto at = std::lower_bound(all.begin(), all.end(), index);  // document order
  ++tries;
  return at == all.begin() ? -1 : *(at - 1);
}

}  // namespace

std::optional<StyleSheet::Selector> parse_selector(std::string_view text) {
  text = trimmed(text);
  StyleSheet::Selector selector;
  char combinator = 0;
  while (!text.empty()) {
    auto compound = take_compound(text);
    if (!compound || selector.size() > 50) return std::nullopt;
    compound->combinator = combinator;
    selector.push_back(std::move(*compound));
    combinator = text.empty() ? '\0' : ' ';
    text = trimmed(text);
    if (!text.empty() && std::string_view(">+~").find(text.front()) != std::string_view::npos) {
      combinator = text.front();
      text = trimmed(text.substr(1));
      if (text.empty()) return std::nullopt;
    }
  }
  if (selector.empty()) return std::nullopt;
  return selector;
}

long specificity(const StyleSheet::Selector& selector) {
  long weight = 0;
  for (const Compound& compound : selector) {
    for (const Test& test : compound.tests)
      weight += test.kind == Test::Kind::id ? 1'000'000 : test.kind == Test::Kind::type ? 1 : 1'000;
  }
  return weight;
}

bool matches(const StyleSheet::Selector& selector, const XmlTree& tree, int element, long& tries) {
  ++tries;
  if (!compound_matches(selector.back(), tree, element)) return false;
  // Leftwards, taking the nearest ancestor or sibling that fits. That is exact for chains of one
  // kind of combinator; a mixed chain that would need a second try is taken as no match.
  int at = element;
  for (std::size_t k = selector.size() - 1; k > 0; --k) {
    const char combinator = selector[k].combinator;
    const bool is_upward = combinator == ' ' || combinator == '>';
    const bool is_single = combinator == '>' || combinator == '+';
    do {
      at = is_upward ? tree.elements[static_cast<std::size_t>(at)].parent
                     : previous_sibling(tree, at, tries);
      ++tries;
    } while (!is_single && at >= 0 && !compound_matches(selector[k - 1], tree, at));
    if (at < 0 || (is_single && !compound_matches(selector[k - 1], tree, at))) return false;
  }
  return true;
}

}  // namespace buckram::artwork
