#include "artwork/xml_tree.h"

#include "artwork/svg_numbers.h"
#include "artwork/xml_entities.h"
#include "base/base.h"

#include <fmt/format.h>
#include <pugixml.hpp>

#include <algorithm>
#include <array>
#include <optional>

namespace buckram::artwork {
namespace {

constexpr std::string_view kSvgNamespace = "http://www.w3.org/2000/svg";
constexpr std::string_view kXlinkNamespace = "http://www.w3.org/1999/xlink";

[[noreturn]] void refuse(std::string what, const std::string& where, std::string hint) {
  throw base::Error{base::ErrorCode::bad_artwork, std::move(what), where, std::move(hint)};
}

struct Signature {
  std::string_view bytes, what, hint;
};
using namespace std::string_view_literals;
constexpr std::array<Signature, 7> kOthers = {{
    {"\x1f\x8b"sv, "a compressed file (.svgz)", "unpack it and give the .svg inside"},
    {"PK\x03\x04"sv, "a zip archive", "unpack it and give the .svg inside"},
    {"\x89PNG"sv, "a PNG picture, not SVG", "ask for the logo as SVG, or trace the picture"},
    {"\xff\xd8\xff"sv, "a JPEG picture, not SVG", "ask for the logo as SVG, or trace the picture"},
    {"%PDF"sv, "a PDF, not SVG", "export the drawing as plain SVG"},
    {"%!PS"sv, "a PostScript file, not SVG", "export the drawing as plain SVG"},
    {"GIF8"sv, "a GIF picture, not SVG", "export the drawing as plain SVG"},
}};

void check_bytes(std::string_view bytes, const std::string& where, const XmlLimits& limits) {
  if (bytes.empty()) refuse("the file is empty", where, "export the drawing again as SVG");
  if (bytes.size() > limits.bytes)
    refuse(fmt::format("{} bytes; at most {} are read", bytes.size(), limits.bytes), where,
           "simplify the drawing, or take embedded pictures out");
  for (const Signature& other : kOthers)
    if (bytes.starts_with(other.bytes))
      refuse(std::string(other.what), where, std::string(other.hint));
}

std::size_t line_of(std::string_view bytes, std::ptrdiff_t offset) {
  const auto end =
      std::min(bytes.size(), static_cast<std::size_t>(std::max<std::ptrdiff_t>(offset, 0)));
  return 1 + static_cast<std::size_t>(
                 std::count(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(end), '\n'));
}

void parse(pugi::xml_document& document, std::string_view bytes, const std::string& where) {
  // Blanks between two elements are text too: <tspan>two</tspan> <tspan>words</tspan>.
  const unsigned options = (pugi::parse_default | pugi::parse_doctype | pugi::parse_ws_pcdata) &
                           ~pugi::parse_wconv_attribute;
  const auto result = document.load_buffer(bytes.data(), bytes.size(), options);
  if (result) return;
  if (result.status == pugi::status_no_document_element)
    refuse("not an XML file", where, "export the drawing as SVG");
  refuse(fmt::format("not well-formed XML at line {}: {}", line_of(bytes, result.offset),
                     result.description()),
         where, "the file may be cut off; export it again");
}

// The prefixes in force; inner declarations follow outer ones.
struct Binding {
  std::string prefix, uri;
};

std::string_view bound(const std::vector<Binding>& bindings, std::string_view prefix) {
  for (auto b = bindings.rbegin(); b != bindings.rend(); ++b)
    if (b->prefix == prefix) return b->uri;
  return {};
}

struct SplitName {
  std::string_view prefix, local;
};
SplitName split(std::string_view name) {
  const auto colon = name.find(':');
  if (colon == std::string_view::npos) return {{}, name};
  return {name.substr(0, colon), name.substr(colon + 1)};
}

// Walks the library's tree without recursion and copies what matters.
class Copier {
 public:
  Copier(const std::string& where, const XmlLimits& limits, Entities entities)
      : where_(where), limits_(limits), entities_(std::move(entities)) {}

  XmlTree copy(pugi::xml_node root) {
    pugi::xml_node node = root;
    while (node) {
      if (node.type() == pugi::node_element) {
        open(node);
        if (node.first_child()) {
          node = node.first_child();
          continue;
        }
        close();
      } else if ((node.type() == pugi::node_pcdata || node.type() == pugi::node_cdata) &&
                 !open_.empty()) {
        tree_.elements[static_cast<std::size_t>(open_.back().element)].text +=
            entities_.expand(node.value());
      }
      node = next(node, root);
    }
    return std::move(tree_);
  }

 private:
  struct Open {
    int element;
    std::size_t bindings;  // how many were in force outside
  };

  // The next sibling, or that of the nearest ancestor that has one.
  pugi::xml_node next(pugi::xml_node node, pugi::xml_node root) {
    while (node != root && !node.next_sibling()) {
      node = node.parent();
      close();
    }
    return node == root ? pugi::xml_node() : node.next_sibling();
  }

  void open(pugi::xml_node node) {
    if (static_cast<int>(open_.size()) >= limits_.depth)
      refuse(fmt::format("elements are nested more than {} deep", limits_.depth), where_,
             "ungroup the drawing");
    if (static_cast<int>(tree_.elements.size()) >= limits_.elements)
      refuse(fmt::format("more than {} elements", limits_.elements), where_,
             "simplify the drawing");
    const std::size_t outside = bindings_.size();
    bind(node);
    const int index = static_cast<int>(tree_.elements.size());
    Element element;
    const SplitName name = split(node.name());
    const std::string_view uri = bound(bindings_, name.prefix);
    // A hand-written file often forgets the namespace; what has no prefix is then taken as SVG.
    element.is_svg = uri == kSvgNamespace || (uri.empty() && name.prefix.empty());
    element.name = element.is_svg ? name.local : node.name();
    element.ordinal = ++count_[element.name];
    element.parent = open_.empty() ? -1 : open_.back().element;
    copy_attributes(node, element);
    if (element.parent >= 0) {
      Element& parent = tree_.elements[static_cast<std::size_t>(element.parent)];
      parent.children.push_back(index);
      parent.text_upto.push_back(parent.text.size());
    }
    if (const std::string* id = attribute(element, "id")) tree_.by_id.emplace(*id, index);
    tree_.elements.push_back(std::move(element));
    open_.push_back({index, outside});
  }

  void close() {
    bindings_.resize(open_.back().bindings);
    open_.pop_back();
  }

  void bind(pugi::xml_node node) {
    for (const pugi::xml_attribute a : node.attributes()) {
      const SplitName name = split(a.name());
      if (name.prefix == "xmlns")
        bindings_.push_back({std::string(name.local), entities_.expand(a.value())});
      if (name.prefix.empty() && name.local == "xmlns")
        bindings_.push_back({"", entities_.expand(a.value())});
    }
    if (bindings_.size() > limits_.prefixes)
      refuse(fmt::format("more than {} namespace prefixes at one place", limits_.prefixes), where_,
             "export the drawing as plain SVG");
  }

  void copy_attributes(pugi::xml_node node, Element& element) {
    for (const pugi::xml_attribute a : node.attributes()) {
      const SplitName name = split(a.name());
      std::string kept(name.local);
      if (!name.prefix.empty()) {
        const std::string_view uri = bound(bindings_, name.prefix);
        const bool is_link = uri == kXlinkNamespace || (uri.empty() && name.prefix == "xlink");
        const bool is_space = name.prefix == "xml" && name.local == "space";
        if (!is_space && (name.local != "href" || !is_link)) continue;
        kept = is_space ? "xml:space" : "xlink:href";
      }
      element.attributes.push_back({std::move(kept), entities_.expand(a.value())});
    }
  }

  const std::string& where_;
  const XmlLimits& limits_;
  Entities entities_;
  XmlTree tree_;
  std::vector<Open> open_;
  std::vector<Binding> bindings_;
  std::map<std::string, int, std::less<>> count_;
};

}  // namespace

XmlTree read_xml(std::string_view bytes, const std::string& where, const XmlLimits& limits) {
  check_bytes(bytes, where, limits);
  pugi::xml_document document;
  parse(document, bytes, where);
  std::string doctype;
  for (const pugi::xml_node node : document.children())
    if (node.type() == pugi::node_doctype) doctype = node.value();
  Entities entities(doctype, where, limits.entity_bytes);
  return Copier(where, limits, std::move(entities)).copy(document.document_element());
}

const std::string* attribute(const Element& element, std::string_view name) {
  for (const Attribute& a : element.attributes)
    if (a.name == name) return &a.value;
  return nullptr;
}

std::string_view link_of(const Element& element) {
  const std::string* link = attribute(element, "href");
  if (!link) link = attribute(element, "xlink:href");
  return link ? trimmed(*link) : std::string_view();
}

std::string label(const Element& element) {
  constexpr std::size_t kLongest = 100;
  const std::string* id = attribute(element, "id");
  if (id && id->size() > kLongest) return base::shortened(*id, kLongest);
  return id && !id->empty() ? *id : fmt::format("{}[{}]", element.name, element.ordinal);
}

}  // namespace buckram::artwork
