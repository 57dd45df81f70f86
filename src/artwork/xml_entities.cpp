#include "artwork/xml_entities.h"

#include "artwork/svg_numbers.h"
#include "base/base.h"

#include <fmt/format.h>

namespace buckram::artwork {
namespace {

constexpr std::size_t kLongestName = 256;
constexpr int kDeepest = 16;  // an entity within an entity within …; real files need 1

[[noreturn]] void refuse(std::string what, const std::string& where) {
  throw base::Error{base::ErrorCode::bad_artwork, std::move(what), where,
                    "save the drawing as plain SVG, without a DOCTYPE"};
}

// The text between the quotes that come next; nothing when none do.
std::string_view quoted(std::string_view& text) {
  const auto open = text.find_first_of("\"'");
  if (open == std::string_view::npos) return {};
  const auto close = text.find(text[open], open + 1);
  if (close == std::string_view::npos) return {};
  const std::string_view inside = text.substr(open + 1, close - open - 1);
  text.remove_prefix(close + 1);
  return inside;
}

}  // namespace

Entities::Entities(std::string_view doctype, const std::string& where, std::size_t most_bytes)
    : where_(where), left_(most_bytes) {
  constexpr std::string_view kStart = "<!ENTITY";
  auto at = doctype.find(kStart);
  while (at != std::string_view::npos) {
    doctype.remove_prefix(at + kStart.size());
    declare(doctype);
    at = doctype.find(kStart);
  }
}

void Entities::declare(std::string_view declaration) {
  const auto start = declaration.find_first_not_of(" \t\r\n");
  if (start == std::string_view::npos) return;
  declaration.remove_prefix(start);
  if (declaration.front() == '%') refuse("the DOCTYPE declares parameter entities", where_);
  const auto end = declaration.find_first_of(" \t\r\n\"'");
  if (end == std::string_view::npos) return;
  const std::string name(declaration.substr(0, end));
  declaration.remove_prefix(end);
  const std::string_view kind = trimmed(declaration.substr(0, declaration.find_first_of("\"'")));
  Entity entity{std::string(quoted(declaration)),
                kind.starts_with("SYSTEM") || kind.starts_with("PUBLIC")};
  known_.emplace(name, std::move(entity));  // XML 1.0, 4.2: the first declaration counts
}

std::string Entities::expand(std::string_view text) {
  if (known_.empty() || text.find('&') == std::string_view::npos) return std::string(text);
  std::string out;
  append(text, 0, out);
  return out;
}

void Entities::append(std::string_view text, int depth, std::string& out) {
  if (depth > kDeepest)
    refuse(fmt::format("entities are nested more than {} deep", kDeepest), where_);
  while (true) {
    const auto amp = text.find('&');
    const auto plain = text.substr(0, amp);
    if (plain.size() > left_ && depth > 0)
      refuse("the entities expand to more than is read", where_);
    if (depth > 0) left_ -= plain.size();
    out += plain;
    if (amp == std::string_view::npos) return;
    text.remove_prefix(amp);
    const auto semicolon = text.substr(0, kLongestName).find(';');
    const auto name = text.substr(1, semicolon == std::string_view::npos ? 0 : semicolon - 1);
    const auto found = known_.find(name);
    if (found == known_.end()) {
      out += '&';
      text.remove_prefix(1);
      continue;
    }
    if (left_ == 0) refuse("the entities expand to more than is read", where_);
    --left_;
    if (found->second.is_external)
      refuse(fmt::format("entity '{}' stands for something outside the file", name), where_);
    if (found->second.value.find('<') != std::string::npos)
      refuse(fmt::format("entity '{}' stands for markup", name), where_);
    append(found->second.value, depth + 1, out);
    text.remove_prefix(semicolon + 1);
  }
}

}  // namespace buckram::artwork
