#include "server/message.h"

#include <algorithm>

namespace buckram::server {
namespace {

char small(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

bool is_same_name(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](char x, char y) { return small(x) == small(y); });
}

}  // namespace

std::size_t count_of(const Head& head, std::string_view name) {
  return static_cast<std::size_t>(
      std::count_if(head.fields.begin(), head.fields.end(),
                    [&](const Field& each) { return is_same_name(each.name, name); }));
}

std::string_view value_of(const Head& head, std::string_view name) {
  for (const Field& each : head.fields) {
    if (is_same_name(each.name, name)) return each.value;
  }
  return {};
}

}  // namespace buckram::server
