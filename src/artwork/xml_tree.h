// An XML file as a plain tree, with the traps of the format sprung on the way in.
//
// The one wrapper of the XML library. Names are resolved by namespace, so that <svg:path> and
// <path> are the same; entities declared inside the file are expanded within a bound; nothing
// outside the file is ever opened.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::artwork {

struct Attribute {
  // Local name; `xlink:href` and `xml:space` keep their prefix, other foreign ones are left out.
  std::string name;
  std::string value;
};

struct Element {
  std::string name;  // local name
  bool is_svg = false;
  int parent = -1;  // index into XmlTree::elements
  int ordinal = 0;  // the how-manieth of its name in the file, from 1
  std::vector<Attribute> attributes;
  std::vector<int> children;
  std::string text;                    // all text directly inside
  std::vector<std::size_t> text_upto;  // how much of it stands before each child
};

struct XmlTree {
  std::vector<Element> elements;                  // document order; the first is the root
  std::map<std::string, int, std::less<>> by_id;  // the first of each id
};

struct XmlLimits {
  std::size_t bytes = 20'000'000;
  int depth = 200;
  int elements = 200'000;
  std::size_t entity_bytes = 1'000'000;  // all that entities expand to, together
  std::size_t prefixes = 1'000;          // namespace prefixes in force at one place
};

// Throws Error{bad_artwork}: too large, compressed, another format, not well formed (with line),
// a limit passed, an entity that stands for something outside the file, for markup, or for itself.
XmlTree read_xml(std::string_view bytes, const std::string& where, const XmlLimits& limits = {});

// The attribute's value, or nullptr.
const std::string* attribute(const Element& element, std::string_view name);
// Where it points, by href or xlink:href, trimmed; empty without.
std::string_view link_of(const Element& element);
// Its id, cut after 100 bytes, or "path[3]": the third path of the file.
std::string label(const Element& element);

}  // namespace buckram::artwork
