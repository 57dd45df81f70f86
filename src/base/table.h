// A TOML document as a table of keys, read strictly: every key is asked for by name, type and
// range, and what nobody asked for is refused with the nearest known key.
//
// The one wrapper of the TOML library, so that caps, mounts, fabrics, needles, threads and jobs
// are all read, checked and refused the same way.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace buckram::base {

struct Range {
  double low;
  double high;  // both included
};

// Any text as a TOML value: a basic string with quotes, backslashes and control characters escaped.
// Law: parsing it gives the text back, whatever UTF-8 it holds.
std::string toml_text(std::string_view text);

// What refuse_unknown() does about keys that nobody asked for: `kept` serves documents that newer
// versions may have written.
enum class UnknownKeys { refused, kept };

// A view of one table within a document. Cheap to copy; keeps the document alive.
class Table {
 public:
  // Parses `text`. `where` names the document in messages. Throws Error{bad_data} with line and
  // column when it is not TOML.
  static Table parse(std::string_view text, std::string where,
                     UnknownKeys unknown = UnknownKeys::refused);

  // Typed look-ups. Each marks the key as known. The plain form requires the key, the form with a
  // default allows its absence. All throw Error{bad_data} that names the key, the value found, the
  // type or range wanted.
  double number(std::string_view key, Range range) const;
  double number(std::string_view key, Range range, double otherwise) const;
  std::optional<double> maybe_number(std::string_view key, Range range) const;
  int integer(std::string_view key, Range range) const;
  int integer(std::string_view key, Range range, int otherwise) const;
  bool truth(std::string_view key, bool otherwise) const;
  std::string text(std::string_view key) const;
  std::string text(std::string_view key, std::string_view otherwise) const;
  std::vector<double> numbers(std::string_view key, Range range) const;  // absent: empty
  std::vector<std::string> texts(std::string_view key) const;            // absent: empty
  std::vector<std::string> ids(std::string_view key) const;  // texts, numbers; of a table its keys
  std::optional<Table> table(std::string_view key) const;    // sub-table
  std::vector<Table> tables(std::string_view key) const;     // array of tables
  bool has(std::string_view key) const;

  // Throws Error{bad_data} when the table holds a key that none of the look-ups on this view or
  // its copies asked for; names it and the nearest key that was asked for. Sub-tables taken with
  // table() and tables() check themselves.
  void refuse_unknown() const;

  // "caps/x.toml: crown" : the document and the path of this table within it.
  const std::string& where() const;

  // Sets a dotted key to a TOML value before reading ("bench.raise_mm", "2"); a bare word that is
  // no TOML value is taken as a string. Throws Error{bad_job} when the key cannot hold a value.
  void set(std::string_view dotted_key, std::string_view value);

  // A new document: `below` with this table's keys over it, but for the keys `apart`. Tables merge
  // key by key; anything else takes the place of what was there. Named `where` as this table is,
  // and messages about it name no line.
  Table over(const Table& below, const std::vector<std::string_view>& apart) const;

 private:
  struct Node;
  explicit Table(std::shared_ptr<Node> node);
  std::shared_ptr<Node> node_;
};

}  // namespace buckram::base
