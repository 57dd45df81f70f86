#include "base/table.h"

#include "base/error.h"
#include "base/nearest.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace buckram::base {
namespace {

void lay_over(const toml::table& above, toml::table& below) {
  for (const auto& [key, value] : above) {
    toml::node* there = below.get(key);
    if (there != nullptr && there->is_table() && value.is_table()) {
      lay_over(*value.as_table(), *there->as_table());
    } else {
      below.insert_or_assign(key, value);
    }
  }
}

}  // namespace

// `document` owns the tree; `here` is the table seen.
struct Table::Node {
  std::shared_ptr<toml::table> document;
  toml::table* here;
  std::string where;
  UnknownKeys unknown;
  std::set<std::string, std::less<>> asked;

  [[noreturn]] void fail(std::string_view key, const std::string& what,
                         const std::string& hint) const {
    std::string place = where + ": " + std::string(key);
    if (const toml::node* node = here->get(key); node != nullptr && node->source().begin.line > 0) {
      place += fmt::format(" (line {})", node->source().begin.line);
    }
    throw Error{ErrorCode::bad_data, what, place, hint};
  }

  const toml::node* find(std::string_view key) {
    asked.emplace(key);
    return here->get(key);
  }

  const toml::node& need(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) fail(key, "is missing", "Add it");
    return *node;
  }

  double number(const toml::node& node, std::string_view key, Range range) const {
    const auto value = node.value<double>();
    if (!node.is_number() || !value) {
      fail(key, fmt::format("wants a number, found {}", shown(node)),
           "Write digits only, without quotes and without a unit");
    }
    if (!std::isfinite(*value) || *value < range.low || *value > range.high) {
      fail(key, fmt::format("is {:g}, outside {:g} to {:g}", *value, range.low, range.high),
           "Choose a value between them");
    }
    return *value;
  }

  std::string string(const toml::node& node, std::string_view key) const {
    const auto value = node.value<std::string>();
    if (!value) {
      fail(key, fmt::format("wants text in quotes, found {}", shown(node)), "Put it in quotes");
    }
    return *value;
  }

  static std::string shown(const toml::node& node) {
    if (const auto text = node.value<std::string>(); text && node.is_string()) {
      return '"' + *text + '"';
    }
    if (node.is_number()) return fmt::format("{:g}", node.value<double>().value_or(0));
    if (node.is_boolean()) return node.value<bool>().value_or(false) ? "true" : "false";
    if (node.is_array()) return "a list";
    if (node.is_table()) return "a table";
    return "a date or time";
  }

  std::shared_ptr<Node> child(toml::table* table, const std::string& name) const {
    return std::make_shared<Node>(Node{document, table, where + ": " + name, unknown, {}});
  }
};

Table::Table(std::shared_ptr<Node> node) : node_(std::move(node)) {}

Table Table::parse(std::string_view text, std::string where, UnknownKeys unknown) {
  try {
    auto document = std::make_shared<toml::table>(toml::parse(text));
    toml::table* here = document.get();
    return Table(
        std::make_shared<Node>(Node{std::move(document), here, std::move(where), unknown, {}}));
  } catch (const toml::parse_error& error) {
    throw Error{ErrorCode::bad_data, fmt::format("is not TOML: {}", error.description()),
                fmt::format("{}: line {}, column {}", where, error.source().begin.line,
                            error.source().begin.column),
                "Mend that line"};
  }
}

double Table::number(std::string_view key, Range range) const {
  return node_->number(node_->need(key), key, range);
}

double Table::number(std::string_view key, Range range, double otherwise) const {
  return maybe_number(key, range).value_or(otherwise);
}

std::optional<double> Table::maybe_number(std::string_view key, Range range) const {
  const toml::node* node = node_->find(key);
  if (node == nullptr) return std::nullopt;
  return node_->number(*node, key, range);
}

int Table::integer(std::string_view key, Range range) const {
  const double value = number(key, range);
  if (value != std::floor(value)) {
    node_->fail(key, fmt::format("wants a whole number, found {:g}", value),
                fmt::format("Round it to {:.0f}", value));
  }
  return static_cast<int>(value);
}

int Table::integer(std::string_view key, Range range, int otherwise) const {
  return node_->find(key) == nullptr ? otherwise : integer(key, range);
}

bool Table::truth(std::string_view key, bool otherwise) const {
  const toml::node* node = node_->find(key);
  if (node == nullptr) return otherwise;
  if (!node->is_boolean()) {
    node_->fail(key, fmt::format("wants true or false, found {}", Node::shown(*node)),
                "Write true or false, without quotes");
  }
  return node->value<bool>().value_or(otherwise);
}

std::string toml_text(std::string_view text) {
  std::string quoted = "\"";
  for (const char c : text) {
    const bool is_control = static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
    if (is_control) {
      quoted += fmt::format("\\u{:04X}", static_cast<int>(c));
      continue;
    }
    if (c == '"' || c == '\\') quoted += '\\';
    quoted += c;
  }
  return quoted + '"';
}

std::string Table::text(std::string_view key) const {
  return node_->string(node_->need(key), key);
}

std::string Table::text(std::string_view key, std::string_view otherwise) const {
  const toml::node* node = node_->find(key);
  return node == nullptr ? std::string(otherwise) : node_->string(*node, key);
}

std::vector<double> Table::numbers(std::string_view key, Range range) const {
  std::vector<double> all;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return all;
  if (!node->is_array()) {
    node_->fail(key, fmt::format("wants a list of numbers, found {}", Node::shown(*node)),
                fmt::format("Write it in square brackets, as {} = [1, 2]", key));
  }
  for (const toml::node& each : *node->as_array()) all.push_back(node_->number(each, key, range));
  return all;
}

std::vector<std::string> Table::texts(std::string_view key) const {
  std::vector<std::string> all;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return all;
  if (!node->is_array()) {
    node_->fail(key, fmt::format("wants a list of texts, found {}", Node::shown(*node)),
                fmt::format("Write it in square brackets, as {} = [\"…\", \"…\"]", key));
  }
  for (const toml::node& each : *node->as_array()) all.push_back(node_->string(each, key));
  return all;
}

std::vector<std::string> Table::ids(std::string_view key) const {
  std::vector<std::string> all;
  const toml::node* node = node_->find(key);
  if (node == nullptr) return all;
  if (const toml::table* table = node->as_table()) {
    for (const auto& [name, value] : *table) all.emplace_back(name.str());
    return all;
  }
  if (!node->is_array()) {
    node_->fail(key, fmt::format("wants a list of ids, found {}", Node::shown(*node)),
                fmt::format("Write it in square brackets, as {} = [\"…\", 12]", key));
  }
  for (const toml::node& each : *node->as_array()) {
    const auto number = each.value<std::int64_t>();
    const bool is_whole = each.is_integer() && number;
    all.push_back(is_whole ? std::to_string(*number) : node_->string(each, key));
  }
  return all;
}

std::optional<Table> Table::table(std::string_view key) const {
  node_->asked.emplace(key);
  toml::node* node = node_->here->get(key);
  if (node == nullptr) return std::nullopt;
  if (!node->is_table()) {
    node_->fail(key, fmt::format("wants a table [{}], found {}", key, Node::shown(*node)),
                fmt::format("Write [{}] on a line of its own, its keys below it", key));
  }
  return Table(node_->child(node->as_table(), std::string(key)));
}

std::vector<Table> Table::tables(std::string_view key) const {
  std::vector<Table> all;
  node_->asked.emplace(key);
  toml::node* node = node_->here->get(key);
  if (node == nullptr) return all;
  if (!node->is_array()) {
    node_->fail(key,
                fmt::format("wants a list of tables [[{}]], found {}", key, Node::shown(*node)),
                fmt::format("Write [[{}]] on a line of its own before the keys of each", key));
  }
  for (toml::node& each : *node->as_array()) {
    if (!each.is_table()) {
      node_->fail(key, fmt::format("wants tables in its list, found {}", Node::shown(each)),
                  fmt::format("Write [[{}]] on a line of its own before the keys of each", key));
    }
    all.push_back(Table(node_->child(each.as_table(), fmt::format("{} {}", key, all.size() + 1))));
  }
  return all;
}

bool Table::has(std::string_view key) const {
  return node_->find(key) != nullptr;
}

void Table::refuse_unknown() const {
  if (node_->unknown == UnknownKeys::kept) return;
  const std::vector<std::string> known(node_->asked.begin(), node_->asked.end());
  for (const auto& [key, value] : *node_->here) {
    if (node_->asked.contains(key.str())) continue;
    const std::string nearest = nearest_name(key.str(), known);
    node_->fail(key.str(), "is not a known key",
                nearest.empty() ? "Known here: " + fmt::format("{}", fmt::join(known, ", "))
                                : "Did you mean " + nearest + "?");
  }
}

const std::string& Table::where() const {
  return node_->where;
}

void Table::set(std::string_view dotted_key, std::string_view value) {
  const auto fail = [&](const std::string& what) {
    throw Error{ErrorCode::bad_job, what, std::string(dotted_key),
                "A setting names a key by its tables and gives one value, as in bench.raise_mm=2"};
  };
  toml::table parsed;
  try {
    parsed = toml::parse(fmt::format("value = {}", value));
    if (parsed.size() != 1) fail("wants one value");
  } catch (const toml::parse_error&) {
    parsed = toml::table{};
    parsed.insert_or_assign("value", std::string(value));
  }
  toml::table* table = node_->here;
  std::string_view rest = dotted_key;
  for (std::size_t dot = rest.find('.'); dot != std::string_view::npos; dot = rest.find('.')) {
    const std::string_view part = rest.substr(0, dot);
    rest.remove_prefix(dot + 1);
    toml::node* next = table->get(part);
    if (next == nullptr) next = &table->insert(part, toml::table{}).first->second;
    if (!next->is_table()) fail(fmt::format("{} holds a value, not keys", part));
    table = next->as_table();
  }
  if (rest.empty()) fail("is not a key");
  const toml::node& typed = *parsed.get("value");
  table->insert_or_assign(rest, typed);  // a copy is of no line, which nobody has typed
}

Table Table::over(const Table& below, const std::vector<std::string_view>& apart) const {
  toml::table above = *node_->here;
  for (const std::string_view key : apart) above.erase(key);
  auto document = std::make_shared<toml::table>(*below.node_->here);
  lay_over(above, *document);
  toml::table* here = document.get();
  return Table(
      std::make_shared<Node>(Node{std::move(document), here, node_->where, node_->unknown, {}}));
}

}  // namespace buckram::base
