// The part of CSS 2 that drawings use: declarations, rules, selectors and which rule wins.
//
// Selectors: type, *, .class, #id, [attr], [attr=value] ([~=], [|=], [^=], [$=], [*=] too),
// :first-child, :last-child, :root, compounds of these, lists, and the combinators descendant,
// child, next and later sibling. Rules under @media all and screen count. What else occurs is
// handed back by name, so that a note can tell.
#pragma once

#include "artwork/xml_tree.h"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::artwork {

struct Declaration {
  std::string property;  // lower case
  std::string value;     // trimmed, without !important
  bool is_important = false;
};

// "fill: red; stroke:none" as in a style attribute; broken declarations are passed over (CSS 2,
// 4.2). Comments are taken out.
std::vector<Declaration> parse_declarations(std::string_view text);

class StyleSheet {
 public:
  // Adds the text of one <style> element; later text wins over earlier of the same weight.
  // Returns what was not understood, in words.
  std::vector<std::string> add(std::string_view css);

  // The declarations for one element, weakest first: by specificity, then by order, important ones
  // last. Throws Error{bad_artwork} when matching would take unreasonably long.
  std::vector<Declaration> matching(const XmlTree& tree, int element) const;
  bool empty() const { return rules_.empty(); }

  // Counts so many steps of applying style. Throws Error{bad_artwork} naming `where` past what any
  // drawing needs.
  void count_work(std::size_t steps, const std::string& where) const;

  struct Test {  // one simple selector
    enum class Kind { type, id, has_class, attribute, first_child, last_child, root, never } kind;
    std::string name;   // type, id, class or attribute
    std::string value;  // of the attribute
    char relation = 0;  // 0: present, '=', '~', '|', '^', '$', '*'
  };
  struct Compound {
    std::vector<Test> tests;
    char combinator = 0;  // to the compound on its left: ' ', '>', '+', '~'; 0 for the first
  };
  using Selector = std::vector<Compound>;

 private:
  struct Rule {
    Selector selector;
    long weight = 0;       // specificity
    std::size_t body = 0;  // index into bodies_
  };
  void add_block(std::string_view css, std::vector<std::string>& unknown, int depth);
  std::string_view add_at_rule(std::string_view css, std::vector<std::string>& unknown, int depth);
  void add_rule(std::string_view selectors, std::string_view body,
                std::vector<std::string>& unknown);
  void index_rule(std::size_t rule);

  std::vector<Rule> rules_;
  std::vector<std::vector<Declaration>> bodies_;
  // Rules by the class or id of their last compound; the rest are tried on every element.
  std::map<std::string, std::vector<std::size_t>, std::less<>> by_class_, by_id_;
  std::vector<std::size_t> anywhere_;
  mutable long steps_ = 0;
};

}  // namespace buckram::artwork
